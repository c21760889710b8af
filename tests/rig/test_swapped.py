"""A rig in which one item took another's place is what the plan would be with the other code written there."""

import json
import re
import tomllib
from collections import Counter

import pytest

from checkapp.rig.change import CannotChange, OtherPort, changed
from checkapp.rig.errors import PlanRefused
from checkapp.rig.planfile import load_plan
from checkapp.rig.swapped import differences, renamed, swapped, used_by

PLAN = """
format = 1
[rig]
name = "Swapping rig"
owner = "SR"
[link_kind.deck]
max_length_m = 100
volts = 48.0
max_amps = 2.0
[link_kind.thread]
max_length_m = 100
[cable_kind.cord]
core_mm2 = 0.5
[cable_kind.string]
[cable_kind.loom2]
ways = 2
[cable_kind.loom4]
ways = 4
[box_kind.four]
inputs = 4
outputs = 2
accepts = ["mic"]
draw_w = 5.0
link_powered = true
[box_kind.drop]
inputs = 3
outputs = 1
passive = true
[[chain]]
code = "A"
link = "deck"
[[chain]]
code = "P"
link = "thread"
from = "A1"
[[supply]]
code = "C1"
volts = 230
breaker_amps = 16
phase = "L1"
[[supply]]
code = "C2"
volts = 230
breaker_amps = 32
phase = "L2"
[[supply]]
code = "C3"
volts = 230
breaker_amps = 16
[[source]]
code = "MC1"
kind = "condenser"
[[source]]
code = "MC2"
kind = "ribbon"
[[source]]
code = "DI1"
[[cable]]
code = "HA1"
kind = "cord"
length_m = 20
[[cable]]
code = "HA2"
kind = "cord"
length_m = 10
[[cable]]
code = "HP1"
kind = "string"
length_m = 10
[[cable]]
code = "MU"
kind = "loom4"
length_m = 10
[[cable]]
code = "FN"
kind = "loom4"
length_m = 5
[[cable]]
code = "X1"
kind = "string"
length_m = 5
owner = "TN"
[[cable]]
code = "SP1"
kind = "cord"
length_ft = 50
spare = true
[[cable]]
code = "SP2"
kind = "string"
length_m = 5
spare = true
[[cable]]
code = "SP3"
kind = "loom2"
length_m = 5
[[cable]]
code = "SP4"
kind = "loom4"
length_m = 5
spare = true
[[box]]
code = "A1"
kind = "four"
fed_from = "A"
cable = "HA1"
supply = "C1"
place = "Left"
settings = { "Clock" = "in" }
[[box]]
code = "A2"
kind = "four"
fed_from = "A1"
cable = "HA2"
supply = "C1"
repeats = "A1"
[[box]]
code = "P1"
kind = "four"
fed_from = "P"
cable = "HP1"
supply = "C2"
[[box]]
code = "D1"
kind = "drop"
fed_from = "A1 in 2"
outputs_from = "A1 out 1"
cable = "MU"
[[input]]
number = 1
name = "One"
level = "mic"
port = "A1 in 1"
cable = "X1"
source = "MC1"
[[input]]
number = 2
name = "Two"
level = "mic"
port = "D1 in 1"
cable = "FN"
way = 1
source = "MC1"
[[input]]
number = 3
name = "Three"
level = "mic"
port = "D1 in 2"
cable = "FN"
way = 3
[[output]]
number = 1
name = "Wedge"
port = "D1 out 1"
[[insert]]
name = "Box of tricks"
input = 1
send = "A1 out 2"
return = "A2 in 1"
"""
TABLES = ("cable", "box", "supply", "source")


@pytest.fixture(scope="module")
def load(tmp_path_factory, plan_text):
    path = tmp_path_factory.mktemp("swaps") / "plan.toml"

    def read(data):
        path.write_text(plan_text(data).replace('{"Clock": "in"}', '{ "Clock" = "in" }'), encoding="utf-8")
        return load_plan(path)

    return read


@pytest.fixture(scope="module")
def rig(load):
    return load(tomllib.loads(PLAN))


def entry(data, table, code):
    return next((one for one in data[table] if one["code"] == code), None)


def written(old, new):
    """The plan's data with the codes exchanged in its text wherever ``old`` is used: a hand that knows no rule."""
    data = tomllib.loads(PLAN)
    table = next(table for table in TABLES if entry(data, table, old))
    was = entry(data, table, old)
    if entry(data, table, new) is None:
        data[table].append({key: value for key, value in was.items() if key != "owner"} | {"code": new})
    if table == "box":
        data["box"] = [one for one in data["box"] if one is not was]
        data["box"].insert(tomllib.loads(PLAN)["box"].index(was), data["box"].pop())
    for fields in data.values():
        for one in fields if isinstance(fields, list) else ():
            for key, value in one.items():
                if key != "code" and isinstance(value, str):
                    one[key] = re.sub(rf"^{old}(?= (in|out) [0-9]+$|$)", new, value)
    for code in (old, new):
        if table == "cable":
            entry(data, table, code)["spare"] = False
    return data


def outcome(made):
    try:
        return made().plan.model_dump()
    except (PlanRefused, CannotChange):
        return None


@pytest.mark.independent
def test_every_swap_is_the_text_with_the_other_code_or_both_are_refused(rig, load):
    """Refused besides are swaps with what is in use: the text with one code in two places may be a good plan."""
    seen = Counter()
    before = rig.plan.model_dump()
    data = tomllib.loads(PLAN)
    sorts = {one["code"]: table for table in TABLES for one in data[table]}
    for old, table in sorts.items():
        if not used_by(rig, old):
            continue
        for new in [code for code, sort in sorts.items() if sort == table and not used_by(rig, code)] + ["NEW-1"]:
            made = outcome(lambda old=old, new=new: swapped(rig, old, new))
            assert made == outcome(lambda old=old, new=new: load(written(old, new))), (old, new)
            seen[table, new == "NEW-1", made is not None] += 1
    assert rig.plan.model_dump() == before
    assert {(table, True, True) for table in TABLES} < set(seen)
    assert {("cable", False, True), ("cable", False, False), ("supply", False, True), ("source", False, True)} < set(
        seen
    )


def names(rig, line):
    return [item.name for item in rig.path(line)]


def test_a_spare_takes_the_place_of_a_cable_and_the_old_one_is_no_spare(rig):
    copy = swapped(rig, "X1", "SP2")
    assert names(copy, "in 1")[:3] == ["MC1", "SP2", "A1 in 1"]
    assert names(rig, "in 1")[1] == "X1"
    assert (copy.cables["X1"].spare, copy.cables["SP2"].spare, copy.items["X1"]) == (False, False, "cable")
    assert used_by(copy, "X1") == ()
    assert (copy.digest, copy.file, copy.mark) == (rig.digest, rig.file, rig.mark)
    assert swapped(copy, "SP2", "X1").path("in 1") == rig.path("in 1")


def test_a_loom_carries_all_its_lines_over_and_a_hop_its_box(rig):
    assert [names(swapped(rig, "FN", "SP4"), line)[1] for line in ("in 2", "in 3")] == ["SP4", "SP4"]
    assert ("SP1", "hop") in swapped(rig, "HA1", "SP1").path("in 1")


def test_a_box_brings_its_ports_and_all_that_hangs_on_it(rig):
    copy = swapped(rig, "A1", "SB9", "TN")
    assert "A1" not in copy.items
    assert not any(name.startswith("A1 ") for name in copy.items)
    assert copy.boxes["SB9"].settings == {"Clock": "in"}
    assert (copy.owner_of("SB9"), copy.boxes["SB9"].place) == ("TN", "Left")
    assert [box.code for box in copy.boxes_on("A")] == ["SB9", "A2"]
    assert copy.chain_of("P1") == "P"
    for line in rig.lines:
        assert names(copy, line.line) == [renamed(name, "A1", "SB9") for name in names(rig, line.line)]
    back = swapped(copy, "SB9", "A1")
    assert back.plan == rig.plan


def test_hired_gear_keeps_its_owner_and_the_rigs_own_needs_none(rig):
    assert swapped(rig, "X1", "LX9", "HG").owner_of("LX9") == "HG"
    own = swapped(rig, "X1", "LX9", "SR")
    assert (own.cables["LX9"].owner, own.owner_of("LX9"), own.cables["LX9"].length) == (None, "SR", "5 m")
    assert {tag.body for tag in own.tags if tag.code == "LX9"} == {"SR.LX9.A", "SR.LX9.B"}


def test_hired_gear_with_a_code_that_the_rig_has_is_not_taken_for_the_rigs(rig):
    with pytest.raises(CannotChange) as refused:
        swapped(rig, "FN", "SP4", "TN")
    assert str(refused.value) == "the rig has a SP4 of SR already: TN.SP4 cannot be told from it"
    assert swapped(rig, "FN", "SP4", "SR").plan == swapped(rig, "FN", "SP4").plan
    back = swapped(rig, "X1", "SP2")
    assert swapped(back, "SP2", "X1", "TN").owner_of("X1") == "TN"


def test_a_source_without_a_code_gives_way_to_one_that_has_one(rig):
    copy = swapped(rig, "source in 3", "MC2")
    assert names(copy, "in 3")[0] == "MC2"
    assert names(swapped(rig, "source in 3", "NEW"), "in 3")[0] == "NEW"
    assert names(swapped(rig, "MC1", "MC2"), "in 2")[0] == "MC2"


def test_a_line_that_was_moved_moves_on_with_its_box(rig):
    moved = changed(rig, [OtherPort("in 1", "A2 in 4")])
    assert swapped(moved, "A2", "SB9").line("in 1").port == "SB9 in 4"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("X1", "X1", "X1 cannot take its own place"),
        ("NEW", "N-EW", "the rig has no NEW"),
        ("X1", "HA1", "HA1 is in use: A1"),
        ("X1", "FN", "FN is in use: in 2, in 3"),
        ("C1", "C2", "C2 is in use: P1"),
        ("X1", "MC2", "MC2 is a source, X1 a cable: only a cable takes its place"),
        ("MC1", "SP1", "SP1 is a cable, MC1 a source: only a source takes its place"),
        ("X1", "A", "A is a chain, X1 a cable: only a cable takes its place"),
        ("X1", "A2 in 3", "A2 in 3 is a port, X1 a cable: only a cable takes its place"),
        ("A1", "P1", "P1 is in use: only a box that the rig does not have takes another's place"),
        ("SP1", "SP2", "SP1 is not in use: nothing takes its place"),
        ("MC2", "DI1", "MC2 is not in use: nothing takes its place"),
        ("FN", "SP3", "SP3 has too few ways: in 3 is on way 3, it has 2"),
        ("MU", "SP3", "SP3 has too few ways for 3 lines through D1"),
        ("HA1", "SP2", "SP2 is of kind string, without resistance, on the powered chain A"),
        ("A1 in 3", "A1 in 4", "A1 in 3 cannot be swapped: move its line to a free port, or swap the box"),
        ("chain A", "NEW", "chain A cannot be swapped: name a cable, a box, a supply or a source"),
        ("desk in 1", "NEW", "desk in 1 cannot be swapped: name a cable, a box, a supply or a source"),
        ("load out 1", "NEW", "load out 1 cannot be swapped: name a cable, a box, a supply or a source"),
        ("X1", "new", "new is no code: 1 to 10 of A-Z 0-9 and hyphens within"),
        ("X1", "LONG-CODE-11", "LONG-CODE-11 is no code: 1 to 10 of A-Z 0-9 and hyphens within"),
        ("X1", "DESK", "the rig has a DESK already"),
        ("X1", "H-A1", "the rig has a H-A1 already"),
        ("X1", "X-1", "X1 cannot take its own place"),
    ],
)
def test_what_cannot_be_is_refused_in_plain_words(rig, old, new, words):
    with pytest.raises(CannotChange) as refused:
        swapped(rig, old, new)
    assert str(refused.value) == words


def test_an_owner_that_is_none_is_refused(rig):
    with pytest.raises(CannotChange, match="HIRED is no owner"):
        swapped(rig, "X1", "NEW", "HIRED")


def test_in_what_the_new_one_is_another_is_told(rig):
    assert differences(rig, "HA1", "SP1") == ("SP1 is 50 ft, HA1 20 m",)
    assert differences(rig, "HA1", "SP2") == ("SP2 is 5 m, HA1 20 m", "kind string, not cord")
    assert differences(rig, "X1", "SP2") == ()
    assert differences(rig, "MC1", "MC2") == ("MC2 is ribbon, MC1 condenser",)
    assert differences(rig, "MC1", "DI1") == ()
    assert differences(rig, "C1", "C2") == ("C2 has 32 A, C1 16 A", "C2 is on L2, C1 on L1")
    assert differences(rig, "C1", "C3") == ()
    assert differences(rig, "X1", "NEW") == ()
    assert differences(rig, "source in 3", "MC2") == ()


def test_only_the_item_itself_and_its_ports_are_renamed():
    assert [
        renamed(name, "SB1", "SB9") for name in ("SB1", "SB1 in 12", "SB1 out 1", "SB11", "SB11 in 1", "chain SB1")
    ] == [*("SB9", "SB9 in 12", "SB9 out 1", "SB11", "SB11 in 1", "chain SB1")]


def test_the_text_of_the_plan_is_what_the_hand_of_the_first_test_writes():
    data = tomllib.loads(PLAN)
    assert json.dumps(written("A1", "Z")).count('"A1') == 0
    assert json.dumps(data).count('"A1') == 8
