"""Where findings belong on the stage plan."""

import pytest

from checkapp.review.findings import Finding
from checkapp.review.stage.marks import Flag, flags_by_place


def finding(where, level="note"):
    return Finding("any", level, where, "Something is so.", "Do something.")


@pytest.mark.parametrize(
    ("where", "place"),
    [
        ("LEFT", "LEFT"),
        ("HP02", "HP02"),
        ("LM01", "LM01"),
        ("PWR3", "PWR3"),
        ("chain FRONT", "HP01"),
        ("in 37", "LEFT"),
        ("in 40", "DROP"),
        ("in 46", "DESK"),
        ("out 10", "DRUM"),
        ("LD01", "DRUM"),
        ("MC01", "LEFT"),
        ("desk in 1", "DRUM"),
        ("LEFT in 4", "LEFT"),
        ("DESK out 1", "DESK"),
    ],
)
def test_a_finding_stands_at_the_box_hop_supply_or_desk_that_it_speaks_of(demo, where, place):
    assert flags_by_place(demo, [finding(where)]) == {place: (Flag("note", (1,)),)}


@pytest.mark.parametrize("where", ["HP20", "LD70", "chain NONE", "nothing", "", "in 999", "NONE in 3"])
def test_what_is_nowhere_on_the_plan_is_not_marked(demo, where):
    assert flags_by_place(demo, [finding(where)]) == {}


def test_findings_of_one_level_at_one_place_share_a_mark_worst_first(demo):
    found = [finding("LEFT", "stop"), finding("in 37"), finding("KEYS"), finding("in 38"), finding("LEFT")]
    assert flags_by_place(demo, found) == {
        "LEFT": (Flag("stop", (1,)), Flag("note", (2, 4, 5))),
        "KEYS": (Flag("note", (3,)),),
    }


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("numbers", "words"),
    [((7,), "7"), ((1, 2, 3, 5), "1-3,5"), ((1, 3, 5, 7, 9), "1,3,5,7,…"), ((2, 3, 8, 9), "2-3,8-9")],
)
def test_numbers_in_a_row_are_drawn_together(numbers, words):
    assert Flag("note", numbers).words == words


def test_a_chain_without_boxes_is_marked_at_its_desk_or_its_box(rig_of):
    rig = rig_of(
        '[link_kind.w]\nmax_length_m = 9.0\n[cable_kind.c]\n[box_kind.b]\ninputs = 0\noutputs = 1\n'
        '[[chain]]\ncode = "A"\nlink = "w"\n[[chain]]\ncode = "P"\nlink = "w"\nfrom = "B1"\n'
        '[[chain]]\ncode = "E"\nlink = "w"\n'
        '[[cable]]\ncode = "H1"\nkind = "c"\nlength_m = 5.0\n[[box]]\ncode = "B1"\nkind = "b"\nfed_from = "A"\n'
        'cable = "H1"\n'
    )  # fmt: skip
    found = flags_by_place(rig, [finding("chain A"), finding("chain P"), finding("chain E")])
    assert {place: flags[0].numbers for place, flags in found.items()} == {"H1": (1,), "B1": (2,), "DESK": (3,)}
