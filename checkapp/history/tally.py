"""What a journal tells of what failed, counted: over all rigs, shows and tours, without what was undone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from checkapp.history.hearing import FaultyMark, Heard, RigHeard, ShowHeard
from checkapp.history.lives import CheckDone, FaultMade, Life, Tally, Unconfirmed
from checkapp.history.names import Names
from checkapp.history.out import benched, out_now
from checkapp.history.plans import Numbered
from checkapp.journal import kinds
from checkapp.journal.exposures import read_done, read_marks, read_rows
from checkapp.journal.story import OLD
from checkapp.rig.codes import read_port

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.journal.exposures import Done, Marks, Row
    from checkapp.journal.journal import Journal
    from checkapp.journal.kinds import Repair

_SECONDS = 60.0
_NONE = np.empty(0, np.int64)


def tally(journal: Journal, show: str | None = None, since: str = "") -> Tally:
    """All that a journal tells of what failed; ``show``: of the checks and repairs of shows of that name alone.

    ``since``: of the checks that began on that date (UTC, ISO 8601) or later, and of the repairs in them.

    An item was exposed once in each check that marked at least one line through it, by the path that the line had when
    it was marked. Old records expose the items that they name, each once a day and show. Errors: those of reading.
    """
    return _counted(journal, show).result(since=since)


def tallies(journal: Journal, show: str) -> tuple[Tally, Tally]:
    """The tally of all, and that of the shows of a name; both from one reading. Errors: those of reading."""
    count = _counted(journal, None)
    return count.result(), count.result(show)


def _counted(journal: Journal, show: str | None) -> _Count:
    """All that was counted; ``show``: of the shows of that name alone."""
    done = read_done(journal)
    count = _Count(done, partial(read_rows, journal))
    rigs = [count.know(of_rig) for of_rig in done]
    for rig, of_rig in zip(rigs, done, strict=True):
        count.take(rig, read_marks(journal, of_rig, show), show)
    return count


@dataclass(slots=True)
class _Count:
    """What was counted so far."""

    done: list[Done]
    read: Callable[[Sequence[str]], list[Row]]
    names: Names = field(init=False)
    items: Numbered = field(default_factory=Numbered)
    heard: list[Heard] = field(default_factory=list)
    told: dict[tuple[str | None, str | None], kinds.ShowNamed] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.names = Names(self.done)

    def know(self, done: Done) -> RigHeard:
        """Know the plans of a rig; all are known before anything is counted."""
        return RigHeard(done, lambda item, kind: self.items[self.names.know(done.rig, item, kind)])

    def take(self, rig: RigHeard, of_shows: Iterable[Marks], show: str | None) -> None:
        """Count the shows of a rig; ``show``: those of that name alone."""
        waiting = dict.fromkeys(rig.of_show)
        for marks in of_shows:
            waiting.pop(marks.show, None)
            self._show(rig, marks.show, marks)
        for name in waiting:
            if show in (None, name):
                self._show(rig, name, None)

    def _show(self, rig: RigHeard, show: str | None, marks: Marks | None) -> None:
        heard = ShowHeard(rig, show, marks, self.read)
        for deed in rig.of_show.get(show, ()):
            named = kinds.read_show(deed.entry)
            if named is not None:
                self.told[rig.rig, show] = named
            if deed.repair is not None and deed.repair.cleared:
                self._repair(rig, heard, deed.entry, deed.repair)
        self.heard += heard.heard.values()

    def _repair(self, rig: RigHeard, show: ShowHeard, entry: Entry, repair: Repair) -> None:
        """A fault was confirmed: what was heard of it in its check, up to the repair, is cleared."""
        heard = show.need(show.check_at(entry), entry.at)
        name = self.names.name(rig.rig, repair.item)
        number = self.items[name]
        old = entry.device.startswith(OLD)
        if old:
            heard.items.append(np.array([number]))
        marks = [mark for mark in heard.faulty if mark.clock < entry.clock and _concerns(mark, repair)]
        waiting = [mark for mark in marks if not mark.cleared]
        for mark in waiting:
            mark.cleared = True
        symptoms = tuple(dict.fromkeys(mark.symptom for mark in waiting if mark.symptom))
        said = None if symptoms else kinds.text_of(entry.details.get("symptom"))
        fault = FaultMade(
            item=name,
            kind=self.names.kind(name),
            at=entry.at,
            rig=rig.rig or "",
            show=entry.show or "",
            place=_place(rig, repair.item, waiting),
            by=entry.by or "",
            action=repair.action,
            put_in=self.names.name(rig.rig, repair.replacement) if repair.replacement else None,
            lines=tuple(dict.fromkeys(mark.line for mark in waiting)) or repair.lines * old,
            symptoms=symptoms or ((said,) if said else ()),
            open_minutes=None if old or not waiting else _minutes(waiting[0].at, entry.at),
            again=False,
        )
        heard.made.append(fault)

    def result(self, show: str | None = None, since: str = "") -> Tally:
        """What it all comes to; ``show``: of the shows of that name; ``since``: of the checks that began then or later.

        It may be asked for more than once.
        """
        counted = [one for one in self.heard if one.first_at >= since and show in (None, one.show)]
        counted.sort(key=lambda one: (one.first_at, one.rig or "", one.show or ""))
        faults = sorted((fault for one in counted for fault in one.made), key=lambda fault: fault.at)
        unconfirmed = sorted((line for one in counted for line in _unconfirmed(one)), key=lambda line: line.at)
        tests = benched(self.done, self.names)
        lives, checks = self._lives(counted, {test.item: test.passed for test in tests}), map(self._check, counted)
        return Tally(lives, tuple(_again(faults)), tuple(unconfirmed), tuple(checks), tests)

    def _lives(self, counted: Sequence[Heard], bench: dict[str, bool]) -> tuple[Life, ...]:
        """Each item's life, by name; those that were never in a check only when something else is known of them."""
        out = out_now(self.done, self.names)
        self.items.number((*out, *bench))
        seen, first, last = (np.zeros(len(self.items), np.int64) for _ in range(3))
        faults: dict[str, list[int]] = {}
        for place, one in enumerate(counted):
            items = one.items[0] if len(one.items) == 1 else np.unique(np.concatenate([_NONE, *one.items]))
            first[items[seen[items] == 0]] = place
            seen[items] += 1
            last[items] = place
            for fault in one.made:
                faults.setdefault(fault.item, []).append(max(1, int(seen[self.items[fault.item]])))
        lives = []
        for name, number in sorted(self.items.items()):
            times = int(seen[number])
            if not times and name not in faults and name not in out and name not in bench:
                continue
            failed = tuple(faults.get(name, ()))
            begin, end = (counted[place[number]].first_at if times else "" for place in (first, last))
            gone, exposures = out.get(name), max(times, min(1, len(failed)))
            pulled = gone.at if gone and (gone.tagged or gone.at >= end) else None
            at_last = pulled is not None and failed[-1:] == (exposures,)
            kind = self.names.kind(name)
            lives.append(Life(name, kind, exposures, failed, begin, end, pulled, at_last, bench.get(name)))
        return tuple(lives)

    def _check(self, one: Heard) -> CheckDone:
        told = self.told.get((one.rig, one.show))
        return CheckDone(
            rig=one.rig or "",
            show=one.show or "",
            venue=(told.venue if told else None) or "",
            date=(told.date if told else None) or one.first_at[:10],
            at=one.first_at,
            lines=one.lines,
            faulty=len({mark.line for mark in one.faulty}),
            minutes=_minutes(one.first_at, one.last_at) or 0.0,
            crew=tuple(sorted(one.crew)),
        )


def _concerns(mark: FaultyMark, repair: Repair) -> bool:
    """Whether a line was faulty through what was repaired."""
    return mark.line in repair.lines or any(name == repair.item for name, _ in mark.path)


def _place(rig: RigHeard, item: str, marks: Iterable[FaultyMark]) -> str:
    """Where an item was: where its box stands, else where the first box stands that the faulty line came to."""
    port = read_port(item)
    names = (port.code if port else item, *(name for mark in marks for name, kind in mark.path if kind == "box"))
    return next((rig.places[name] for name in names if name in rig.places), "")


def _unconfirmed(one: Heard) -> Iterator[Unconfirmed]:
    """Lines that were faulty when they were marked last, and that no repair cleared."""
    latest = {mark.line: mark for mark in one.faulty}
    for mark in latest.values():
        if not mark.cleared and mark.clock > one.ok.get(mark.line, ""):
            yield Unconfirmed(mark.line, mark.at, one.rig or "", one.show or "", mark.symptom, mark.by)


def _again(faults: Iterable[FaultMade]) -> Iterator[FaultMade]:
    """The faults, each with whether the item had one before."""
    before: set[str] = set()
    for fault in faults:
        yield replace(fault, again=True) if fault.item in before else fault
        before.add(fault.item)


def _minutes(begin: str, end: str) -> float | None:
    """Minutes between two times in UTC, none below 0; None where one is no time."""
    try:
        passed = datetime.fromisoformat(end) - datetime.fromisoformat(begin)
    except (ValueError, TypeError):
        return None
    return max(0.0, passed.total_seconds() / _SECONDS)
