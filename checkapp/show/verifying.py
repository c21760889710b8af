"""Proof that a journal is whole; where it is not, what is wrong, what can be trusted and what can be done."""

from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

from checkapp.journal.errors import JournalDamaged
from checkapp.journal.faults import FaultName, JournalFault, of_file
from checkapp.journal.identity import own_names
from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify
from checkapp.show import places
from checkapp.show.device_record import record_of
from checkapp.show.machine import machine_name
from checkapp.show.taken_text import entries

_MOST_TOLD = 100

_ADVICE: dict[FaultName, str] = {
    "gap": "missing entries may be on another tablet or in a backup: checkapp journal merge takes them in",
    "fork": "where a number was used twice, both entries are kept and both count: a copy of a journal was written to",
    "edited": "a changed entry is made good by a merge with a tablet or a backup that has it as it was written",
    "changed layout": "the file itself was changed: checkapp journal rescue makes a new one of what can be read",
    "damaged file": "checkapp journal rescue sets the damaged file aside and saves what can be read",
}
"""What can be done, by what is wrong."""


def verify_journal(path: Path | None, home: Path | None = None) -> tuple[list[str], bool]:
    """What is wrong with the journal, a line each, and whether it is sound. `NoJournal`: there is none.

    ``home`` is the user's folder, in which this machine remembers what it wrote; None: the usual one.
    """
    at = places.journal_path(path)
    try:
        with Journal.read(at) as journal:
            notice = [journal.notice] if journal.notice else []
            faults = verify(journal, _remembered(journal, home or places.home()))
            count = _count(journal)
    except JournalDamaged as error:
        return [*error.lines, *_advice([of_file("damaged file", "")])], False
    if not faults:
        return [*notice, f"{at}: {entries(count)}, none missing, none changed"], True
    return [*notice, *_told(faults), *_trusted(faults, count), *_advice(faults)], False


def _remembered(journal: Journal, home: Path) -> dict[str, int]:
    """How many entries this machine remembers to have written into the journal, by name."""
    record = record_of(journal.path, home, machine_name())
    with journal.reading() as bare:
        names = own_names(bare)
    ends = {name: record.last(name) for name in names}
    return {name: end.seq for name, end in ends.items() if end is not None}


def _count(journal: Journal) -> int:
    with journal.reading() as bare:
        (count,) = bare.execute("SELECT count(*) FROM entry NOT INDEXED").fetchone()
    return int(count)


def _told(faults: Iterable[JournalFault]) -> Iterator[str]:
    told: Counter[FaultName] = Counter()
    for fault in faults:
        told[fault.name] += 1
        if told[fault.name] <= _MOST_TOLD:
            yield fault.said
    for name, count in told.items():
        if count > _MOST_TOLD:
            yield f"and {count - _MOST_TOLD} more of this: {name}"


def _trusted(faults: Iterable[JournalFault], count: int) -> Iterator[str]:
    doubtful = {(fault.device, fault.seq, fault.id) for fault in faults if fault.name in ("edited", "unreadable value")}
    sound = max(count - len(doubtful), 0)
    if sound == count:
        yield f"{entries(count)} can be trusted: as they were written"
    else:
        yield f"{sound} of {entries(count)} can be trusted: as they were written; do not trust the others"


def _advice(faults: Iterable[JournalFault]) -> Iterator[str]:
    names = {fault.name for fault in faults}
    return (f"look: {said}" for name, said in _ADVICE.items() if name in names)
