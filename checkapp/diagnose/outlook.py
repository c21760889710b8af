"""What a mark would tell: the expected drop of uncertainty, exactly, by a sweep with the mark left open.

Uncertainty is the sum of the binary entropies, in bits, of the items in question: those on the lines marked faulty,
or all where none is. A mark that replaces one before it (the same line through the same items) is reckoned as the
evidence will be afterwards: its outcomes are as likely as all that is known makes them, and then the old mark counts
no more.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

import numpy as np

from checkapp.diagnose.case import Case, OpenMark, case_of, chance_of, components, with_mark
from checkapp.diagnose.evidence import Heard, faulty_now, latest
from checkapp.diagnose.joint import NEGLIGIBLE, joint_of
from checkapp.diagnose.plan import plan_of
from checkapp.diagnose.posterior import solve
from checkapp.diagnose.sweep import FEW_SHARED, Limits, Sweep
from checkapp.diagnose.told import entropy, told
from checkapp.rig.words import SYMPTOMS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.case import AnyMark, Odds
    from checkapp.diagnose.evidence import Path, Verdict
    from checkapp.diagnose.joint import Joint
    from checkapp.diagnose.plan import Plan
    from checkapp.diagnose.private import Hearing
    from checkapp.diagnose.sweep import Swept
    from checkapp.diagnose.told import Told
    from checkapp.rig.model import Item
    from checkapp.rig.words import Symptom

    Reals = NDArray[np.float64]

OUTCOMES: tuple[tuple[Verdict, Symptom | None], ...] = (
    ("ok", None),
    *(("faulty", symptom) for symptom in SYMPTOMS),
)
TESTING = Limits(most=512, free=512, quick=True)
"""Tables for tests are smaller than those for suspects, since there are many tests, and cut at once."""


ALL_BUT_SURE = 1e-12
"""Where many items are shared, tests are reckoned as if items as likely or unlikely as this were certain."""
NEGLIGIBLE_AHEAD = 1e-9
"""What is negligible in the tables of second steps, which are only compared with one another."""
LONG = 40
"""A part with more stops of the sweep is too long to look two steps ahead within a second."""


class Listening(Protocol):
    """A mark to be made: the line, and the items that it will run through then."""

    @property
    def line(self) -> str:
        """The line that is listened to."""

    @property
    def path(self) -> Path:
        """The items that it runs through; a known good one that was swapped in is not among them."""


class Outlook:
    """What is believed after some marks, and what one more would tell; `outlook_of` makes one.

    ``asked`` are the items in question, ``stops_swept`` counts the work on tests so far. ``before`` is the outlook
    before the last mark, ``changed`` are the items of which that mark says something: of all others what was known
    before still holds.
    """

    def __init__(
        self,
        heard: tuple[Heard, ...],
        case: Case,
        hearing: Hearing,
        asked: frozenset[Item],
        before: Outlook | None = None,
        changed: frozenset[Item] = frozenset(),
        chances: Mapping[Item, float] | None = None,
    ) -> None:
        self.heard, self.asked = heard, asked
        self._case, self._hearing = case, hearing
        self._before, self._changed, self._given = before, changed, chances
        self.stops_swept = 0
        self._known: dict[object, float] = {}
        self._logs: dict[object, Reals] = {}
        self._plans: dict[frozenset[int], Plan] = {}
        self._joints: dict[frozenset[int], Joint | None] = {}
        self._told: dict[object, Told | None] = {}

    @cached_property
    def chances(self) -> Mapping[Item, float]:
        """The chance of every item, given all marks."""
        if self._given is not None:
            return self._given
        if self._before is None:
            return solve(self._case, self._hearing).chances
        odds = {**self._case.odds, **self._before.sure}
        marks = tuple(mark for mark in self._case.marks if not self._changed.isdisjoint(mark.items))
        odds = {item: odds[item] for item in {*self._changed, *(item for mark in marks for item in mark.items)}}
        return {**self._before.chances, **solve(Case(odds, marks), self._hearing, TESTING).chances}

    @cached_property
    def sure(self) -> Mapping[Item, float]:
        """Log odds (infinite) of the items that are all but sure, where more items are shared than a table can hold."""
        if self._before is not None:
            known = dict(self._before.sure)
            unsure = [item for item in self._changed if item not in known]
        else:
            known = {}
            unsure = list(self._case.odds)
        shared = {item for item in unsure if len(self._marks_on.get(item, ())) > 1}
        if len(shared) > FEW_SHARED:
            for item in unsure:
                if item in self._marks_on and not ALL_BUT_SURE < self.chances[item] < 1 - ALL_BUT_SURE:
                    known[item] = math.inf if self.chances[item] > 0.5 else -math.inf
        return known

    @cached_property
    def _odds(self) -> dict[Item, float]:
        """The log odds that tests are reckoned with."""
        return {**self._case.odds, **self.sure}

    @cached_property
    def _part_of(self) -> dict[Item, int]:
        """For each item on a faulty mark the number of the part that it hangs together with."""
        parts = enumerate(self._parts)
        on = ((item, number) for number, part in parts for at in part for item in self._case.marks[at].items)
        return {item: number for item, number in on if item not in self.sure}

    @cached_property
    def _parts(self) -> list[list[int]]:
        return components(self._case.marks, self.sure)

    @cached_property
    def _doubt_of(self) -> dict[Item, float]:
        """The uncertainty of each item, in bits."""
        chances = self.chances
        return dict(zip(chances, entropy(np.array(list(chances.values()))).tolist(), strict=True))

    @cached_property
    def _doubts(self) -> list[Reals]:
        """The uncertainty of each item in question of each part, in bits."""
        doubts: list[list[float]] = [[] for _ in self._parts]
        for item, part in self._part_of.items():
            if item in self.asked:
                doubts[part].append(self._doubt_of[item])
        return [np.array(part) for part in doubts]

    def most_bits(self, test: Listening) -> float:
        """A bound on the bits of a test; 0 when it can tell nothing.

        A mark tells of no item more than its own uncertainty, nor than that of the items on the marks before that the
        line runs through; only one that replaces another may.
        """
        parts = sorted(self._parts_on(test))
        items = [item for item in test.path if item in self._part_of]
        through = sum(self._doubt_of[item] for item in items)
        if self._replaced(test) is not None:
            through = math.inf
        alone = [self._doubt_of[item] for item in test.path if item not in self._part_of and item in self.asked]
        bound = sum(float(np.minimum(self._doubts[part], through).sum()) for part in parts)
        return bound + sum(alone)

    def _parts_on(self, test: Listening) -> set[int]:
        return {self._part_of[item] for item in test.path if item in self._part_of}

    def bits(self, test: Listening) -> float:
        """The uncertainty that the mark is expected to take away, in bits."""
        if self._before is not None and self._changed.isdisjoint(test.path):
            return self._before.bits(test)
        key = self._likeness(test)
        if key not in self._known:
            self._known[key] = self._bits(test)
        return self._known[key]

    def _likeness(self, test: Listening) -> object:
        """Tests alike in this tell the same.

        Items on one mark alone may change places with those of a like mark, and so may items on none.
        """
        on_test = frozenset(test.path)
        shared, alone = [], []
        owners: set[int] = set()
        for item in on_test:
            if item in self.sure:
                alone.append((item.kind, self.sure[item], False))
                continue
            places = self._marks_on.get(item, ())
            if len(places) > 1:
                shared.append(item)
            elif places:
                owners.add(places[0])
            else:
                alone.append((item.kind, self._case.odds[item], item in self.asked))
        marks = Counter(self._mark_likeness(at, on_test) for at in owners)
        return frozenset(shared), tuple(sorted(alone)), frozenset(marks.items()), self._replaced_likeness(test, on_test)

    def _replaced_likeness(self, test: Listening, on_test: frozenset[Item]) -> Hashable:
        replaced = self._replaced(test)
        if replaced is None or self.heard[replaced].verdict == "ok":
            return replaced
        return self._mark_likeness(self._mark_at(replaced), on_test)

    def _mark_at(self, place: int) -> int:
        """Which faulty mark of the case a faulty mark of ``heard`` is."""
        return sum(one.verdict == "faulty" for one in self.heard[:place])

    def _mark_likeness(self, at: int, on_test: frozenset[Item]) -> Hashable:
        mark = self._case.marks[at]
        shared = frozenset(item for item in mark.items if item not in self.sure and len(self._marks_on[item]) > 1)
        private = [
            (item.kind, self._odds[item], item in self.asked, item in on_test)
            for item in mark.items
            if item not in shared
        ]
        return shared, mark.symptom, tuple(sorted(private))

    @cached_property
    def _marks_on(self) -> dict[Item, list[int]]:
        """The faulty marks (by place) that each item is on."""
        found: dict[Item, list[int]] = {}
        for at, mark in enumerate(self._case.marks):
            for item in mark.items:
                found.setdefault(item, []).append(at)
        return found

    def _replaced(self, test: Listening) -> int | None:
        """The place in ``heard`` of the mark that the test would replace."""
        return self._places.get((test.line, frozenset(test.path)))

    @cached_property
    def _places(self) -> dict[tuple[str, frozenset[Item]], int]:
        return {(one.line, frozenset(one.path)): at for at, one in enumerate(self.heard)}

    def _bits(self, test: Listening) -> float:
        if (told := self._telling(test)) is not None:
            return self._doubt_before(test) - told.doubt(self.asked)
        swept, odds = self._swept(test)
        if self._replaced(test) is None:
            self._logs[self._likeness(test)] = swept.logs
        logs = self._outcomes(test)
        chances = np.exp(logs - np.logaddexp.reduce(logs))
        items = self._in_question(test)
        if not items:
            return 0.0
        later = np.empty((len(items), len(chances)))
        for row, item in enumerate(items):
            later[row] = swept.chances[item] if item in swept.chances else chance_of(odds[item])
        return self._doubt_before(test) - float(entropy(later).sum(axis=0) @ chances)

    def _in_question(self, test: Listening) -> list[Item]:
        """The items in question that the test may say something of."""
        marks = [self._case.marks[at] for at in self._touched(test)]
        on_marks = dict.fromkeys(item for one in marks for item in one.items)
        return [item for item in {**on_marks, **dict.fromkeys(test.path)} if item in self.asked]

    def _doubt_before(self, test: Listening) -> float:
        return math.fsum(self._doubt_of[item] for item in self._in_question(test))

    def _telling(self, test: Listening) -> Told | None:
        """What the mark would tell, by the table of its parts; None where there is none or it does not serve."""
        key = (test.line, frozenset(test.path))
        if key not in self._told:
            self._told[key] = self._told_by_table(test)
        return self._told[key]

    def _told_by_table(self, test: Listening) -> Told | None:
        touched, parts, replaced = self._touched(test), frozenset(self._parts_on(test)), self._replaced(test)
        place = None
        if replaced is not None:
            if self.heard[replaced].verdict == "ok" or self._mark_at(replaced) not in touched:
                return None
            place = touched.index(self._mark_at(replaced))
        if parts not in self._joints:
            marks = [self._case.marks[at] for at in touched]
            negligible = NEGLIGIBLE if self._before is None else NEGLIGIBLE_AHEAD
            self._joints[parts] = joint_of(marks, self._odds, self._hearing, self._plan(parts), negligible)
        joint = self._joints[parts]
        return None if joint is None else told(joint, test.path, place)

    def _swept(self, test: Listening) -> tuple[Swept, Odds]:
        """What each outcome of the mark would leave believed, and the log odds that this was reckoned with.

        A mark that is replaced is left out: a faulty one has the open mark in its place.
        """
        touched, odds, open_mark = self._touched(test), self._odds, OpenMark(tuple(dict.fromkeys(test.path)))
        marks: list[AnyMark] = [self._case.marks[at] for at in touched]
        replaced = self._replaced(test)
        plan = self._plan(frozenset(self._parts_on(test)))
        self.stops_swept += len(plan.stops)
        if replaced is not None and self.heard[replaced].verdict == "faulty" and self._mark_at(replaced) in touched:
            marks[touched.index(self._mark_at(replaced))] = open_mark
            return Sweep(marks, odds, self._hearing, TESTING, plan).run(), odds
        if replaced is not None and self.heard[replaced].verdict == "ok":
            others = (*self.heard[:replaced], *self.heard[replaced + 1 :])
            odds = {**case_of([list(self._case.odds)], others, self._hearing.chances).odds, **self.sure}
        plan = plan.with_mark(open_mark.items, odds)
        return Sweep([*marks, open_mark], odds, self._hearing, TESTING, plan).run(), odds

    def _touched(self, test: Listening) -> list[int]:
        """The marks of the parts that the test has to do with."""
        return sorted(at for part in self._parts_on(test) for at in self._parts[part])

    def _plan(self, parts: frozenset[int]) -> Plan:
        """The plan of the marks of some parts."""
        if parts not in self._plans:
            marks = [self._case.marks[at].items for at in sorted(at for part in parts for at in self._parts[part])]
            self._plans[parts] = plan_of(marks, self._odds)
        return self._plans[parts]

    def after(self, test: Listening) -> Iterator[tuple[float, Outlook]]:
        """What would be believed after the mark: ok, or faulty with no word on the symptom, each with its chance.

        Nothing where that would take too long.
        """
        if len(self._plan(frozenset(self._parts_on(test))).stops) > LONG:
            return
        told = self._telling(test)
        logs = self._outcomes(test)
        chances = np.exp(logs - np.logaddexp.reduce(logs))
        ok, faulty = float(chances[0]), float(chances[1:].sum())
        if ok > 0:
            yield ok, self.heard_as(test, "ok", None, told)
        if faulty > 0:
            yield faulty, self.heard_as(test, "faulty", None, told)

    def _outcomes(self, test: Listening) -> Reals:
        """The logarithm of the weight of each outcome, as likely as all that is known makes it."""
        key = self._likeness(test)
        if key not in self._logs:
            self._logs[key] = self._weights(test)
        return self._logs[key]

    def _weights(self, test: Listening) -> Reals:
        if (told := self._telling(test)) is not None:
            return told.logs
        items = tuple(dict.fromkeys(test.path))
        marks = [self._case.marks[at] for at in self._touched(test)]
        plan = self._plan(frozenset(self._parts_on(test))).with_mark(items, self._odds)
        return Sweep([*marks, OpenMark(items)], self._odds, self._hearing, TESTING, plan).there()

    def heard_as(self, test: Listening, verdict: Verdict, symptom: Symptom | None, told: Told | None = None) -> Outlook:
        """What would be believed after that outcome of the mark, of the same items in question.

        ``told``, with no symptom said, has the chances then.
        """
        one = Heard(test.line, tuple(test.path), verdict, symptom)
        replaced = self._replaced(test)
        changed = {
            item for at in self._parts_on(test) for mark in self._parts[at] for item in self._case.marks[mark].items
        }
        changed.update(test.path)
        changed.difference_update(self.sure)
        if replaced is None:
            heard, case = (*self.heard, one), with_mark(self._case, one, self._hearing.chances)
        else:
            heard = latest((*self.heard, one))
            case = case_of([list(self._case.odds)], heard, self._hearing.chances)
        chances = None if told is None else {**self.chances, **told.chances(verdict)}
        return Outlook(heard, case, self._hearing, self.asked, self, frozenset(changed), chances)


def outlook_of(
    paths: Mapping[str, Path], heard: Iterable[Heard], hearing: Hearing, others: Iterable[Path] = ()
) -> Outlook:
    """The outlook after some marks.

    ``paths`` are those of the rig as it runs now, ``others`` those that lines may be moved to.
    """
    evidence = latest(heard)
    lines = faulty_now(paths, evidence) or paths
    asked = frozenset(item for line in lines for item in paths[line])
    return Outlook(evidence, case_of((*paths.values(), *others), evidence, hearing.chances), hearing, asked)
