"""Swaps and moves that stand, read from all the kinds of entry that tell of them."""

from dataclasses import replace
from typing import Any

import pytest

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.changes import CHANGE_KINDS, changes_of, read_change, read_changes, result_now
from checkapp.journal.journal import Journal
from checkapp.journal.setup_kinds import Moved, Swapped

RIG = "Barn Stage"
PATH = [("source in 3", "source"), ("XL03", "cable"), ("SB1 in 5", "port"), ("SB1", "box"), ("desk in 3", "desk")]


def whats(story: Any) -> list[Any]:
    return [change.what for change in changes_of(story.entries, RIG)]


def test_swaps_and_moves_of_set_up_are_changes_with_who_and_when(story: Any) -> None:
    first = story.tell(setup_kinds.swap("XL07", "SP01", owner="TN", lines=["in 7"]), by="JD")
    story.tell(setup_kinds.move("in 3", "SB1 in 3", "SB1 in 5", PATH), "right", by="AB", show="Night 2")
    one, two = changes_of(story.entries, RIG)
    assert one.what == Swapped("XL07", "SP01", "TN", ("in 7",))
    assert (one.entry_id, one.order, one.at) == (first.id, first.order, first.at)
    assert (one.by, one.device, one.show, one.cleared) == ("JD", "left", "Night 1", None)
    assert two.what == Moved("in 3", "SB1 in 3", "SB1 in 5", tuple(PATH))
    assert (two.by, two.device, two.show) == ("AB", "right", "Night 2")


@pytest.mark.parametrize("cleared", [True, False])
def test_a_repair_that_says_what_was_put_in_is_a_swap(story: Any, cleared: bool) -> None:
    draft = kinds.repair("XL07", "swap", cleared=cleared, replacement="SP01", owner="TN", lines=["in 7"])
    story.tell(draft)
    (change,) = changes_of(story.entries, RIG)
    assert (change.what, change.cleared) == (Swapped("XL07", "SP01", "TN", ("in 7",)), cleared)


def test_a_repair_that_leads_a_line_round_a_port_is_a_move(story: Any) -> None:
    story.tell(kinds.repair("SB1 in 3", "bypass", cleared=True, replacement="SB1 in 5", lines=["in 3"], path=PATH))
    assert whats(story) == [Moved("in 3", "SB1 in 3", "SB1 in 5", tuple(PATH))]


@pytest.mark.parametrize(
    "draft",
    [
        kinds.repair("XL07", "swap", cleared=True),
        kinds.repair("XL07", "reseat", cleared=True, replacement="SP01"),
        kinds.repair("XL07", "bypass", cleared=True, replacement="SP01"),
        kinds.repair("SB1 in 3", "bypass", cleared=True, replacement="SB1 in 5"),
        kinds.repair("SB1 in 3", "bypass", cleared=True, replacement="SB1", lines=["in 3"], path=PATH),
        kinds.repair("SB1 in 3", "swap", cleared=True, replacement="SB1 in 5"),
        kinds.repair("chain A", "swap", cleared=True, replacement="SP01"),
        kinds.repair("desk in 3", "swap", cleared=True, replacement="SP01"),
        setup_kinds.placed("SB1"),
        setup_kinds.connected("XL07 A", ["SB1 in 3"], "right"),
        kinds.mark("in 7", "ok", plan="a" * 64, check="c" * 16),
    ],
)
def test_what_does_not_say_that_something_runs_another_way_is_no_change(story: Any, draft: kinds.Draft) -> None:
    assert read_change(story.tell(draft)) is None


def test_a_source_without_a_code_can_be_swapped(story: Any) -> None:
    story.tell(setup_kinds.swap("source in 3", "MC05"))
    assert whats(story) == [Swapped("source in 3", "MC05", None)]


def test_what_was_undone_does_not_stand_whatever_the_show_and_comes_back_with_it(story: Any) -> None:
    swap = story.tell(setup_kinds.swap("XL07", "SP01"))
    undone = story.tell(kinds.void(swap.id), show="Night 2")
    assert whats(story) == []
    story.tell(kinds.void(undone.id), "right", show="Night 3")
    assert whats(story) == [Swapped("XL07", "SP01", None)]


def test_other_rigs_and_odd_entries_are_passed_over(story: Any) -> None:
    story.tell(setup_kinds.swap("XL07", "SP01"), rig="Yard Stage")
    told = story.tell(setup_kinds.swap("XL07", "SP01"))
    for number, (kind, detail) in enumerate([("swap", "{}"), ("swap", "[1]"), ("move", '{"from":"SB1 in 3"}')]):
        story.entries.append(replace(told, id=f"odd-{number:013d}", kind=kind, detail=detail))
    story.entries.append(replace(told, id="odd-0000000000009", subject=None))
    assert len(changes_of(story.entries, RIG)) == 1


def test_the_kinds_that_are_read_are_enough(journal: Journal) -> None:
    drafts = [
        setup_kinds.swap("XL07", "SP01"),
        kinds.mark("in 7", "ok", plan="a" * 64, check="c" * 16),
        kinds.repair("XL08", "swap", cleared=True, replacement="SP02"),
        kinds.void(f"told-{0:012d}"),
        setup_kinds.move("in 3", "SB1 in 3", "SB1 in 5", PATH),
    ]
    for number, draft in enumerate(drafts):
        journal.append(
            draft.kind,
            now_ms=1_900_000_000_000 + number,
            new_id=f"told-{number:012d}",
            rig=RIG,
            show="Night 1",
            subject=draft.subject,
            detail=draft.detail,
        )
    read = read_changes(journal, RIG)
    assert read == changes_of(journal.entries(), RIG)
    assert [type(change.what) for change in read] == [Swapped, Moved]
    assert {"swap", "move", "repair", "void"} == set(CHANGE_KINDS)


def test_what_came_of_a_change_follows_those_after_it(story: Any) -> None:
    for draft in (
        setup_kinds.swap("XL07", "SP01"),
        setup_kinds.swap("SP01", "SP02"),
        setup_kinds.move("in 3", "SB1 in 3", "SB1 in 5", PATH),
        setup_kinds.swap("XL07", "SP03"),
        setup_kinds.swap("SB1", "SB9"),
        setup_kinds.move("in 4", "SB9 in 4", "SB9 in 6", PATH),
    ):
        story.tell(draft)
    changes = changes_of(story.entries, RIG)
    assert [result_now(change, changes) for change in changes] == [
        "SP03",
        "SP02",
        "SB9 in 5",
        "SP03",
        "SB9",
        "SB9 in 6",
    ]
