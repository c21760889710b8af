import pytest

from checkapp.rig.model import Item


def names(rig, line):
    return [item.name for item in rig.path(line)]


def test_a_line_through_a_drop_box_runs_by_multicore_boxes_supply_hops_and_chain_to_its_desk_strip(small):
    assert small.path("in 2") == (
        Item("MC1", "source"),
        Item("X1", "cable"),
        Item("D1 in 2", "port"),
        Item("D1", "box"),
        Item("MU", "hop"),
        Item("S2 in 4", "port"),
        Item("S2", "box"),
        Item("H2", "hop"),
        Item("S1", "box"),
        Item("M1", "supply"),
        Item("H1", "hop"),
        Item("chain A", "chain"),
        Item("desk in 2", "desk"),
    )


def test_an_output_of_a_drop_box_comes_from_the_port_that_feeds_it(small):
    assert names(small, "out 1") == (
        ["load out 1", "D1 out 1", "D1", "MU", "S2 out 3", "S2", "H2", "S1", "M1", "H1", "chain A", "desk out 1"]
    )


def test_a_line_on_the_desk_needs_no_box(small):
    assert names(small, "in 3") == ["source in 3", "DESK in 5", "desk in 3"]


def test_an_insert_adds_its_send_and_return_and_their_way_once(small):
    assert names(small, "in 1") == [
        "source in 1",
        "S1 in 1",
        "S1",
        "M1",
        "H1",
        "chain A",
        "S2 out 1",
        "S2",
        "H2",
        "S2 in 8",
        "desk in 1",
    ]


def test_a_parallel_insert_adds_nothing(write, small_text):
    from checkapp.rig.planfile import load_plan

    rig = load_plan(write(small_text + "parallel = true\n"))
    assert "S2 out 1" not in names(rig, "in 1")


def test_a_chain_that_starts_at_a_box_goes_on_with_that_box(write, small_text):
    from checkapp.rig.planfile import load_plan

    more = """
[[chain]]
code = "B"
link = "wire"
from = "S1"
[[cable]]
code = "H3"
kind = "hop"
length_m = 5
[[box]]
code = "PM1"
kind = "eight"
fed_from = "B"
cable = "H3"
[[output]]
number = 2
name = "Ears"
port = "PM1 out 1"
"""
    rig = load_plan(write(small_text + more))
    assert names(rig, "out 2") == [
        "load out 2",
        "PM1 out 1",
        "PM1",
        "H3",
        "chain B",
        "S1",
        "M1",
        "H1",
        "chain A",
        "desk out 2",
    ]
    assert rig.boxes_on("B") == (rig.boxes["PM1"],)
    assert rig.chain_of("PM1") == "B"


def test_a_drop_box_may_feed_the_desk_itself(write, small_text):
    from checkapp.rig.planfile import load_plan

    rig = load_plan(
        write(small_text.replace('fed_from = "S2 in 3"', 'fed_from = "DESK in 1"').replace("DESK in 5", "DESK in 9"))
    )
    assert names(rig, "in 2") == ["MC1", "X1", "D1 in 2", "D1", "MU", "DESK in 2", "desk in 2"]
    assert rig.chain_of("D1") is None


@pytest.mark.parametrize("line", ["in 1", "in 2", "in 3", "out 1"])
def test_an_item_counts_once(small, line):
    path = small.path(line)
    assert len(set(path)) == len(path)
