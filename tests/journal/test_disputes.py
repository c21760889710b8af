"""Marks of one line on two tablets that did not know of each other."""

import random
from typing import Any

import pytest

from checkapp.journal import kinds, setup_kinds, state
from checkapp.journal.check_story import check_story
from checkapp.journal.disputes import heard_unlike, made_over

RIG, SHOW, PLAN = "Barn Stage", "Night 1", "a" * 64
LINES: Any = {"in 1": [("source in 1", "source"), ("XL01", "cable"), ("SB1", "box")]}


class Crew:
    """Tablets that mark; each knows what it was told with ``sees``."""

    def __init__(self, story: Any) -> None:
        self.story = story
        story.tell(kinds.rig(digest=PLAN, owner="SM", version=1, file=None, lines=LINES))
        self.check = story.tell(kinds.check_opened()).id

    def mark(self, device: str, verdict: Any, over: Any = (), line: str = "in 1", symptom: Any = None) -> Any:
        draft = kinds.mark(line, verdict, plan=PLAN, check=self.check, symptom=symptom)
        return self.story.tell(draft if over is None else kinds.over(draft, over), device)

    def unlike(self) -> dict[str, str | None]:
        """Of each line that was heard in two ways the symptom that does not stand."""
        story = check_story(self.story.entries, RIG, SHOW)
        return {line: mark.symptom for line, (_, mark) in heard_unlike(story.marks).items()}

    def stands(self) -> dict[str, tuple[str, str | None]]:
        """Of each line the verdict that stands, and the one that disagrees."""
        now = state.show_state(self.story.entries, RIG, SHOW)
        return {line: (mark.verdict, mark.against and mark.against.verdict) for line, mark in now.lines.items()}


@pytest.fixture
def crew(story: Any) -> Crew:
    return Crew(story)


def test_two_tablets_that_did_not_know_of_each_other_disagree(crew: Crew) -> None:
    crew.mark("left", "ok")
    crew.mark("right", "faulty")
    assert crew.stands() == {"in 1": ("faulty", "ok")}


def test_a_mark_made_over_the_other_one_settles_it(crew: Crew) -> None:
    one = crew.mark("left", "ok")
    two = crew.mark("right", "faulty")
    crew.mark("left", "ok", over=[two.id])
    assert crew.stands() == {"in 1": ("ok", None)}
    crew.mark("third", "faulty", over=[one.id])
    assert crew.stands() == {"in 1": ("faulty", "ok")}


def test_whoever_marks_over_a_mark_it_knows_does_not_disagree(crew: Crew) -> None:
    one = crew.mark("left", "faulty")
    crew.mark("right", "ok", over=[one.id])
    assert crew.stands() == {"in 1": ("ok", None)}


def test_equal_marks_and_marks_of_one_tablet_agree(crew: Crew) -> None:
    crew.mark("left", "ok")
    crew.mark("right", "ok")
    crew.mark("right", "faulty", line="in 2")
    crew.mark("right", "ok", line="in 2")
    assert crew.stands() == {"in 1": ("ok", None), "in 2": ("ok", None)}


def test_a_mark_that_tells_nothing_is_believed_to_know(crew: Crew) -> None:
    crew.mark("left", "ok")
    crew.mark("right", "faulty", over=None)
    assert crew.stands() == {"in 1": ("faulty", None)}
    assert kinds.read_mark(crew.story.entries[-1]).over is None  # type: ignore[union-attr]


def test_what_was_taken_back_disagrees_with_nothing(crew: Crew) -> None:
    crew.mark("left", "ok")
    wrong = crew.mark("right", "faulty")
    crew.story.tell(kinds.void(wrong.id), "right")
    assert crew.stands() == {"in 1": ("ok", None)}


def test_a_mark_of_before_a_repair_or_a_swap_disagrees_with_nothing(crew: Crew) -> None:
    crew.mark("left", "faulty")
    crew.story.tell(kinds.repair("XL01", "mend", cleared=True), "left")
    crew.mark("right", "ok")
    assert crew.stands() == {"in 1": ("ok", None)}
    crew.mark("left", "faulty")
    crew.story.tell(setup_kinds.swap("XL01", "XL02"), "left")
    assert crew.stands() == {}
    crew.mark("right", "ok")
    assert crew.stands() == {"in 1": ("ok", None)}


def test_the_order_in_which_entries_arrive_changes_nothing(crew: Crew) -> None:
    dice = random.Random(7)
    for _ in range(6):
        crew.mark(dice.choice(("left", "right", "third")), dice.choice(("ok", "faulty")))
    before = crew.stands()
    for _ in range(20):
        dice.shuffle(crew.story.entries)
        assert crew.stands() == before


def test_a_new_mark_is_made_over_each_other_tablets_latest(crew: Crew) -> None:
    crew.mark("left", "ok")
    two = crew.mark("left", "faulty")
    three = crew.mark("right", "ok")
    crew.mark("right", "ok", line="in 2")
    marks = state.show_state(crew.story.entries, RIG, SHOW).marks
    assert made_over(marks, "in 1", "third") == (two.id, three.id)
    assert made_over(marks, "in 1", "left") == (three.id,)
    assert made_over(marks, "in 9", "left") == ()


def test_two_symptoms_that_did_not_know_of_each_other_were_heard_unlike_and_do_not_disagree(crew: Crew) -> None:
    one = crew.mark("left", "faulty", symptom="hum")
    two = crew.mark("right", "faulty", symptom="crackle")
    assert (crew.stands(), crew.unlike()) == ({"in 1": ("faulty", None)}, {"in 1": "hum"})
    crew.mark("third", "faulty", symptom="hum", over=[one.id])
    assert crew.unlike() == {"in 1": "crackle"}
    crew.mark("left", "faulty", symptom="hum", over=[two.id])
    assert crew.unlike() == {}


@pytest.mark.parametrize(("verdict", "symptom"), [("faulty", "hum"), ("faulty", None), ("ok", None)])
def test_the_same_symptom_none_at_all_and_ok_were_not_heard_unlike(crew: Crew, verdict: Any, symptom: Any) -> None:
    crew.mark("left", verdict, symptom=symptom)
    crew.mark("right", "faulty", symptom="hum")
    assert crew.unlike() == {}
