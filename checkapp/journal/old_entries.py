"""Old records as entries: the same rows give the same entries, on whichever tablet and however often they come in.

Each row is a device of its own, called after what the row says, with one entry or two; so is each day of a show, with
the show and a check that is opened and signed off. Ids, numbers and digests follow from that, so that a file that was
taken in twice, by two tablets or with rows added counts once. ``at`` is when it happened, not when it was written.
The clock follows that too, but in seconds where tablets count milliseconds: in the story all old records stand by their
dates before all that a tablet ever told, no show of today gives way to one of years ago, and a wrong year on paper does
not move the clocks of tablets.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import astuple, replace
from datetime import date
from typing import get_args

from sqlalchemy import select

from checkapp.journal import kinds, schema
from checkapp.journal.clock import at_text, nth_clock
from checkapp.journal.entry import NO_ENTRY, Entry, detail_text
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import BENCH, Draft
from checkapp.journal.old_records import MS_OF_DAY, MS_OF_SECOND, Record, day_ms, moment_ms
from checkapp.journal.setup_kinds import NOTE
from checkapp.journal.story import OLD
from checkapp.journal.taking_in import TakenIn, take_in

RIG = "Old records"
"""The rig of records that are not known to be of any other."""

_VERDICTS: dict[str, kinds.Verdict] = {word: word for word in get_args(kinds.Verdict)}
_ACTIONS: dict[str, kinds.Action] = {word: word for word in get_args(kinds.Action)}


def import_records(journal: Journal, records: Iterable[Record], rig: str) -> TakenIn:
    """Take records in as entries of ``rig``, by name: all of them, or none. Errors: those of taking in."""
    return take_in(journal, entries_of(records, rig))


def rigs_known(journal: Journal) -> tuple[list[str], list[str]]:
    """The names of the rigs that ``journal`` knows, and of those that it has old records of."""
    rig, device = schema.entry.c.rig, schema.entry.c.device
    query = select(rig, device.startswith(OLD)).where(rig.is_not(None)).distinct()
    with journal.as_stored() as connection:
        found = [(bytes(name).decode(errors="replace"), old) for name, old in connection.execute(query)]
    return sorted({name for name, _ in found}), sorted({name for name, old in found if old})


def entries_of(records: Iterable[Record], rig: str) -> Iterator[Entry]:
    """The entries of the records, each day of a show before its first record."""
    days: dict[tuple[str, date], str] = {}
    for record in records:
        day = (record.show, record.day)
        if day not in days:
            opened = list(_day(rig, *day))
            days[day] = opened[1].id
            yield from opened
        yield from _record(rig, record, days[day])


def _day(rig: str, show: str, day: date) -> Iterator[Entry]:
    """The show, and the check of that day: opened at its beginning and signed off at its end."""
    begin_ms = day_ms(day)
    chain = _Chain((rig, show, str(day)), rig, show)
    yield chain.add(kinds.show(show, date=str(day)), begin_ms)
    opened = chain.add(kinds.check_opened(), begin_ms)
    yield opened
    yield chain.add(kinds.check_signed_off([opened.id], []), begin_ms + MS_OF_DAY - 1)


def _record(rig: str, record: Record, check: str) -> Iterator[Entry]:
    """What a row says, in the order in which it happens: found faulty, repaired, found ok."""
    chain = _Chain((rig, *(None if value is None else str(value) for value in astuple(record))), rig, record.show)
    for step, draft in sorted(_drafts(record, check), key=lambda made: made[0]):
        yield chain.add(draft, moment_ms(record), step)


def _drafts(record: Record, check: str) -> Iterator[tuple[int, Draft]]:
    """What a row says, each with its place among all that was done at that moment."""
    said: dict[str, object] = {"record": str(record.day)}
    if record.note:
        said["note"] = record.note
    if record.line and record.verdict:
        draft = kinds.mark(record.line, _VERDICTS[record.verdict], plan="", check=check)
        more = {"plan": None, "symptom": record.symptom, "item": record.item}
        yield (1 if record.verdict == "faulty" else 3), draft._replace(detail={**draft.detail, **more, **said})
    elif record.verdict and not record.action:
        detail = {"ohms": None, "pass": record.verdict == "ok", "symptom": record.symptom}
        yield 2, Draft(BENCH, record.item, detail | said)
    if record.action and record.item:
        lines = [record.line] if record.line else []
        draft = kinds.repair(record.item, _ACTIONS[record.action], cleared=True, lines=lines)
        yield 2, draft._replace(detail={**draft.detail, "symptom": record.symptom, **said})
    elif not record.verdict:
        yield 4, Draft(NOTE, record.line or record.item, {"text": record.note, "item": record.item, **said})


class _Chain:
    """The entries of one device, called after what it stands for: each with the digest of the one before."""

    def __init__(self, said: tuple[str | None, ...], rig: str, show: str) -> None:
        self._name = hashlib.sha256(json.dumps(said).encode()).hexdigest()[:20]
        self._rig, self._show = rig, show
        self._seq, self._end = 0, NO_ENTRY

    def add(self, draft: Draft, at_ms: int, step: int = 0) -> Entry:
        """The next entry, ``step`` places after others of that moment."""
        self._seq += 1
        entry = Entry(
            id=f"{OLD}{self._name}-{self._seq}",
            device=f"{OLD}{self._name}",
            seq=self._seq,
            at=at_text(at_ms),
            clock=nth_clock(at_ms // MS_OF_SECOND, step),
            kind=draft.kind,
            rig=self._rig,
            show=self._show,
            subject=draft.subject,
            by=None,
            detail=detail_text(draft.detail),
            previous=self._end,
        )
        entry = replace(entry, digest=entry.computed_digest())
        self._end = entry.digest
        return entry
