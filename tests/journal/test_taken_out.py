"""What was taken out of a rig: what is to be pulled, what was, what came back."""

import random
from typing import Any

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.journal import Journal
from checkapp.journal.taken_out import pulled, read_taken_out, returned, taken_out

RIG = "Barn Stage"


def out(story: Any) -> list[tuple[str, str, str | None, bool]]:
    return [(one.item, one.why, one.other, one.is_to_be_pulled) for one in taken_out(story.entries, RIG)]


def test_what_was_swapped_out_is_to_be_pulled_until_it_was(story: Any) -> None:
    story.tell(kinds.repair("XL01", "swap", cleared=True, replacement="SP01"))
    assert out(story) == [("XL01", "swap", "SP01", True)]
    told = story.tell(pulled("XL01"), by="AB")
    assert out(story) == [("XL01", "swap", "SP01", False)]
    (one,) = taken_out(story.entries, RIG)
    assert (one.is_pulled, one.pulled_by, one.pulled_at) == (True, "AB", told.at)
    story.tell(returned("XL01"))
    assert out(story) == []


def test_a_swap_in_set_up_and_a_bypass_count_too(story: Any) -> None:
    story.tell(setup_kinds.swap("LK01", "LK09"))
    story.tell(kinds.repair("SB1 in 5", "bypass", cleared=True, replacement="SB1 in 6"))
    story.tell(kinds.repair("XL02", "swap", cleared=True))
    assert out(story) == [
        ("LK01", "swap", "LK09", True),
        ("SB1 in 5", "bypass", "SB1 in 6", True),
        ("XL02", "swap", None, True),
    ]


def test_what_was_not_the_cause_need_not_be_pulled_but_is_told(story: Any) -> None:
    story.tell(kinds.repair("XL01", "swap", cleared=False, replacement="SP01"))
    assert out(story) == [("XL01", "swap", "SP01", False)]
    (one,) = taken_out(story.entries, RIG)
    assert not one.is_pulled


def test_a_repair_in_place_takes_nothing_out(story: Any) -> None:
    story.tell(kinds.repair("XL01", "reseat", cleared=True))
    story.tell(kinds.repair("XL01", "mend", cleared=True))
    story.tell(setup_kinds.move("in 1", "SB1 in 1", "SB1 in 2", ()))
    assert out(story) == []


def test_what_is_put_in_again_is_no_longer_out(story: Any) -> None:
    story.tell(setup_kinds.swap("XL01", "SP01"))
    story.tell(setup_kinds.swap("SP01", "XL01"))
    assert out(story) == [("SP01", "swap", "XL01", True)]


def test_something_pulled_of_which_nothing_else_is_known(story: Any) -> None:
    story.tell(pulled("XL07"))
    story.tell(returned("XL08"))
    assert out(story) == [("XL07", "pulled", None, False)]


def test_what_was_undone_did_not_happen(story: Any) -> None:
    swap = story.tell(setup_kinds.swap("XL01", "SP01"))
    aside = story.tell(pulled("XL01"))
    story.tell(kinds.void(aside.id))
    assert out(story) == [("XL01", "swap", "SP01", True)]
    story.tell(kinds.void(swap.id))
    assert out(story) == []


def test_other_rigs_are_passed_over_and_the_order_of_arrival_does_not_matter(story: Any) -> None:
    story.tell(setup_kinds.swap("XL01", "SP01"), rig="Other Stage")
    story.tell(setup_kinds.swap("XL02", "SP02"))
    story.tell(pulled("XL02"), device="right")
    story.tell(kinds.repair("XL03", "swap", cleared=True, replacement="SP03"), device="right")
    whole = out(story)
    assert whole == [("XL02", "swap", "SP02", False), ("XL03", "swap", "SP03", True)]
    for seed in range(10):
        random.Random(seed).shuffle(story.entries)
        assert out(story) == whole


def test_out_of_a_journal(journal: Journal) -> None:
    for number, draft in enumerate((setup_kinds.swap("XL01", "SP01"), pulled("XL01"))):
        kind, subject, detail = draft
        journal.append(kind, now_ms=number, new_id=f"told-{number:016d}", rig=RIG, subject=subject, detail=detail)
    (one,) = read_taken_out(journal, RIG)
    assert (one.item, one.is_pulled) == ("XL01", True)
