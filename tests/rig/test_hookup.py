"""What is on each port of the demo rig, in rows that screens and paper share."""

from pathlib import Path

import pytest

from checkapp.rig.hookup import desk_rows, port_rows
from checkapp.rig.planfile import load_plan


@pytest.fixture(scope="module")
def demo():
    return load_plan(Path(__file__).parents[2] / "plans" / "demo.toml")


def rows(rig, code):
    return {row.port: row for row in port_rows(rig, rig.boxes[code])}


def test_every_port_has_a_row_inputs_first_and_a_line_knows_its_cable(demo):
    found = port_rows(demo, demo.boxes["DRUM"])
    assert [row.port for row in found] == demo.ports(demo.boxes["DRUM"])
    first = found[0]
    assert (first.line.line, first.cable, first.use) == ("in 1", "FN01 way 1", "")
    assert (found[11].line, found[11].use, found[11].cable) == (None, "", "")


def test_a_passive_boxs_ways_show_its_lines_on_the_ports_that_it_takes(demo):
    on_left = rows(demo, "LEFT")
    taken = on_left["LEFT in 5"]
    assert (taken.line.line, taken.use, taken.cable, taken.far) == (
        "in 40", "DROP way 1, LM01", "LM01 way 1", "DROP in 1",
    )  # fmt: skip
    free = on_left["LEFT in 12"]
    assert (free.line, free.use) == (None, "DROP way 8, LM01")
    assert on_left["LEFT out 5"].line.line == "out 9"


def test_what_comes_back_to_a_passive_box_is_a_return_not_a_way_of_its_inputs(demo):
    on_left = rows(demo, "LEFT")
    assert (on_left["LEFT in 5"].cable, on_left["LEFT out 5"].cable) == ("LM01 way 1", "LM01 return 1")
    assert on_left["LEFT out 6"].use == "DROP return 2, LM01"


def test_the_plug_in_a_port_is_end_a_of_its_cable_with_its_way(demo):
    drum, left = rows(demo, "DRUM"), rows(demo, "LEFT")
    plugs = {row.port: row.plug for row in (*drum.values(), *left.values())}
    assert plugs["DRUM in 2"] == ("FN01 A", "way 2")
    assert plugs["DRUM in 5"] == ("LD01 A", "")
    assert plugs["LEFT out 5"] == ("LM01 A", "return 1")
    assert plugs["LEFT in 4"] == plugs["DRUM in 12"] == ("", "")
    for code, end in ((plug[0], demo.cables) for plug in plugs.values() if plug[0]):
        assert code.removesuffix(" A") in end


def test_an_insert_takes_its_send_and_its_return(demo):
    on_left = rows(demo, "LEFT")
    assert on_left["LEFT out 4"].use == "send of Valve leveller"
    assert on_left["LEFT in 4"].use == "return of Valve leveller"
    assert on_left["LEFT in 4"].line.line == "in 37"


def test_the_desks_own_ports_stand_in_order(demo):
    assert [(row.port, row.line.line) for row in desk_rows(demo)] == [
        ("DESK in 1", "in 46"), ("DESK in 2", "in 47"), ("DESK in 3", "in 48"),
        ("DESK out 1", "out 1"), ("DESK out 2", "out 2"),
    ]  # fmt: skip
