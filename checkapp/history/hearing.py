"""The marks of shows counted: which items each check ran through, and what was faulty in it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from checkapp.history.plans import Numbered, PlanLines
from checkapp.journal import kinds
from checkapp.journal.changes import read_change
from checkapp.journal.checks import Check, check_of, read_checks
from checkapp.journal.entry import read_detail
from checkapp.journal.ran import Ran
from checkapp.journal.story import rigs_used

if TYPE_CHECKING:
    from checkapp.history.lives import FaultMade
    from checkapp.history.plans import Numbers
    from checkapp.journal.entry import Entry
    from checkapp.journal.exposures import Done, Marks
    from checkapp.journal.kinds import Mark, Path


@dataclass(slots=True)
class FaultyMark:
    """A line was heard to be faulty; ``path`` is what it ran through then. ``cleared``: a repair made it good."""

    line: str
    clock: str
    at: str
    by: str
    symptom: str | None
    path: Path
    cleared: bool = False


@dataclass(slots=True)
class Heard:
    """What a check heard: items by number, how many lines, the times of its first and last mark, who marked.

    ``ok`` holds the clock of the last mark ok of each line that was faulty in it; ``faulty`` are in the story's order,
    ``made`` the faults that were confirmed in it.
    """

    rig: str | None
    show: str | None
    first_at: str
    last_at: str
    items: list[Numbers] = field(default_factory=list)
    lines: int = 0
    faulty: list[FaultyMark] = field(default_factory=list)
    ok: dict[str, str] = field(default_factory=dict)
    made: list[FaultMade] = field(default_factory=list)
    crew: frozenset[str] = frozenset()


class RigHeard:
    """The plans of one rig, and what was done on it by show. ``number`` gives an item's number by name and kind."""

    def __init__(self, done: Done, number: Callable[[str, str], int]) -> None:
        self.rig = done.rig
        self.used = rigs_used(done.entries)
        changes = [change for entry in done.entries if (change := read_change(entry))]
        self._clocks = [change.order[0] for change in changes]
        self._rans = {digest: Ran(used.lines, changes) for digest, used in self.used.items()}
        self._number, self._lines = number, Numbered()
        self._plans = {digest: PlanLines(self._versions(ran), len(changes)) for digest, ran in self._rans.items()}
        self.of_show: dict[str | None, list[Entry]] = {}
        for entry in done.entries:
            self.of_show.setdefault(entry.show, []).append(entry)

    def _versions(self, ran: Ran) -> Iterator[tuple[int, int, list[int]]]:
        for line, moment, path in ran.versions():
            yield self._lines[line], moment, [self._number(item, kind) for item, kind in path]

    def lines(self, names: Sequence[str]) -> Numbers:
        """The numbers of lines."""
        return np.fromiter(map(self._lines.__getitem__, names), np.int64, len(names))

    def moments(self, clocks: Sequence[str]) -> Numbers:
        """How many changes came before each of these."""
        first, last = (bisect_left(self._clocks, clock) for clock in (min(clocks), max(clocks)))
        if first == last:
            return np.full(len(clocks), first, np.int64)
        return np.fromiter((bisect_left(self._clocks, clock) for clock in clocks), np.int64, len(clocks))

    def through(self, mark: Mark, lines: Numbers, moments: Numbers) -> Numbers:
        """The numbers of the items that marks which say the same, of these lines, tell of."""
        if mark.plan is None and mark.item:
            return np.array([self._number(mark.item, "")], np.int64)
        plan = self._plans.get(mark.plan or "")
        return plan.through(lines, moments) if plan else np.empty(0, np.int64)

    def path(self, mark: Mark, line: str, clock: str) -> Path:
        """What a line ran through when it was marked, names as the rig has them."""
        if mark.plan is None and mark.item:
            return ((mark.item, ""),)
        ran = self._rans.get(mark.plan or "")
        return ran.path(line, (clock, "", 0, "")) if ran else ()


class ShowHeard:
    """A show's checks and what each heard. ``marks`` are all of the show that stand; None: there are none."""

    def __init__(self, rig: RigHeard, show: str | None, marks: Marks | None) -> None:
        self._rig, self._show = rig, show
        self.heard: dict[str, Heard] = {}
        self._marks = marks
        self._said = [kinds.mark_of("", read_detail(text)) for text in dict.fromkeys(marks.details if marks else ())]
        self._says = _numbers(marks.details) if marks else np.empty(0, np.int64)
        self.checks = read_checks(rig.of_show.get(show, ()), self._strays())
        if marks:
            self._count(marks)

    def check_at(self, entry: Entry) -> Check | None:
        """The check in which something was done that names none; what was done between two belongs to the first."""
        none = kinds.Mark("", "ok", None, None, "", None, None)
        found = check_of(none, entry.order, self.checks)
        if found is not None and self._begin(found) <= entry.at:
            return found
        begun = [check for check in self.checks if self._begin(check) <= entry.at]
        return max(begun, key=self._begin) if begun else found

    def _begin(self, check: Check) -> str:
        heard = self.heard.get(check.key)
        return min(filter(None, (check.opened_at, heard.first_at if heard else None)), default="")

    def need(self, check: Check | None, at: str) -> Heard:
        """What a check heard, begun at that time where it heard nothing before."""
        key = check.key if check else ""
        if key not in self.heard:
            self.heard[key] = Heard(self._rig.rig, self._show, at, at)
        return self.heard[key]

    def _strays(self) -> Iterator[tuple[Mark, tuple[str, str, int, str]]]:
        """One mark for all that say the same: the last of them."""
        clocks = self._marks.clocks if self._marks else ()
        for number, mark in enumerate(self._said):
            if mark is not None:
                last = max(clocks[row] for row in np.flatnonzero(self._says == number).tolist())
                yield mark, (last, "", 0, "")

    def _count(self, marks: Marks) -> None:
        lines, moments = self._rig.lines(marks.lines), self._rig.moments(marks.clocks)
        for check, rows in self._rows_of(marks).items():
            one = self.need(check, "")
            _tell_of(one, marks, rows)
            one.lines = len(np.unique(lines[rows]))
            for number in np.unique(self._says[rows]).tolist():
                these, mark = rows[self._says[rows] == number], self._said[number]
                if mark is not None:
                    one.items.append(self._rig.through(mark, lines[these], moments[these]))
                    self._faulty(one, mark, marks, these)
            self._ok(one, marks, rows, lines)

    def _rows_of(self, marks: Marks) -> dict[Check | None, Numbers]:
        """Which marks belong to each check."""
        known = {check_id: check for check in self.checks for check_id in check.ids}
        found: dict[Check | None, list[Numbers]] = {}
        for number, mark in enumerate(self._said):
            rows = np.flatnonzero(self._says == number)
            if mark is None:
                continue
            named = known.get(mark.check or "")
            if named is not None:
                found.setdefault(named, []).append(rows)
                continue
            for row in rows.tolist():
                stray = check_of(mark, (marks.clocks[row], "", 0, ""), self.checks)
                found.setdefault(stray, []).append(np.array([row]))
        return {check: np.sort(np.concatenate(rows)) for check, rows in found.items()}

    def _faulty(self, one: Heard, mark: Mark, marks: Marks, rows: Numbers) -> None:
        if mark.verdict == "ok":
            return
        for row in rows.tolist():
            line, clock = marks.lines[row], marks.clocks[row]
            path = self._rig.path(mark, line, clock)
            one.faulty.append(FaultyMark(line, clock, marks.times[row], marks.by[row], mark.symptom, path))

    def _ok(self, one: Heard, marks: Marks, rows: Numbers, lines: Numbers) -> None:
        """Keep when lines that were faulty were heard to be ok last."""
        one.faulty.sort(key=lambda mark: mark.clock)
        good = np.array([mark is not None and mark.verdict == "ok" for mark in self._said])
        bad_lines = self._rig.lines([mark.line for mark in one.faulty])
        for row in rows[good[self._says[rows]] & np.isin(lines[rows], bad_lines)].tolist():
            line, clock = marks.lines[row], marks.clocks[row]
            one.ok[line] = max(clock, one.ok.get(line, ""))


def _numbers(texts: Sequence[str]) -> Numbers:
    """Equal texts as equal numbers, from 0 in the order in which they first come."""
    return np.fromiter(map(Numbered().__getitem__, texts), np.int64, len(texts))


def _tell_of(one: Heard, marks: Marks, rows: Numbers) -> None:
    times, by = marks.times, marks.by
    if len(rows) != len(marks.lines):
        times, by = ([column[row] for row in rows.tolist()] for column in (times, by))
    one.first_at, one.last_at = min(times), max(times)
    one.crew = frozenset(filter(None, by))
