"""What was plugged again: by set-up, by swaps, moves and repairs, and how often a fault of an item was cleared."""

import random
from typing import Any

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.handled import Handled, handling, read_handling
from checkapp.journal.journal import Journal

RIG = "Barn Stage"
PATH = (("source in 1", "source"), ("XL01", "cable"), ("SB1 in 2", "port"), ("SB1", "box"))


def steps(story: Any) -> list[tuple[str, bool, bool]]:
    return [(one.item, one.is_new, one.mended) for one in handling(story.entries, RIG).steps]


def test_a_cable_connected_and_a_box_placed(story: Any) -> None:
    told = story.tell(setup_kinds.connected("XL01 B", ["SB1 in 1"], "right"))
    story.tell(setup_kinds.placed("SB1"))
    story.tell(setup_kinds.set_on("SB1", "Output switch", "own"))
    assert steps(story) == [("XL01", False, False), ("SB1", False, False)]
    assert handling(story.entries, RIG).steps[0] == Handled("XL01", told.order)


def test_what_comes_in_by_a_swap_is_new_and_a_move_plugs_its_cable(story: Any) -> None:
    story.tell(setup_kinds.swap("SB1", "SB9"))
    story.tell(kinds.repair("XL01", "swap", cleared=True, replacement="SP01"))
    story.tell(setup_kinds.move("in 1", "SB1 in 1", "SB1 in 2", PATH))
    story.tell(setup_kinds.move("in 1", "SB1 in 2", "SB1 in 3", ()))
    assert steps(story) == [
        ("SB9", True, False),
        ("SP01", True, False),
        ("XL01", False, False),
        ("SB1 in 3", False, False),
    ]


def test_repairs_in_place_plug_the_item_again_and_mend_it_when_they_clear(story: Any) -> None:
    story.tell(kinds.repair("XL01", "reseat", cleared=True))
    story.tell(kinds.repair("SB1 in 1", "mend", cleared=False))
    story.tell(kinds.repair("XL02", "swap", cleared=True))
    assert steps(story) == [("XL01", False, True), ("SB1 in 1", False, False), ("XL02", True, True)]


def test_only_repairs_that_cleared_count_as_faults_found(story: Any) -> None:
    story.tell(kinds.repair("XL01", "reseat", cleared=True))
    story.tell(kinds.repair("XL01", "mend", cleared=True), show="Night 2")
    story.tell(kinds.repair("XL02", "mend", cleared=False))
    story.tell(kinds.repair("LK01", "swap", cleared=True, replacement="LK02"))
    assert handling(story.entries, RIG).times_cleared == {"XL01": 2, "LK01": 1}


def test_what_was_undone_did_not_happen_and_the_order_of_arrival_does_not_matter(story: Any) -> None:
    gone = story.tell(setup_kinds.connected("XL01 B", ["SB1 in 1"], "wrong"))
    story.tell(kinds.void(gone.id))
    story.tell(setup_kinds.connected("XL02 A", ["SB1 in 2"], "ticked"), device="right")
    story.tell(setup_kinds.placed("SB2"))
    story.tell(setup_kinds.placed("SB1"), rig="Other Stage")
    assert steps(story) == [("XL02", False, False), ("SB2", False, False)]
    random.Random(3).shuffle(story.entries)
    assert steps(story) == [("XL02", False, False), ("SB2", False, False)]


def test_out_of_a_journal_set_up_of_one_show_and_repairs_of_all(journal: Journal) -> None:
    told = [
        ("Night 1", setup_kinds.placed("SB1")),
        ("Night 2", setup_kinds.placed("SB2")),
        ("Night 1", kinds.repair("XL01", "reseat", cleared=True)),
    ]
    for number, (show, draft) in enumerate(told):
        kind, subject, detail = draft
        new_id = f"told-{number:016d}"
        journal.append(kind, now_ms=number, new_id=new_id, rig=RIG, show=show, subject=subject, detail=detail)
    for show, items in (("Night 1", ["SB1", "XL01"]), ("Night 2", ["SB2", "XL01"]), (None, ["XL01"])):
        found = read_handling(journal, RIG, show)
        assert [one.item for one in found.steps] == items
        assert found.times_cleared == {"XL01": 1}
