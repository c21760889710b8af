"""Which labels a rig has, in which order, and what they say."""

import hashlib
import re
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

from checkapp.rig.codes import Tag
from checkapp.rig.errors import UnknownCode, WrongCheckCharacter
from checkapp.rig.planfile import load_plan
from checkapp.tags.label import Label, labels_of

PLAN = """
[rig]
name = "Yard"
owner = "YD"
[link_kind.wire]
max_length_m = 100
[cable_kind.hop]
[cable_kind.lead]
[cable_kind.fan]
ways = 6
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["mic"]
[box_kind.drop]
inputs = 4
outputs = 2
passive = true
[[chain]]
code = "A"
link = "wire"
desk = "House"
[[chain]]
code = "B"
link = "wire"
from = "S2"
[[supply]]
code = "M1"
volts = 230
breaker_amps = 16
phase = "L2"
[[supply]]
code = "M2"
volts = 120
breaker_amps = 20.5
[[source]]
code = "DI1"
kind = "active DI"
[[source]]
code = "DI2"
[[source]]
code = "DI3"
[[cable]]
code = "H1"
kind = "hop"
length_m = 15
[[cable]]
code = "H2"
kind = "hop"
length_ft = 50.5
owner = "HX"
[[cable]]
code = "H3"
kind = "hop"
length_m = 5
[[cable]]
code = "M"
kind = "fan"
length_m = 10
[[cable]]
code = "F"
kind = "fan"
length_m = 4
[[cable]]
code = "X1"
kind = "lead"
length_m = 3
[[cable]]
code = "X2"
kind = "lead"
length_m = 6
[[cable]]
code = "X3"
kind = "lead"
length_m = 6
spare = true
[[cable]]
code = "X4"
kind = "lead"
length_m = 6
[[box]]
code = "S2"
kind = "eight"
fed_from = "S1"
cable = "H2"
[[box]]
code = "S1"
kind = "eight"
fed_from = "A"
cable = "H1"
supply = "M1"
place = "Stage left"
[[box]]
code = "S3"
kind = "eight"
fed_from = "B"
cable = "H3"
supply = "M1"
[[box]]
code = "D1"
kind = "drop"
fed_from = "S2 in 3"
outputs_from = "S2 out 3"
cable = "M"
[[input]]
number = 1
name = "Kick in"
level = "mic"
cable = "F"
port = "S1 in 1"
zone = "Drums"
[[input]]
number = 2
name = "Kick out"
level = "mic"
cable = "F"
way = 2
port = "S1 in 2"
zone = "Drums"
[[input]]
number = 3
name = "Snare"
level = "mic"
cable = "F"
way = 3
port = "S1 in 5"
zone = "Drums"
[[input]]
number = 4
name = "Bass"
level = "mic"
source = "DI1"
cable = "X1"
port = "S3 in 7"
[[input]]
number = 5
name = "Talk"
level = "mic"
source = "DI2"
port = "DESK in 1"
[[output]]
number = 1
name = "Wedge"
cable = "X2"
port = "D1 out 1"
zone = "Front"
"""


@pytest.fixture(scope="module")
def rig(tmp_path_factory):
    path = tmp_path_factory.mktemp("plan") / "yard.toml"
    path.write_text(PLAN, encoding="utf-8")
    return load_plan(path)


@pytest.fixture(scope="module")
def asset(rig):
    """What each asset tag says: its lines, by the tag without its check character."""
    return {label.tag.body: [said.text for said in label.said] for label in labels_of(rig)}


@pytest.fixture(scope="module")
def show(rig):
    """What each show tag says above the line that names the plan, by owner, code and end."""
    labels = labels_of(rig, for_show=True)
    return {label.tag.body.removesuffix(f".{rig.mark}"): [said.text for said in label.said] for label in labels}


def test_every_item_has_its_tags_in_order_of_kind_and_plan_the_ends_of_a_cable_together(rig):
    boxes = ["YD.S2", "YD.S1", "YD.S3", "YD.D1"]
    cables = ["YD.H1", "HX.H2", "YD.H3", "YD.M", "YD.F", "YD.X1", "YD.X2", "YD.X3", "YD.X4"]
    ends = [f"{cable}.{end}" for cable in cables for end in "AB"]
    rest = ["YD.A", "YD.B", "YD.M1", "YD.M2", "YD.DI1", "YD.DI2", "YD.DI3"]
    assert [label.text[:-2] for label in labels_of(rig)] == [*boxes, *ends, *rest]


@pytest.mark.parametrize(
    ("tag", "lines"),
    [
        ("YD.S1", ["box, eight", "owner YD"]),
        ("YD.H1.A", ["hop, 15 m", "desk end", "owner YD"]),
        ("HX.H2.B", ["hop, 50.5 ft", "far end", "owner HX"]),
        ("YD.X3.A", ["lead, 6 m", "desk end", "owner YD"]),
        ("YD.A", ["chain, wire", "owner YD"]),
        ("YD.M2", ["supply, 120 V, 20.5 A", "owner YD"]),
        ("YD.DI1", ["source, active DI", "owner YD"]),
        ("YD.DI2", ["source", "owner YD"]),
    ],
)
def test_an_asset_tag_says_kind_length_end_and_owner(asset, tag, lines):
    assert asset[tag] == lines


def test_an_asset_tag_says_nothing_that_only_holds_for_this_plan(rig):
    """The words of another plan with the same gear, other names, ports, places and version, are the same."""
    text = PLAN.replace("Kick in", "Timpani").replace("Stage left", "Loft").replace("Drums", "Pit")
    text = (
        text.replace('name = "Yard"', 'name = "Other"\nversion = 9').replace("S3 in 7", "S3 in 8").replace("L2", "L1")
    )
    with TemporaryDirectory() as folder:
        path = Path(folder, "other.toml")
        path.write_text(text, encoding="utf-8")
        assert labels_of(load_plan(path)) == labels_of(rig)


@pytest.mark.parametrize(
    ("tag", "lines"),
    [
        ("YD.S1", ["Stage left", "from chain A by H1", "to S2 by H2"]),
        ("YD.S2", ["from S1 by H2", "to D1 by M, chain B"]),
        ("YD.D1", ["from S2 in 3 by M"]),
        ("YD.H1.A", ["into House chain A", "to S1 link in, Stage left"]),
        ("YD.H1.B", ["into S1 link in", "Stage left", "from House chain A"]),
        ("HX.H2.A", ["into S1 link out", "Stage left", "to S2 link in"]),
        ("HX.H2.B", ["into S2 link in", "from S1 link out, Stage left"]),
        ("YD.H3.A", ["into S2 outlet for chain B", "to S3 link in"]),
        ("YD.H3.B", ["into S3 link in", "from S2 outlet for chain B"]),
        ("YD.M.A", ["into S2 in 3 to 6; S2 out 3 to 4", "to D1"]),
        ("YD.M.B", ["into D1", "from S2 in 3 to 6; S2 out 3 to 4"]),
        ("YD.F.A", ["into S1 in 1 and 2, in 5", "Stage left", "Kick in and 2 more", "from Drums"]),
        ("YD.F.B", ["into Kick in and 2 more", "Drums", "to S1 in 1 and 2, in 5, Stage left"]),
        ("YD.X1.A", ["into S3 in 7", "Bass", "from DI1, active DI"]),
        ("YD.X1.B", ["into DI1, active DI", "Bass", "to S3 in 7"]),
        ("YD.X2.A", ["into D1 out 1", "Wedge", "to Front"]),
        ("YD.X2.B", ["into Wedge", "Front", "from D1 out 1"]),
        ("YD.X3.A", ["spare"]),
        ("YD.X4.B", ["not in use"]),
        ("YD.A", ["from House desk", "to S1 by H1"]),
        ("YD.B", ["from S2 outlet", "to S3 by H3"]),
        ("YD.M1", ["phase L2", "to S1, S3"]),
        ("YD.M2", []),
        ("YD.DI1", ["Bass", "to S3 in 7 by X1"]),
        ("YD.DI2", ["Talk", "to DESK in 1"]),
        ("YD.DI3", []),
    ],
)
def test_a_show_tag_says_where_the_thing_goes(rig, show, asset, tag, lines):
    what, owner = asset[tag][0], asset[tag][-1]
    assert show[tag] == [*lines, f"plan {rig.mark}, Yard", f"{what}, {owner}"]


def test_a_cable_of_inputs_and_outputs_says_the_other_end(tmp_path):
    text = PLAN.replace('cable = "X2"\nport = "D1 out 1"', 'cable = "F"\nway = 4\nport = "D1 out 1"')
    (tmp_path / "mixed.toml").write_text(text, encoding="utf-8")
    labels = labels_of(load_plan(tmp_path / "mixed.toml"), ["F"], for_show=True)
    lines = [[said.text for said in label.said][:3] for label in labels]
    assert lines[0] == ["into D1 out 1; S1 in 1 and 2, in 5", "Stage left", "Kick in and 3 more"]
    assert lines[1] == [
        "into Kick in and 3 more",
        "Drums, Front",
        "other end D1 out 1; S1 in 1 and 2, in 5, Stage left",
    ]


def test_where_this_end_goes_is_set_largest_and_the_other_end_small(rig, demo_rig):
    for label in (*labels_of(rig, for_show=True), *labels_of(demo_rig, for_show=True)):
        weights = [said.weight for said in label.said]
        if label.kind != "cable" or label.said[0].text in ("spare", "not in use"):
            continue
        into, *rest = label.said
        assert into.text.startswith("into ")
        assert weights.count("strong") == 1 == weights.count("strong") + weights.index("strong")
        away = [said for said in rest if said.text.split()[0] in ("to", "from")]
        assert {said.weight for said in away} <= {"small"}


def test_every_end_of_a_line_through_a_passive_box_says_what_it_goes_into(demo_rig):
    near, far = ([said.text for said in label.said][:3] for label in labels_of(demo_rig, ["LD30"], for_show=True))
    assert near == ["into DROP in 1", "Foot of the rock, stage left", "Choir low left"]
    assert far[:2] == ["into Choir low left", "to DROP in 1, Foot of the rock, stage left"]


def test_an_end_does_not_pass_the_far_zone_off_as_its_own_place(small_rig):
    near, far = ([said.text for said in label.said] for label in labels_of(small_rig, ["LD02"], for_show=True))
    assert near[:4] == ["into STOVE in 2", "Behind the stove", "Storyteller's table", "from Chair"]
    assert far[:3] == ["into Storyteller's table", "Chair", "to STOVE in 2, Behind the stove"]


def test_the_ends_of_cables_with_phantom_say_so_and_no_others(demo_rig):
    """The lines that need it and the multicore that they go through; link cables and outputs carry none."""
    wanted = {line.cable for line in demo_rig.lines if getattr(line, "phantom", False)} | {"LM01"}
    labels = labels_of(demo_rig, for_show=True)
    said = [(label.tag.code, one) for label in labels for one in label.said if one.text.startswith("phantom")]
    assert {code for code, _ in said} == wanted
    assert len(said) == 2 * len(wanted)
    assert {(one.text, one.weight, one.if_room) for _, one in said} == {
        ("phantom: mute before you plug", "small", True)
    }


def test_a_show_tag_carries_the_plans_mark_and_its_version(small_rig):
    (label,) = labels_of(small_rig, ["STOVE"], for_show=True)
    assert label.text == f"QN.STOVE.{small_rig.mark}.{label.tag.check}"
    assert f"plan {small_rig.mark}, version 2, Quarry Nights, Weighing Room" in [said.text for said in label.said]


@pytest.mark.independent
def test_the_mark_is_the_first_four_characters_in_base_36_of_the_files_digest(rig):
    digest = int(hashlib.sha256(PLAN.encode()).hexdigest(), 16)
    (label,) = labels_of(rig, ["S1"], for_show=True)
    assert label.tag.mark == np.base_repr(digest, 36)[:4]


def test_yesterdays_show_tag_is_not_todays(tmp_path):
    texts = []
    for version in ("", "# moved\n"):
        (tmp_path / "yard.toml").write_text(version + PLAN, encoding="utf-8")
        texts.append({label.text for label in labels_of(load_plan(tmp_path / "yard.toml"), for_show=True)})
    assert not texts[0] & texts[1]


def test_the_jacket_is_that_of_the_cables_kind(demo_rig):
    jackets = {label.tag.code: label.jacket_mm for label in labels_of(demo_rig)}
    assert (jackets["LD01"], jackets["HP01"], jackets["LM01"], jackets["RIGHT"]) == (6.1, 9.8, 16.4, None)


def test_a_link_stands_before_the_tag_in_the_qr_alone(rig):
    (label,) = labels_of(rig, ["S1"], link="HTTPS://TAGS.EXAMPLE/")
    assert label.payload == f"HTTPS://TAGS.EXAMPLE/{label.text}"
    assert label.text == Tag("YD", "S1").text
    (label,) = labels_of(rig, ["S1"])
    assert label.payload == label.text


def test_the_labels_are_the_tags_of_the_rig(rig):
    assert {label.tag for label in labels_of(rig)} == set(rig.tags)


def picked(rig, *items):
    return [label.text[:-2] for label in labels_of(rig, items)]


def test_items_are_picked_by_code_or_tag_as_people_type_them(rig):
    assert picked(rig, "s1") == ["YD.S1"]
    assert picked(rig, "x1") == ["YD.X1.A", "YD.X1.B"]
    assert picked(rig, "X1.b") == ["YD.X1.B"]
    assert picked(rig, Tag("HX", "H2", "B").text.lower()) == ["HX.H2.B"]
    assert picked(rig, "DI1", "S1", "X1", "s1", "X1.A") == ["YD.S1", "YD.X1.A", "YD.X1.B", "YD.DI1"]
    assert picked(rig) == []


def test_show_tags_are_picked_by_code_asset_tag_or_show_tag(rig):
    for typed in ("X1.A", Tag("YD", "X1", "A").text, Tag("YD", "X1", "A", rig.mark).text):
        (label,) = labels_of(rig, [typed], for_show=True)
        assert label.tag == Tag("YD", "X1", "A", rig.mark)
        assert picked(rig, typed) == ["YD.X1.A"]


def test_an_item_that_the_rig_does_not_have_is_named_with_the_nearest(rig):
    with pytest.raises(UnknownCode, match="nearest: X1"):
        labels_of(rig, ["S1", "X01X"])
    with pytest.raises(WrongCheckCharacter, match=re.escape(Tag("YD", "S1").text)):
        labels_of(rig, ["YD.S1.0"])


def test_the_demo_rig_has_a_label_for_every_tag(demo_rig, demo_labels):
    assert len(demo_labels) == len(set(demo_labels)) == len(demo_rig.tags)
    ends = 2 * len(demo_rig.cables)
    assert sum(label.kind == "cable" for label in demo_labels) == ends
    assert all(isinstance(label, Label) and label.said for label in demo_labels)
