"""The state after one more mark, from the state before it, is what the whole story comes to."""

import random
from typing import Any

import pytest

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.going_on import Told, one_more, told

RIG, SHOW, PLAN, OTHER_PLAN = "Barn Stage", "Night 1", "a" * 64, "b" * 64
CHAIN = [("SB1", "box"), ("chain A", "chain")]
LINES: Any = {f"in {n}": [(f"source in {n}", "source"), (f"XL0{n}", "cable"), *CHAIN] for n in (1, 2, 3, 4)}
ITEMS = ("XL01", "XL02", "XL03", "SB1")


class Night:
    """A show at which anything may happen, on two tablets."""

    def __init__(self, story: Any, seed: int) -> None:
        self.story, self.random = story, random.Random(seed)
        for plan in (PLAN, OTHER_PLAN):
            story.tell(kinds.rig(digest=plan, owner="SM", version=1, file=None, lines=LINES))
        story.tell(kinds.show(SHOW, venue="Barn", date="2031-05-02"))
        self.check = story.tell(kinds.check_opened()).id

    def happen(self) -> None:
        """One thing, most often a mark."""
        often = [self.mark] * 16
        self.random.choice([*often, self.void, self.void, self.repair, self.swap, self.elsewhere, self.end])()

    def device(self) -> str:
        return self.random.choice(("left", "left", "right"))

    def mark(self, **more: Any) -> None:
        line = self.random.choice(list(LINES))
        verdict: Any = self.random.choice(("ok", "ok", "faulty"))
        known = {entry.id: entry for entry in self.story.entries if entry.kind == kinds.MARK and entry.subject == line}
        draft = kinds.mark(
            line,
            verdict,
            plan=self.random.choice((PLAN, PLAN, OTHER_PLAN, "c" * 64)),
            check=self.random.choice([self.check] * 9 + ["nothing"]),
            symptom="hum" if verdict == "faulty" else None,
        )
        if self.random.random() < 0.7:
            draft = kinds.over(draft, [one for one in known if self.random.random() < 0.5])
        self.story.tell(draft, self.device(), **more)

    def void(self) -> None:
        self.story.tell(kinds.void(self.random.choice(self.story.entries[3:]).id), self.device())

    def repair(self) -> None:
        action: Any = self.random.choice(("mend", "swap"))
        new = "SP01" if action == "swap" else None
        item, cleared = self.random.choice(ITEMS), self.random.random() < 0.7
        self.story.tell(kinds.repair(item, action, cleared=cleared, replacement=new), self.device())

    def swap(self) -> None:
        self.story.tell(setup_kinds.swap(self.random.choice(ITEMS), "SP02"), self.device(), show=None)

    def elsewhere(self) -> None:
        self.mark(**self.random.choice(({"show": "Night 2"}, {"rig": "Other"}, {"rig": "Other", "show": "Night 2"})))

    def end(self) -> None:
        if self.random.random() < 0.2:
            self.story.tell(kinds.check_signed_off([self.check], ["in 4"]), self.device())
            self.check = self.story.tell(kinds.check_opened(), self.device()).id


def same(one: Told, other: Told) -> bool:
    """Equal, with the lines in the same order."""
    orders = [(list(made.state.lines), list(made.state.again)) for made in (one, other)]
    return one.state == other.state and orders[0] == orders[1] and one.story.marks == other.story.marks


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(12))
def test_a_state_that_is_gone_on_with_is_the_one_of_the_whole_story(story: Any, seed: int) -> None:
    night = Night(story, seed)
    ahead = 0
    key: str | None = night.check if seed % 2 else None
    before = told(story.entries, RIG, SHOW, key)
    for _ in range(80):
        night.happen()
        now = told(story.entries, RIG, SHOW, key)
        following = one_more(before, story.entries[-1])
        if following is not None:
            ahead += 1
            assert same(following, now)
        before = following or now
    assert ahead > 5


def test_only_what_comes_last_and_is_a_mark_of_the_check_is_gone_on_with(story: Any) -> None:
    night = Night(story, 0)
    opened = told(story.entries, RIG, SHOW)

    def mark(line: str, check: str = night.check) -> Any:
        return story.tell(kinds.mark(line, "ok", plan=PLAN, check=check))

    first, second = mark("in 1"), mark("in 2")
    after = one_more(opened, second)
    assert after is not None
    assert one_more(after, first) is None
    assert one_more(after, second) is None
    assert one_more(after, mark("in 3", "nothing")) is None
    assert one_more(after, story.tell(kinds.void(second.id))) is None
    assert one_more(told([], RIG, SHOW), first) is None
