"""Which labels a rig has, in which order, and what they say."""

import re

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
def said(rig):
    """What each tag says: kind, what it is, what it is for, where it goes."""
    return {label.text[:-2]: (label.kind, label.what, label.name, label.place) for label in labels_of(rig)}


def test_every_item_has_its_tags_in_order_of_kind_and_plan_the_ends_of_a_cable_together(rig):
    boxes = ["YD.S2", "YD.S1", "YD.S3", "YD.D1"]
    cables = ["YD.H1", "HX.H2", "YD.H3", "YD.M", "YD.F", "YD.X1", "YD.X2", "YD.X3", "YD.X4"]
    ends = [f"{cable}.{end}" for cable in cables for end in "AB"]
    rest = ["YD.A", "YD.B", "YD.M1", "YD.M2", "YD.DI1", "YD.DI2", "YD.DI3"]
    assert [label.text[:-2] for label in labels_of(rig)] == [*boxes, *ends, *rest]


@pytest.mark.parametrize(
    ("tag", "label"),
    [
        ("YD.S1", ("box", "eight", "Stage left", "from chain A by H1")),
        ("YD.S2", ("box", "eight", "", "from S1 by H2")),
        ("YD.D1", ("box", "drop", "", "from S2 in 3 by M")),
        ("YD.H1.A", ("cable", "end A, hop, 15 m", "House desk to S1", "into House chain A")),
        ("YD.H1.B", ("cable", "end B, hop, 15 m", "House desk to S1", "into S1 link in")),
        ("HX.H2.A", ("cable", "end A, hop, 50.5 ft", "S1 to S2", "into S1 link out")),
        ("HX.H2.B", ("cable", "end B, hop, 50.5 ft", "S1 to S2", "into S2 link in")),
        ("YD.H3.A", ("cable", "end A, hop, 5 m", "S2 to S3", "into S2 outlet for chain B")),
        ("YD.H3.B", ("cable", "end B, hop, 5 m", "S2 to S3", "into S3 link in")),
        ("YD.M.A", ("cable", "end A, fan, 10 m", "S2 to D1", "into S2 in 3 to 6; S2 out 3 to 4")),
        ("YD.M.B", ("cable", "end B, fan, 10 m", "S2 to D1", "into D1")),
        ("YD.F.A", ("cable", "end A, fan, 4 m", "Kick in and 2 more", "into S1 in 1 and 2, in 5")),
        ("YD.F.B", ("cable", "end B, fan, 4 m", "Kick in and 2 more", "source end, Drums")),
        ("YD.X1.A", ("cable", "end A, lead, 3 m", "Bass", "into S3 in 7")),
        ("YD.X1.B", ("cable", "end B, lead, 3 m", "Bass", "into DI1, active DI")),
        ("YD.X2.A", ("cable", "end A, lead, 6 m", "Wedge", "into D1 out 1")),
        ("YD.X2.B", ("cable", "end B, lead, 6 m", "Wedge", "load end, Front")),
        ("YD.X3.A", ("cable", "end A, lead, 6 m", "spare", "")),
        ("YD.X4.B", ("cable", "end B, lead, 6 m", "not in use", "")),
        ("YD.A", ("chain", "chain, wire", "House desk", "to S1 by H1")),
        ("YD.B", ("chain", "chain, wire", "S2 outlet", "to S3 by H3")),
        ("YD.M1", ("supply", "supply", "230 V, 16 A, L2", "feeds S1, S3")),
        ("YD.M2", ("supply", "supply", "120 V, 20.5 A", "")),
        ("YD.DI1", ("source", "active DI", "Bass", "by X1")),
        ("YD.DI2", ("source", "source", "Talk", "into DESK in 1")),
        ("YD.DI3", ("source", "source", "", "")),
    ],
)
def test_what_a_label_says(said, tag, label):
    assert said[tag] == label


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


def test_an_item_that_the_rig_does_not_have_is_named_with_the_nearest(rig):
    with pytest.raises(UnknownCode, match="nearest: X1"):
        labels_of(rig, ["S1", "X01X"])
    with pytest.raises(WrongCheckCharacter, match=re.escape(Tag("YD", "S1").text)):
        labels_of(rig, ["YD.S1.0"])


def test_the_demo_rig_has_a_label_for_every_tag(demo_rig, demo_labels):
    assert len(demo_labels) == len(set(demo_labels)) == len(demo_rig.tags)
    ends = 2 * len(demo_rig.cables)
    assert sum(label.kind == "cable" for label in demo_labels) == ends
    assert all(isinstance(label, Label) and label.what for label in demo_labels)
