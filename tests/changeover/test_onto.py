"""A new list on a rig that stands: as few re-plugs as can be, against every way to plug it."""

import random
import sys
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.changeover.carried import carried
from checkapp.changeover.onto import NewLine, gone, placed_onto, replugs
from checkapp.rig.codes import known_port
from checkapp.rig.model import PlanFile
from checkapp.rig.rig import Rig

HEAD = {
    "format": 1,
    "rig": {"name": "Old mill", "owner": "OM", "version": 1},
    "link_kind": {"deck": {"max_length_m": 100.0, "max_boxes": 8, "max_channels": 64}},
    "cable_kind": {"wire": {}},
    "box_kind": {
        "both": {"inputs": 3, "outputs": 2, "accepts": ["mic", "line"], "phantom": True},
        "lines": {"inputs": 3, "outputs": 0, "accepts": ["line"]},
    },
    "chain": [{"code": "A", "link": "deck"}],
    "cable": [{"code": "LK01", "kind": "wire", "length_m": 9.0}, {"code": "LK02", "kind": "wire", "length_m": 9.0}],
    "box": [
        {"code": "SB1", "kind": "both", "fed_from": "A", "cable": "LK01"},
        {"code": "SB2", "kind": "lines", "fed_from": "SB1", "cable": "LK02"},
    ],
}


def rig_of(inputs=(), outputs=(), **tables):
    data = {**HEAD, "input": list(inputs), "output": list(outputs), **tables}
    return Rig(PlanFile.model_validate(data), "0" * 64, "mill.toml")


def line(number, name, port, level="line", **more):
    return {"number": number, "name": name, "level": level, "port": port, **more}


def ports(placed):
    return [None if one.port is None else str(one.port) for one in placed]


def test_a_line_that_goes_on_stays_where_it_is_whatever_its_number():
    rig = rig_of([line(1, "Keys", "SB2 in 2"), line(2, "Bass", "SB1 in 1")])
    placed = placed_onto(rig, [NewLine("in", 1, "BASS", "line"), NewLine("in", 5, "keys", "line")])
    assert ports(placed) == ["SB1 in 1", "SB2 in 2"]
    assert replugs(placed) == 0
    assert gone(rig, placed) == ()


def test_new_lines_come_in_the_order_of_the_list_into_free_ports():
    rig = rig_of([line(1, "Keys", "SB1 in 2")])
    new = [NewLine("in", number, name, "mic") for number, name in enumerate(["Kick", "Snare"], 1)]
    assert ports(placed_onto(rig, [*new, NewLine("in", 3, "Keys", "line")])) == ["SB1 in 1", "SB1 in 3", "SB1 in 2"]


def test_level_and_phantom_power_are_respected_and_what_finds_no_port_is_told():
    rig = rig_of()
    new = [NewLine("in", number, f"Choir {number}", "mic", phantom=True) for number in range(1, 5)]
    assert ports(placed_onto(rig, new)).count(None) == 1
    assert all(port is None or port.startswith("SB1") for port in ports(placed_onto(rig, new)))


def test_the_box_of_the_same_zone_comes_first():
    rig = rig_of([line(1, "Keys", "SB2 in 1", zone="Riser"), line(2, "Bass", "SB1 in 1", zone="Front")])
    (placed,) = placed_onto(rig, [NewLine("in", 1, "Organ", "line", zone="riser")])
    assert placed.port.code == "SB2"


def test_a_port_that_a_line_still_sits_on_comes_last():
    rig = rig_of([line(1, "Keys", "SB1 in 1")])
    (placed,) = placed_onto(rig, [NewLine("in", 1, "Organ", "line")])
    assert str(placed.port) == "SB1 in 2"


def test_a_line_that_its_box_no_longer_serves_moves_and_keeps_its_cable():
    rig = rig_of([line(1, "Keys", "SB2 in 1", cable="XL1")], cable=[*HEAD["cable"], {"code": "XL1", "kind": "wire"}])
    placed = placed_onto(rig, [NewLine("in", 1, "Keys", "mic", phantom=True)])
    found = carried(rig, placed).plan.input[0]
    assert (found.port, found.cable, found.level, found.phantom) == ("SB1 in 1", "XL1", "mic", True)


def test_a_new_line_takes_over_the_cable_of_one_that_has_gone_and_inserts_follow_their_input():
    boxes = {**HEAD["box_kind"], "lines": {"inputs": 1, "outputs": 0, "accepts": ["line"]}}
    rig = rig_of(
        [line(1, "Keys", "SB2 in 1", cable="LK09"), line(2, "Bass", "SB1 in 1"), line(3, "Flute", "SB1 in 3")],
        box_kind={**boxes, "both": {**HEAD["box_kind"]["both"], "accepts": ["mic"]}},
        cable=[*HEAD["cable"], {"code": "LK09", "kind": "wire", "length_m": 3.0}],
        insert=[
            {"name": "Press", "input": 2, "send": "SB1 out 1", "return": "SB1 in 2"},
            {"name": "Warm", "input": 3, "send": "SB1 out 2", "return": "SB1 in 2"},
        ],
    )
    placed = placed_onto(rig, [NewLine("in", 7, "Organ", "line"), NewLine("in", 8, "Bass")])
    found = carried(rig, placed)
    assert [(one.number, one.port, one.cable) for one in found.plan.input] == [
        (7, "SB2 in 1", "LK09"),
        (8, "SB1 in 1", None),
    ]
    assert [(one.name, one.input) for one in found.plan.insert] == [("Press", 8)]
    assert [one.name for one in found.dropped] == ["Warm"]


def test_outputs_are_placed_on_outputs():
    rig = rig_of(outputs=[{"number": 1, "name": "Wedge", "port": "SB1 out 2"}])
    placed = placed_onto(rig, [NewLine("out", 1, "Fill"), NewLine("out", 2, "Wedge")])
    assert ports(placed) == ["SB1 out 1", "SB1 out 2"]


def drawn(seed):
    """A rig with some lines and a new list that shares names with it."""
    rng = random.Random(seed)
    free = [f"SB{box} in {port}" for box in (1, 2) for port in (1, 2, 3)]
    names = ["Kick", "Bass", "Keys", "Flute", "Choir", "Organ"]
    old = []
    for number, name in enumerate(rng.sample(names, rng.randint(0, 5)), 1):
        port = free.pop(rng.randrange(len(free)))
        level = "line" if port.startswith("SB2") else rng.choice(["mic", "line"])
        old.append(line(number, name, port, level, zone=rng.choice(["Left", "Right"])))
    new = [
        NewLine("in", number, name, rng.choice(["mic", "line", None]), rng.random() < 0.3, rng.choice(["Left", None]))
        for number, name in enumerate(rng.sample(names, rng.randint(0, 6)), 1)
    ]
    return rig_of(old), new


def takes(port, one):
    return port.startswith("SB1") or (one.level in ("line", None) and not one.phantom)


def every_way(rig, new):
    """(lines without a port, re-plugs) of the best of all ways."""
    old = {one.name: one.port for one in rig.lines}
    places = [f"SB{box} in {port}" for box in (1, 2) for port in (1, 2, 3)] + [None] * len(new)
    best = (len(new) + 1, 0)
    for way in set(permutations(places, len(new))):
        if all(port is None or takes(port, one) for port, one in zip(way, new, strict=True)):
            plugged = sum(port is not None and port != old.get(one.name) for port, one in zip(way, new, strict=True))
            best = min(best, (way.count(None), plugged))
    return best


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(40))
def test_re_plugs_are_the_fewest_of_all_ways(seed):
    rig, new = drawn(seed)
    if len(new) > 5:
        new = new[:5]
    placed = placed_onto(rig, new)
    assert (ports(placed).count(None), replugs(placed)) == (every_way(rig, new) if new else (0, 0))


@given(st.integers(0, 10**6))
@settings(max_examples=60)
def test_no_port_is_given_twice_or_to_a_line_that_it_does_not_take_and_the_same_list_again_moves_nothing(seed):
    rig, new = drawn(seed)
    placed = placed_onto(rig, new)
    given_out = [port for port in ports(placed) if port]
    assert len(given_out) == len(set(given_out))
    assert all(one.port is None or takes(str(one.port), one.wanted) for one in placed)
    after = Rig(carried(rig, placed).plan, "0" * 64, "mill.toml")
    again = placed_onto(after, [one.wanted for one in placed if one.port])
    assert replugs(again) == 0
    assert [str(one.port) for one in again] == [one.port for one in after.lines]


def test_a_large_list_is_placed():
    sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))
    import tomllib

    from big_rig import plan_text

    rig = Rig(PlanFile.model_validate(tomllib.loads(plan_text(16, 64, 512))), "0" * 64, "big.toml")
    names = [one.name for one in rig.lines]
    random.Random(1).shuffle(names)
    placed = placed_onto(rig, [NewLine("in", at, name, "mic") for at, name in enumerate(names, 1)])
    assert replugs(placed) == 0
    assert {one.port for one in placed} == {known_port(one.port) for one in rig.lines}
