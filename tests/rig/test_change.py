"""A changed copy of a rig is what the changed plan file would be; what a plan file may not say is refused."""

import tomllib
from collections import Counter

import pytest

from checkapp.rig.change import (
    CannotChange,
    NewCable,
    NewChain,
    NewSupply,
    OnSupply,
    OtherCable,
    OtherChain,
    OtherLoad,
    OtherPort,
    changed,
    new_code,
)
from checkapp.rig.errors import PlanRefused
from checkapp.rig.model import Cable, Chain, Supply
from checkapp.rig.planfile import load_plan

PLAN = """
format = 1
[rig]
name = "Changing rig"
owner = "CR"
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
outputs = 2
passive = true
[box_kind.y]
inputs = 2
outputs = 1
passive = true

[[chain]]
code = "A"
link = "deck"
[[chain]]
code = "B"
link = "deck"
[[chain]]
code = "T"
link = "thread"
[[chain]]
code = "E"
link = "deck"
[[chain]]
code = "P"
link = "thread"
from = "A3"
[[chain]]
code = "PP"
link = "thread"
from = "P1"

[[supply]]
code = "C1"
volts = 230
breaker_amps = 16
[[supply]]
code = "C2"
volts = 230
breaker_amps = 10
other_load_w = 100

[[cable]]
code = "HA1"
kind = "cord"
length_m = 10
[[cable]]
code = "HA2"
kind = "cord"
length_m = 10
[[cable]]
code = "HA3"
kind = "cord"
length_m = 10
[[cable]]
code = "HB1"
kind = "cord"
length_m = 10
[[cable]]
code = "HT1"
kind = "string"
length_m = 10
[[cable]]
code = "HT2"
kind = "cord"
length_m = 10
[[cable]]
code = "HP1"
kind = "string"
length_m = 10
[[cable]]
code = "SP1"
kind = "cord"
length_m = 20
spare = true
[[cable]]
code = "SP2"
kind = "string"
length_ft = 20
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
[[cable]]
code = "MU"
kind = "loom4"
length_m = 5
[[cable]]
code = "X1"
kind = "string"
length_m = 5

[[box]]
code = "A1"
kind = "four"
fed_from = "A"
cable = "HA1"
[[box]]
code = "A2"
kind = "four"
fed_from = "A1"
cable = "HA2"
supply = "C1"
[[box]]
code = "A3"
kind = "four"
fed_from = "A2"
cable = "HA3"
repeats = "A2"
[[box]]
code = "B1"
kind = "four"
fed_from = "B"
cable = "HB1"
[[box]]
code = "T1"
kind = "four"
fed_from = "T"
cable = "HT1"
[[box]]
code = "T2"
kind = "four"
fed_from = "T1"
cable = "HT2"
[[box]]
code = "P1"
kind = "four"
fed_from = "P"
cable = "HP1"
[[box]]
code = "D1"
kind = "drop"
fed_from = "B1 in 1"
outputs_from = "B1 out 1"
cable = "MU"
[[box]]
code = "D2"
kind = "drop"
fed_from = "DESK in 5"
[[box]]
code = "D3"
kind = "y"
fed_from = "D1 in 1"
outputs_from = "D1 out 2"

[[input]]
number = 1
name = "One"
level = "mic"
port = "A1 in 1"
cable = "X1"
[[input]]
number = 2
name = "Two"
level = "mic"
port = "D1 in 3"
[[input]]
number = 3
name = "Three"
level = "mic"
port = "D3 in 1"
[[input]]
number = 4
name = "Four"
level = "mic"
port = "D3 in 2"
[[output]]
number = 1
name = "Wedge"
port = "D3 out 1"
[[output]]
number = 2
name = "Side"
port = "A1 out 1"
[[insert]]
name = "Box of tricks"
input = 1
send = "A2 out 1"
return = "A2 in 1"
"""


@pytest.fixture(scope="module")
def load(tmp_path_factory, plan_text):
    path = tmp_path_factory.mktemp("changes") / "plan.toml"

    def read(data):
        path.write_text(plan_text(data), encoding="utf-8")
        return load_plan(path)

    return read


@pytest.fixture(scope="module")
def rig(load):
    return load(tomllib.loads(PLAN))


def all_changes(rig):
    """Every change of one box, cable or line that could be asked for, sensible or not; none that changes nothing."""
    for box in rig.boxes.values():
        yield from (OnSupply(box.code, supply) for supply in rig.supplies if supply != box.supply)
        yield from (OtherCable(box.code, cable) for cable in rig.cables if cable != box.cable)
    for chain in rig.chains:
        boxes = [box.code for box in rig.boxes_on(chain)]
        for first in range(len(boxes)):
            yield from (OtherChain(tuple(boxes[first:]), other) for other in rig.chains)
    ports = [
        f"{code} {way} {number}" for code in (*rig.boxes, "DESK") for way in ("in", "out") for number in range(1, 6)
    ]
    for line in rig.lines:
        yield from (OtherPort(line.line, port) for port in ports if port != line.port)
    yield from (OtherLoad("C2", watts) for watts in (0.0, 50.5, 1e12, -1.0, float("inf")))
    for code in ("NEW", "C1", "C-1", "DESK", "A"):
        yield NewSupply(Supply(code=code, volts=120.0, breaker_amps=20.0))
        for link in ("deck", "rope"):
            yield NewChain(Chain(code=code, link=link))
        for kind in ("cord", "string", "loom2", "none"):
            yield from (NewCable(box, Cable(code=code, kind=kind, length_ft=30.0)) for box in ("A2", "T1", "D1"))


def outcome_of_text(load, data):
    try:
        return load(data).plan.model_dump()
    except PlanRefused:
        return None


def outcome_of_change(rig, change):
    try:
        return changed(rig, [change]).plan.model_dump()
    except CannotChange:
        return None


@pytest.mark.independent
def test_every_change_is_the_changed_text_or_both_are_refused(rig, load, written_into):
    seen = Counter()
    data, before = tomllib.loads(PLAN), rig.plan.model_dump()
    for change in all_changes(rig):
        made, read = outcome_of_change(rig, change), outcome_of_text(load, written_into(data, [change]))
        assert made == read, change
        assert made != before, change
        seen[type(change), made is not None] += 1
    assert rig.plan.model_dump() == before
    assert {kind for kind, made in seen if made} == {kind for kind, _ in seen}
    refused = {kind for kind, made in seen if not made}
    assert refused == {OtherCable, OtherChain, OtherPort, OtherLoad, NewSupply, NewChain, NewCable}
    assert seen[OtherChain, True] > 5


@pytest.mark.parametrize(
    "change",
    [
        OnSupply("A1", "C9"),
        OnSupply("ZZ", "C1"),
        OtherCable("ZZ", "SP1"),
        OtherCable("A1", "ZZ"),
        OtherCable("A1", "HA1"),
        OtherChain(("A2",), "B"),
        OtherChain(("A1", "A2"), "B"),
        OtherChain((), "B"),
        OtherChain(("A3", "B1"), "E"),
        OtherChain(("D1",), "B"),
        OtherChain(("P1",), "ZZ"),
        OtherPort("in 9", "A1 in 2"),
        OtherPort("in 1", "A1 in 1"),
        OtherPort("in 1", "A1"),
        OtherLoad("ZZ", 5.0),
        NewCable("ZZ", Cable(code="NEW", kind="cord", length_m=1.0)),
        NewChain(Chain.model_validate({"code": "NEW", "link": "deck", "from": "A1"})),
    ],
)
def test_what_names_nothing_or_changes_nothing_is_refused(rig, change):
    with pytest.raises(CannotChange):
        changed(rig, [change])


def test_changes_follow_each_other(rig):
    """Boxes that stay on one chain, a box that repeats among them, go together; the next goes behind them."""
    copy = changed(rig, [OtherChain(("A2", "A3"), "B"), OtherChain(("T2",), "B"), OnSupply("T2", "C2")])
    assert [box.code for box in copy.boxes_on("B")] == ["B1", "A2", "A3", "T2"]
    assert [box.code for box in copy.boxes_on("A")] == ["A1"]
    assert copy.boxes["T2"].supply == "C2"
    assert {item.name for item in copy.path("in 1") if item.kind == "chain"} == {"chain A", "chain B"}
    assert [box.code for box in rig.boxes_on("B")] == ["B1"]


def test_a_cable_that_is_taken_away_is_free_for_the_next(rig):
    copy = changed(rig, [OtherCable("A1", "SP1"), OtherCable("B1", "HA1")])
    assert (copy.boxes["A1"].cable, copy.boxes["B1"].cable) == ("SP1", "HA1")
    assert {code for code, cable in copy.cables.items() if cable.spare} == {"HB1", "SP2", "SP4"}


def test_no_change_is_the_same_plan(rig):
    assert changed(rig, []).plan == rig.plan


def test_a_new_code_is_none_of_the_rig(rig):
    assert new_code(rig, "NEW") == "NEW"
    assert new_code(rig, "P") == "P2"
    assert new_code(rig, "C") == "C"
    assert new_code(rig, "D") == "D"
    assert new_code(rig, "DESK") == "DESK2"
