"""Which checks a show has and which mark belongs to which."""

from typing import Any

from checkapp.journal import kinds
from checkapp.journal.checks import Check, check_of, read_checks
from checkapp.journal.entry import Entry

PLAN = "a" * 64


def checks_of(story: Any) -> tuple[Check, ...]:
    marks = [(mark, entry.order) for entry in story.entries if (mark := kinds.read_mark(entry))]
    return read_checks(story.entries, marks)


def belongs(story: Any, entry: Entry) -> Check | None:
    mark = kinds.read_mark(entry)
    assert mark is not None
    return check_of(mark, entry.order, checks_of(story))


def marked(story: Any, check: str, device: str = "left") -> Entry:
    return story.tell(kinds.mark("in 1", "ok", plan=PLAN, check=check), device)


def test_a_show_without_entries_has_no_check(story: Any) -> None:
    assert checks_of(story) == ()


def test_an_opened_check_is_open(story: Any) -> None:
    opened = story.tell(kinds.check_opened(), by="AB")
    (check,) = checks_of(story)
    assert check == Check(opened.id, (opened.id,), opened.at, "AB")
    assert not check.signed_off


def test_checks_opened_on_two_tablets_are_one_open_check(story: Any) -> None:
    left = story.tell(kinds.check_opened(), "left")
    right = story.tell(kinds.check_opened(), "right")
    (check,) = checks_of(story)
    assert check.ids == (left.id, right.id)
    assert check.key == left.id


def test_a_sign_off_ends_the_checks_that_it_names_and_keeps_their_key(story: Any) -> None:
    left = story.tell(kinds.check_opened(), "left")
    right = story.tell(kinds.check_opened(), "right")
    end = story.tell(kinds.check_signed_off([left.id, right.id], ["in 3"]), "right", by="CD")
    (check,) = checks_of(story)
    assert check.key == left.id
    assert check.signed_off
    assert (check.signed_off_at, check.signed_off_by, check.left_open) == (end.at, "CD", ("in 3",))
    again = story.tell(kinds.check_opened())
    assert [(check.key, check.signed_off) for check in checks_of(story)] == [(left.id, True), (again.id, False)]


def test_a_check_that_the_sign_off_does_not_name_stays_open(story: Any) -> None:
    left = story.tell(kinds.check_opened(), "left")
    right = story.tell(kinds.check_opened(), "right")
    story.tell(kinds.check_signed_off([left.id], []))
    assert [(check.ids, check.signed_off) for check in checks_of(story)] == [((left.id,), True), ((right.id,), False)]


def test_two_sign_offs_of_one_check_are_one(story: Any) -> None:
    left = story.tell(kinds.check_opened(), "left")
    right = story.tell(kinds.check_opened(), "right")
    story.tell(kinds.check_signed_off([left.id], ["in 9"]), "left")
    last = story.tell(kinds.check_signed_off([left.id, right.id], ["in 3"]), "right")
    (check,) = checks_of(story)
    assert check.ids == (left.id, right.id)
    assert (check.signed_off_at, check.left_open) == (last.at, ("in 3",))


def test_a_sign_off_that_names_none_ends_all_that_are_open(story: Any) -> None:
    opened = story.tell(kinds.check_opened())
    story.tell(kinds.check_signed_off([], []))
    later = story.tell(kinds.check_opened())
    assert [(check.ids, check.signed_off) for check in checks_of(story)] == [((opened.id,), True), ((later.id,), False)]


def test_a_mark_belongs_to_the_check_that_it_names_even_after_its_sign_off(story: Any) -> None:
    first = story.tell(kinds.check_opened(), "left")
    story.tell(kinds.check_signed_off([first.id], []), "left")
    second = story.tell(kinds.check_opened(), "left")
    late = marked(story, first.id, "right")
    found = belongs(story, late)
    assert found is not None
    assert found.key == first.id
    found = belongs(story, marked(story, second.id))
    assert found is not None
    assert found.key == second.id


def test_a_mark_that_names_no_known_check_belongs_by_its_place_in_the_story(story: Any) -> None:
    early = marked(story, "")
    first = story.tell(kinds.check_opened())
    middle = marked(story, "lost-in-a-gap-01")
    end = story.tell(kinds.check_signed_off([first.id], []))
    late = marked(story, "lost-in-a-gap-02")
    found = [belongs(story, entry) for entry in (early, middle, late)]
    assert [check.key if check else None for check in found] == [first.id, first.id, ""]
    assert [check.signed_off for check in checks_of(story)] == [True, False]
    closed = story.tell(kinds.check_signed_off([], []))
    assert [check.key for check in checks_of(story)] == [first.id, closed.id]
    assert end.id != closed.id


def test_a_sign_off_of_a_check_whose_opening_is_missing_still_takes_its_marks(story: Any) -> None:
    mark = marked(story, "lost-in-a-gap-01")
    story.tell(kinds.check_signed_off(["lost-in-a-gap-01"], []))
    (check,) = checks_of(story)
    assert (check.key, check.opened_at) == ("lost-in-a-gap-01", None)
    assert belongs(story, mark) == check
