"""Lines in the order of a walk over the stage."""

from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.review.order import path_m
from checkapp.rig.codes import known_port
from checkapp.rig.planfile import load_plan
from checkapp.show import places
from checkapp.show.stage_walk import stage_walk

DEMO = load_plan(places.shipped("plans") / "demo.toml")
NAMES = [line.line for line in DEMO.lines]
DESK_AT = (1.0, -32.0)


def box_of(name):
    return known_port(DEMO.line(name).port).code


def boxes_in(names):
    """The boxes as they are come to."""
    codes = [box_of(name) for name in names]
    return [codes[0], *(after for before, after in pairwise(codes) if before != after)]


def length_m(start, codes):
    return path_m(start, [DEMO.boxes[code].at for code in codes if code != "DESK"])


@pytest.mark.independent
def test_the_demo_is_walked_on_the_shortest_way_of_all_orders_box_by_box_and_port_by_port():
    walk = stage_walk(DEMO, NAMES)
    assert sorted(walk) == sorted(NAMES)
    codes = boxes_in(walk)
    assert len(codes) == len(set(codes))
    stage = [code for code in codes if code != "DESK"]
    best = min(length_m(DESK_AT, order) for order in permutations(stage))
    assert length_m(DESK_AT, stage) == pytest.approx(best, abs=1e-9)
    for before, after in pairwise(walk):
        one, other = known_port(DEMO.line(before).port), known_port(DEMO.line(after).port)
        assert one.code != other.code or (one.direction, one.number) < (other.direction, other.number)


@given(st.lists(st.sampled_from(NAMES), unique=True))
def test_it_takes_the_lines_that_are_asked_for_and_no_others(names):
    assert sorted(stage_walk(DEMO, names)) == sorted(names)
    assert stage_walk(DEMO, names) == stage_walk(DEMO, names[::-1])


@pytest.mark.independent
def test_in_the_middle_of_a_check_it_goes_on_from_where_one_stands():
    here = next(name for name in NAMES if box_of(name) == "BRASS")
    stage = [name for name in NAMES if box_of(name) not in ("DESK", "BRASS", "KEYS")]
    walk = stage_walk(DEMO, stage, at=here)
    start = DEMO.boxes["BRASS"].at
    best = min(length_m(start, order) for order in permutations(set(boxes_in(stage))))
    assert length_m(start, boxes_in(walk)) == pytest.approx(best, abs=1e-9)


PLAN = """
format = 1
[rig]
name = "Yard"
owner = "YD"
[link_kind.link]
max_length_m = 90.0
[cable_kind.wire]
[box_kind.four]
inputs = 4
outputs = 0
accepts = ["mic"]
[box_kind.drop]
inputs = 2
outputs = 0
passive = true
[[chain]]
code = "A"
link = "link"
{desk}
"""
BOX = """
[[cable]]
code = "LK{0}"
kind = "wire"
length_m = 5.0
[[box]]
code = "{0}"
kind = "four"
fed_from = "{1}"
cable = "LK{0}"
{2}
"""
DROP = """
[[box]]
code = "{0}"
kind = "drop"
fed_from = "{1}"
{2}
"""
LINE = """
[[input]]
number = {0}
name = "Line {0}"
level = "mic"
port = "{1}"
{2}
"""


def yard(tmp_path, boxes, lines, desk="", drops=()):
    text = PLAN.format(desk=desk)
    for before, (code, more) in zip(["A", *(code for code, _ in boxes)], boxes, strict=False):
        text += BOX.format(code, before, more)
    text += "".join(DROP.format(*drop) for drop in drops)
    text += "".join(LINE.format(number, port, more) for number, (port, more) in enumerate(lines, 1))
    (tmp_path / "yard.toml").write_text(text)
    rig = load_plan(tmp_path / "yard.toml")
    return rig, [line.line for line in rig.lines]


def test_without_a_place_for_the_desk_it_starts_where_the_first_line_is(tmp_path):
    boxes = [("B1", "at = [0.0, 0.0]"), ("B2", "at = [9.0, 0.0]"), ("B3", "at = [5.0, 0.0]")]
    lines = [("B2 in 1", ""), ("B1 in 1", ""), ("B3 in 1", "")]
    assert stage_walk(*yard(tmp_path, boxes, lines)) == ("in 1", "in 3", "in 2")
    desk = "at = [1.0, -5.0]"
    assert stage_walk(*yard(tmp_path, boxes, lines, desk)) == ("in 2", "in 3", "in 1")


def test_lines_without_a_place_stay_with_their_neighbours_and_else_come_last(tmp_path):
    boxes = [
        ("B1", ""),
        ("B2", 'place = "Left"\nat = [1.0, 0.0]'),
        ("B3", 'place = "Right"\nat = [9.0, 0.0]'),
        ("B4", 'place = "Left"'),
    ]
    lines = [
        ("B1 in 1", ""),  # nobody knows where
        ("B1 in 2", 'zone = "Horns"'),  # with most of its zone, at B3
        ("B3 in 1", 'zone = "Horns"'),
        ("B2 in 1", ""),
        ("B4 in 1", ""),  # at the place of the same name
        ("DR in 1", ""),  # with the box that it feeds
        ("B3 in 2", 'zone = "Horns"'),
    ]
    drops = [("DR", "B2 in 3", "")]
    found = stage_walk(*yard(tmp_path, boxes, lines, "at = [0.0, -1.0]", drops))
    assert found == ("in 4", "in 5", "in 6", "in 2", "in 3", "in 7", "in 1")


def test_a_drop_box_with_a_place_of_its_own_is_walked_to(tmp_path):
    boxes = [("B1", "at = [0.0, 0.0]"), ("B2", "at = [4.0, 0.0]")]
    lines = [("B1 in 1", ""), ("DR in 1", ""), ("B2 in 1", "")]
    found = stage_walk(*yard(tmp_path, boxes, lines, "at = [0.0, -1.0]", [("DR", "B1 in 3", "at = [8.0, 0.0]")]))
    assert found == ("in 1", "in 3", "in 2")


def test_no_place_at_all_is_box_by_box(tmp_path):
    rig, names = yard(tmp_path, [("B1", ""), ("B2", "")], [("B2 in 2", ""), ("B1 in 1", ""), ("B2 in 1", "")])
    assert stage_walk(rig, names) == ("in 2", "in 3", "in 1")
    assert stage_walk(rig, ()) == ()
