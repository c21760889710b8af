"""What is taken in a plan and what is free, and how far hops have to reach."""

import pytest

from checkapp.rig.codes import Port
from checkapp.rig.distance import distance_m, place_of
from checkapp.rig.occupied import cables_used, free_cables, free_ports, lines_through, passive_way, ports_used
from checkapp.rig.planfile import load_plan


def test_ports_of_lines_inserts_and_passive_boxes_are_taken(small):
    ports = {str(port) for port in ports_used(small)}
    drop = {f"S2 in {number}" for number in (3, 4, 5, 6)} | {"S2 out 3", "S2 out 4"}
    lines = {"D1 in 2", "S1 in 1", "DESK in 5", "D1 out 1"}
    assert ports == lines | drop | {"S2 out 1", "S2 in 8"}


def test_the_free_ports_of_a_box(small):
    used = ports_used(small)
    assert [port.number for port in free_ports(small, small.boxes["S2"], "in", used)] == [1, 2, 7]
    assert [port.number for port in free_ports(small, small.boxes["S2"], "out", used)] == [2]
    assert [port.number for port in free_ports(small, small.boxes["D1"], "in", used)] == [1, 3, 4]


def test_cables_are_free_when_no_box_and_no_line_has_them(small):
    assert cables_used(small) == {"H1", "H2", "MU", "X1"}
    assert [cable.code for cable in free_cables(small)] == ["X2"]


def test_the_way_through_passive_boxes(small):
    assert list(passive_way(small, Port("D1", "in", 2))) == [Port("D1", "in", 2)]
    assert list(passive_way(small, Port("S2", "in", 2))) == []
    assert lines_through(small) == {"D1": 2}


@pytest.mark.closed_form
def test_distances_on_the_stage_plan(write, small_text):
    text = small_text.replace('desk = "FOH"', "at = [0.0, -3.0]").replace(
        'cable = "H1"', 'cable = "H1"\nat = [4.0, 0.0]'
    )
    text = text.replace('cable = "H2"', 'cable = "H2"\nat = [4.0, 12.5]')
    text += '[[chain]]\ncode = "B"\nlink = "wire"\nfrom = "S2"\n[[chain]]\ncode = "C"\nlink = "wire"\n'
    rig = load_plan(write(text))
    assert distance_m(rig, "A", rig.boxes["S1"]) == 5.0
    assert distance_m(rig, "S1", rig.boxes["S2"]) == 12.5
    assert place_of(rig, "B") == (4.0, 12.5)
    assert place_of(rig, "C") is None
    assert distance_m(rig, "C", rig.boxes["S1"]) is None
    assert distance_m(rig, "S1", rig.boxes["D1"]) is None
