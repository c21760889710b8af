"""What was heard through which items: marks, repairs in place, swaps and moves, what was undone."""

import random
from typing import Any

import pytest

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.entry import Entry
from checkapp.journal.heard import HeardMark, heard

RIG, SHOW, PLAN = "Barn Stage", "Night 1", "a" * 64
PATHS: Any = {
    "in 1": (("source in 1", "source"), ("XL01", "cable"), ("SB1 in 1", "port"), ("SB1", "box"), ("LK01", "hop")),
    "in 2": (("source in 2", "source"), ("XL02", "cable"), ("SB1 in 2", "port"), ("SB1", "box"), ("LK01", "hop")),
}


class Night:
    """A story in which a rig is in use and a check is open."""

    def __init__(self, story: Any) -> None:
        self.story = story
        story.tell(kinds.rig(digest=PLAN, owner="SM", version=1, file=None, lines=PATHS))
        self.check = story.tell(kinds.check_opened()).id

    def mark(
        self, line: str, verdict: Any, symptom: Any = None, plan: str | None = PLAN, device: str = "left"
    ) -> Entry:
        return self.story.tell(kinds.mark(line, verdict, plan=plan, check=self.check, symptom=symptom), device)

    def repair(
        self, item: str, action: Any, cleared: bool = True, listened: tuple[str, ...] = (), **more: Any
    ) -> Entry:
        return self.story.tell(kinds.listened(kinds.repair(item, action, cleared=cleared, **more), listened))

    def swap(self, old: str, new: str) -> Entry:
        return self.story.tell(setup_kinds.swap(old, new))

    def void(self, entry: Entry) -> Entry:
        return self.story.tell(kinds.void(entry.id))

    def heard(self, **more: Any) -> list[tuple[str, str, str, str | None]]:
        """Line, its cable and its hop, verdict, symptom: of each, by when it was heard."""
        return [told(one) for one in heard(self.story.entries, RIG, SHOW, PATHS, **more)]


def told(one: HeardMark) -> tuple[str, str, str, str | None]:
    names = [name for name, kind in one.path if kind in ("cable", "hop")]
    return one.line, " ".join(names), one.verdict, one.symptom


@pytest.fixture
def night(story: Any) -> Night:
    return Night(story)


def test_a_line_that_is_marked_faulty_twice_through_the_same_items_was_heard_again(night: Night) -> None:
    def again() -> list[bool]:
        return [one.again for one in heard(night.story.entries, RIG, SHOW, PATHS)]

    night.mark("in 1", "faulty")
    assert again() == [False]
    night.mark("in 1", "faulty", "hum")
    assert again() == [True]
    night.mark("in 1", "ok")
    assert again() == [False]
    night.mark("in 1", "faulty", "hum")
    assert again() == [False]


def test_of_a_check_without_marks_nothing_was_heard(night: Night) -> None:
    assert night.heard() == []
    with pytest.raises(KeyError):
        night.heard(key="no such check")


def test_the_latest_mark_of_a_line_speaks(night: Night) -> None:
    night.mark("in 1", "faulty", "hum")
    night.mark("in 2", "ok")
    assert night.heard() == [("in 1", "XL01 LK01", "faulty", "hum"), ("in 2", "XL02 LK01", "ok", None)]
    night.mark("in 1", "faulty", "silent")
    assert night.heard() == [("in 2", "XL02 LK01", "ok", None), ("in 1", "XL01 LK01", "faulty", "silent")]
    night.mark("in 1", "ok")
    assert night.heard()[1] == ("in 1", "XL01 LK01", "ok", None)


def test_after_a_swap_the_earlier_mark_still_speaks_of_the_old_items(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.swap("XL01", "SP01")
    assert night.heard() == [("in 1", "XL01 LK01", "faulty", "silent")]
    night.mark("in 1", "ok")
    assert night.heard() == [("in 1", "XL01 LK01", "faulty", "silent"), ("in 1", "SP01 LK01", "ok", None)]


def test_a_mark_made_again_through_the_same_items_replaces_the_earlier_one_of_those(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.swap("XL01", "SP01")
    night.mark("in 1", "faulty", "hum")
    night.swap("SP01", "XL01")
    night.mark("in 1", "ok")
    assert night.heard() == [("in 1", "SP01 LK01", "faulty", "hum"), ("in 1", "XL01 LK01", "ok", None)]


@pytest.mark.parametrize("action", ["reseat", "mend"])
def test_a_repair_in_place_that_cleared_takes_back_what_was_faulty_before_it(night: Night, action: str) -> None:
    night.mark("in 1", "faulty", "silent")
    night.mark("in 2", "ok")
    night.repair("LK01", action)
    assert night.heard() == [("in 2", "XL02 LK01", "ok", None)]
    night.mark("in 1", "faulty", "hum")
    assert night.heard()[1] == ("in 1", "XL01 LK01", "faulty", "hum")


def test_one_that_did_not_clear_or_is_of_another_item_changes_nothing(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.repair("LK01", "reseat", cleared=False)
    night.repair("XL02", "reseat")
    assert night.heard() == [("in 1", "XL01 LK01", "faulty", "silent")]


def test_a_repair_in_place_of_what_was_swapped_out_takes_back_what_was_faulty_through_it(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.swap("XL01", "SP01")
    night.mark("in 1", "ok")
    night.repair("XL01", "mend")
    assert night.heard() == [("in 1", "SP01 LK01", "ok", None)]


def test_a_swap_by_a_repair_that_cleared_keeps_the_fault_with_the_old_item(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.repair("XL01", "swap", replacement="SP01", lines=["in 1"])
    assert night.heard() == [("in 1", "XL01 LK01", "faulty", "silent")]


def test_a_swap_that_did_not_clear_was_heard_through_both(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.mark("in 2", "ok")
    night.repair("LK01", "swap", cleared=False, replacement="LK09")
    assert night.heard() == [
        ("in 1", "XL01 LK01", "faulty", "silent"),
        ("in 2", "XL02 LK01", "ok", None),
        ("in 1", "XL01 LK09", "faulty", "silent"),
    ]


def test_of_a_swap_that_did_not_clear_only_the_lines_that_were_listened_to_speak(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.mark("in 2", "faulty", "silent")
    night.repair("LK01", "swap", cleared=False, replacement="LK09", listened=("in 2",))
    assert night.heard() == [
        ("in 1", "XL01 LK01", "faulty", "silent"),
        ("in 2", "XL02 LK01", "faulty", "silent"),
        ("in 2", "XL02 LK09", "faulty", "silent"),
    ]


def test_a_swap_for_what_has_no_code_that_did_not_clear_was_heard_without_the_old_item(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.mark("in 2", "faulty", "hum")
    night.repair("LK01", "swap", cleared=False, listened=("in 1",))
    night.mark("in 1", "faulty", "crackle")
    assert night.heard() == [
        ("in 2", "XL02 LK01", "faulty", "hum"),
        ("in 1", "XL01", "faulty", "silent"),
        ("in 1", "XL01 LK01", "faulty", "crackle"),
    ]


def test_something_replaced_by_what_has_no_code_was_mended_in_place(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.repair("XL01", "swap")
    assert night.heard() == []


def test_a_line_that_was_led_round_a_port_has_both_ways(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    after = (("source in 1", "source"), ("XL01", "cable"), ("SB2 in 1", "port"), ("SB2", "box"))
    night.story.tell(setup_kinds.move("in 1", "SB1 in 1", "SB2 in 1", after))
    night.mark("in 1", "ok")
    first, second = heard(night.story.entries, RIG, SHOW, PATHS)
    assert (first.verdict, first.path) == ("faulty", PATHS["in 1"])
    assert (second.verdict, second.path) == ("ok", after)


def test_what_was_undone_was_not_heard(night: Night) -> None:
    night.mark("in 1", "ok")
    wrong = night.mark("in 1", "faulty", "hum")
    night.void(wrong)
    assert night.heard() == [("in 1", "XL01 LK01", "ok", None)]
    repair = night.repair("LK01", "reseat")
    night.mark("in 1", "faulty", "hum")
    night.void(repair)
    assert night.heard() == [("in 1", "XL01 LK01", "faulty", "hum")]


def test_a_mark_of_an_unknown_plan_is_taken_through_what_the_line_runs_through_now(night: Night) -> None:
    night.mark("in 1", "faulty", "hum", plan=None)
    night.mark("in 7", "faulty", "hum", plan=None)
    night.mark("in 2", "ok", plan="b" * 64)
    assert night.heard() == [("in 1", "XL01 LK01", "faulty", "hum"), ("in 2", "XL02 LK01", "ok", None)]


def test_what_came_after_the_sign_off_does_not_change_it(night: Night) -> None:
    night.mark("in 1", "faulty", "hum")
    night.story.tell(kinds.check_signed_off((night.check,), ()))
    night.repair("XL01", "mend")
    assert night.heard(key=night.check) == [("in 1", "XL01 LK01", "faulty", "hum")]


def test_the_order_of_arrival_does_not_matter(night: Night) -> None:
    night.mark("in 1", "faulty", "silent")
    night.mark("in 2", "faulty", "hum", device="right")
    night.swap("XL01", "SP01")
    night.repair("LK01", "reseat")
    night.mark("in 1", "faulty", "crackle", device="right")
    night.repair("SP01", "swap", cleared=False, replacement="SP02")
    whole = night.heard()
    assert ("in 1", "SP02 LK01", "faulty", "crackle") in whole
    entries = night.story.entries
    for seed in range(20):
        random.Random(seed).shuffle(entries)
        assert night.heard() == whole
