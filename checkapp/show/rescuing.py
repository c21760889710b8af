"""A damaged journal set aside, a new one made of what can be read, and what is said of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from checkapp.journal.backup import backups_of
from checkapp.journal.rescue import Rescued, is_sound, rescue
from checkapp.show import clock, places
from checkapp.show.backing_up import stamp
from checkapp.show.device_record import record_of
from checkapp.show.importing import Said
from checkapp.show.machine import machine_name
from checkapp.show.saving_words import entries_words
from checkapp.show.taken_text import wrong_text

_SQLITE = b"SQLite format 3\0"


def rescue_journal(path: Path | None, home: Path | None = None) -> Said:
    """Set the journal aside and save what can be read; what came back, and what is missing.

    Errors: as `checkapp.journal.rescue.rescue`; the journal is as it was then.
    """
    at = places.journal_path(path)
    found = _rescued(at, home or places.home())
    return Said(tuple(_done(at, found)), (*wrong_text(found.taken), *found.unreadable))


def rescue_if_damaged(path: Path, home: Path) -> tuple[str, ...]:
    """Do so where the journal at ``path`` is damaged; what is to be said of it, nothing where it is sound or not there.

    A file that nothing of a journal is left in is made way for as well, but something else is left alone.
    """
    if not path.is_file() or is_sound(path):
        return ()
    found = _rescued(path, home, even_nothing=path.read_bytes()[:16] == _SQLITE)
    missing = (*wrong_text(found.taken), *found.unreadable)
    return ("The journal was damaged.", *_done(path, found), *missing)


def _rescued(path: Path, home: Path, *, even_nothing: bool = False) -> Rescued:
    record = record_of(path, home, machine_name())

    def remembered(device: str) -> int | None:
        end = record.last(device)
        return None if end is None else end.seq

    return rescue(
        path,
        new_device=clock.new_device(),
        stamp=stamp(),
        backups=backups_of(path),
        remembered=remembered,
        even_nothing=even_nothing,
    )


def _done(path: Path, found: Rescued) -> Iterator[str]:
    yield f"{found.aside}: the damaged journal, set aside as it was"
    yield f"{path}: a new journal with {entries_words(found.own)} that could be read of it"
    if found.before:
        yield f"{entries_words(found.before)} more from what was set aside before"
    if found.backups:
        yield f"{entries_words(found.backups)} more from backups"
