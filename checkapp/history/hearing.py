"""The marks of shows counted: which items each check ran through, and what was faulty in it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from checkapp.history.plans import Numbered, PlanLines
from checkapp.journal import kinds
from checkapp.journal.checks import Check, check_of, read_checks
from checkapp.journal.entry import read_detail
from checkapp.journal.ran import Ran

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.history.lives import FaultMade
    from checkapp.history.plans import Numbers
    from checkapp.journal.entry import Entry
    from checkapp.journal.exposures import Deed, Done, Marks, Row, Said
    from checkapp.journal.kinds import Mark, Path

    Read = Callable[[Sequence[str]], list[Row]]
    _Counted = tuple["Heard", list[tuple[Said, Mark, Numbers]]]


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
    """The plans of one rig, and what was done on it by show. ``number`` gives an item's number by name and kind.

    ``places`` are where its boxes stand, by the latest plan that says so.
    """

    def __init__(self, done: Done, number: Callable[[str, str], int]) -> None:
        self.rig = done.rig
        self.used = {used.digest: used for deed in done.deeds if (used := deed.used)}
        changes = [change for deed in done.deeds if (change := deed.change)]
        self.places = {code: place for used in self.used.values() for code, place in used.places.items()}
        self._clocks = [change.order[0] for change in changes]
        self._rans = {digest: Ran(used.lines, changes) for digest, used in self.used.items()}
        self._number, self._lines = number, Numbered()
        self._plans = {digest: PlanLines(self._versions(ran), len(changes)) for digest, ran in self._rans.items()}
        self._found: dict[tuple[str | None, str | None, bytes], Numbers] = {}
        self.of_show: dict[str | None, list[Deed]] = {}
        for deed in done.deeds:
            self.of_show.setdefault(deed.entry.show, []).append(deed)

    def _versions(self, ran: Ran) -> Iterator[tuple[int, int, list[int]]]:
        for line, moment, path in ran.versions():
            yield self._lines[line], moment, [self._number(item, kind) for item, kind in path]

    def lines(self, names: Sequence[str]) -> Numbers:
        """The numbers of lines."""
        return np.fromiter(map(self._lines.__getitem__, names), np.int64, len(names))

    @property
    def known_lines(self) -> int:
        """How many lines have numbers so far."""
        return len(self._lines)

    @property
    def changed(self) -> bool:
        """Whether anything was ever swapped or moved."""
        return bool(self._clocks)

    def moments(self, plan: str | None, said: Said, lines: Numbers, read: Read) -> Numbers:
        """How many changes came before each of these marks; only where it matters they are read one by one."""
        if not self._clocks:
            return np.zeros(len(lines), np.int64)
        first, last = (bisect_left(self._clocks, clock) for clock in (said.first_clock, said.last_clock))
        found = np.full(len(lines), first, np.int64)
        known = self._plans.get(plan or "")
        if first != last and known:
            places = np.flatnonzero(np.isin(lines, known.changed(first, last))).tolist()
            where = said.rows
            rows = read([where[place] for place in places])
            found[places] = [bisect_left(self._clocks, row.clock) for row in rows]
        return found

    def through(self, plan: str | None, item: str | None, lines: Numbers, moments: Numbers) -> Numbers:
        """The numbers of the items that marks by one plan tell of, or old ones that name an ``item``."""
        if item is not None:
            return np.array([self._number(item, "")], np.int64)
        known = self._plans.get(plan or "")
        return known.through(lines, moments) if known else np.empty(0, np.int64)

    def through_unchanged(self, plan: str | None, item: str | None, met: NDArray[np.bool_]) -> Numbers:
        """The same of a rig on which nothing was ever changed; ``met`` says of each line whether it was marked.

        One check is mostly as the other, and the items of the same lines are found once.
        """
        key = (plan, item, met.tobytes())
        if key not in self._found:
            lines = np.flatnonzero(met)
            self._found[key] = self.through(plan, item, lines, np.zeros(len(lines), np.int64))
        return self._found[key]

    def path(self, mark: Mark, line: str, clock: str) -> Path:
        """What a line ran through when it was marked, names as the rig has them."""
        if mark.plan is None and mark.item:
            return ((mark.item, ""),)
        ran = self._rans.get(mark.plan or "")
        return ran.path(line, (clock, "", 0, "")) if ran else ()


class ShowHeard:
    """A show's checks and what each heard. ``marks`` are all of the show that stand; None: there are none.

    ``read`` gives the marks at those rows, one by one.
    """

    def __init__(self, rig: RigHeard, show: str | None, marks: Marks | None, read: Read) -> None:
        self._rig, self._show, self._read = rig, show, read
        self.heard: dict[str, Heard] = {}
        of_show = [deed.entry for deed in rig.of_show.get(show, ())]
        self.checks = read_checks(of_show, ())
        said = [(one, mark) for one in (marks.said if marks else ()) if (mark := _mark_of(one))]
        known = {check_id for check in self.checks for check_id in check.ids}
        strays = [(one, mark) for one, mark in said if mark.check not in known]
        if strays:
            rows = [(mark, (row.clock, "", 0, "")) for one, mark in strays for row in read(one.rows)]
            self.checks = read_checks(of_show, rows)
        counted = [self._count(self.need(check, ""), told) for check, told in self._by_check(said).items()]
        self._hear(counted)
        self._hear_again(counted)

    def check_at(self, entry: Entry) -> Check | None:
        """The check in which something was done that names none; what was done between two belongs to the first."""
        none = kinds.Mark("", "ok", None, None, "", None, None)
        found = check_of(none, entry.order, self.checks)
        if found is not None and self._begin(found) <= entry.at:
            return found
        begun = [check for check in self.checks if self._begin(check) <= entry.at]
        return max(begun, key=self._begin) if begun else found

    def need(self, check: Check | None, at: str) -> Heard:
        """What a check heard, begun at that time where it heard nothing before."""
        key = check.key if check else ""
        if key not in self.heard:
            self.heard[key] = Heard(self._rig.rig, self._show, at, at)
        return self.heard[key]

    def _begin(self, check: Check) -> str:
        heard = self.heard.get(check.key)
        return min(filter(None, (check.opened_at, heard.first_at if heard else None)), default="")

    def _by_check(self, said: list[tuple[Said, Mark]]) -> dict[Check | None, list[tuple[Said, Mark]]]:
        """What was said in each check; marks that name none that is known are told apart by when they were made."""
        named = {check_id: check for check in self.checks for check_id in check.ids}
        found: dict[Check | None, list[tuple[Said, Mark]]] = {}
        for one, mark in said:
            if mark.check in named:
                found.setdefault(named[mark.check], []).append((one, mark))
                continue
            for place, row in zip(one.rows, self._read(one.rows), strict=True):
                check = check_of(mark, (row.clock, "", 0, ""), self.checks)
                by = frozenset([row.by] if row.by else [])
                alone = Said(one.detail, [row.line], place, row.at, row.at, by, row.clock, row.clock)
                found.setdefault(check, []).append((alone, mark))
        return found

    def _count(self, heard: Heard, told: list[tuple[Said, Mark]]) -> _Counted:
        heard.first_at = min(one.first_at for one, _ in told)
        heard.last_at = max(one.last_at for one, _ in told)
        heard.crew = frozenset().union(*(one.by for one, _ in told))
        lines = [self._rig.lines(one.lines) for one, _ in told]
        met = self._met(lines)
        heard.lines = int(np.count_nonzero(met))
        ways = {_way(mark) for _, mark in told}
        if self._rig.changed or len(ways) > 1:
            self._items(heard, told, lines)
        else:
            heard.items.append(self._rig.through_unchanged(*ways.pop(), met))
        return heard, [(one, mark, numbers) for (one, mark), numbers in zip(told, lines, strict=True)]

    def _items(self, heard: Heard, told: list[tuple[Said, Mark]], lines: list[Numbers]) -> None:
        """The items of all lines that were marked by one plan, at once."""
        by_plan: dict[tuple[str | None, str | None], list[tuple[Numbers, Numbers]]] = {}
        for (one, mark), numbers in zip(told, lines, strict=True):
            moments = self._rig.moments(mark.plan, one, numbers, self._read)
            by_plan.setdefault(_way(mark), []).append((numbers, moments))
        for (plan, item), many in by_plan.items():
            numbers, moments = (np.concatenate(arrays) for arrays in zip(*many, strict=True))
            heard.items.append(self._rig.through(plan, item, numbers, moments))

    def _met(self, lines: Iterable[Numbers]) -> NDArray[np.bool_]:
        """Of each line whether it is among these."""
        met = np.zeros(self._rig.known_lines, bool)
        for numbers in lines:
            met[numbers] = True
        return met

    def _hear(self, counted: list[_Counted]) -> None:
        """Keep what was faulty in each check: those marks are read one by one, of all checks of the show at once."""
        bad = [
            (heard, mark, row)
            for heard, told in counted
            for one, mark, _ in told
            if mark.verdict == "faulty"
            for row in one.rows
        ]
        for (heard, mark, _), row in zip(bad, self._read([row for *_, row in bad]), strict=True):
            path = self._rig.path(mark, row.line, row.clock)
            heard.faulty.append(FaultyMark(row.line, row.clock, row.at, row.by, mark.symptom, path))
        for heard, _ in counted:
            heard.faulty.sort(key=lambda mark: mark.clock)

    def _hear_again(self, counted: list[_Counted]) -> None:
        """Keep when lines that were faulty were heard to be ok last."""
        good: list[tuple[Heard, str]] = []
        for heard, told in counted:
            if not heard.faulty:
                continue
            is_bad = self._met([self._rig.lines([mark.line for mark in heard.faulty])])
            for one, mark, numbers in told:
                if mark.verdict == "ok" and (places := np.flatnonzero(is_bad[numbers]).tolist()):
                    rows = one.rows
                    good += [(heard, rows[place]) for place in places]
        for (heard, _), row in zip(good, self._read([row for _, row in good]), strict=True):
            heard.ok[row.line] = max(row.clock, heard.ok.get(row.line, ""))


def _mark_of(said: Said) -> Mark | None:
    return kinds.mark_of("", read_detail(said.detail))


def _way(mark: Mark) -> tuple[str | None, str | None]:
    """What tells the items of a mark: the plan, or on an old record without one the item."""
    return mark.plan, None if mark.plan else mark.item
