"""Copies of a journal that is in use: on request, and one a day of which the last ten are kept.

A copy numbers nobody's entries (`checkapp.journal.identity`): whoever writes to it does so under a new name.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from checkapp.journal.copying import BACKUPS, copy_file
from checkapp.journal.errors import DiskFull, told
from checkapp.journal.identity import give_up_all
from checkapp.journal.journal import Journal
from checkapp.journal.store import named_errors
from checkapp.tongue import later, tr

KEPT_DAYS: Final = 10
_ROOM_BYTES: Final = 20_000_000
_DAY: Final = r"-day-[0-9]{4}-[0-9]{2}-[0-9]{2}"


@dataclass(frozen=True, slots=True)
class BackedUp:
    """A copy that was made and looked at page by page: where it lies, and how many entries it holds."""

    path: Path
    entries: int


def back_up(journal: Journal, folder: Path, stamp: str) -> BackedUp:
    """Copy the journal, as it is at this moment, to ``folder/NAME-STAMP.db``; nothing there is written over.

    Errors: `DiskFull`, `JournalNotWritable` (nothing is left in the folder then), `JournalDamaged`: the journal is.
    """
    with journal.reading() as bare:
        (count,) = bare.execute("SELECT count(*) FROM entry NOT INDEXED").fetchone()
        target = folder / f"{journal.path.stem}-{stamp}{journal.path.suffix}"
        made = copy_file(bare, journal.path, target, give_up_all if journal.notice is None else None)
    return BackedUp(made, int(count))


def back_up_today(journal: Journal, day: str) -> BackedUp | None:
    """The copy of a day, ``2031-05-02``, at `day_file`; None when there is one already, or nothing to copy yet.

    Of such copies the last ten days' stay; nothing else there is touched. Errors: as `back_up`.
    """
    if day_file(journal.path, day).exists() or _is_empty(journal):
        return None
    _look_for_room(journal.path)
    made = back_up(journal, journal.path.parent / BACKUPS, f"day-{day}")
    for old in daily(journal.path)[:-KEPT_DAYS]:
        old.unlink(missing_ok=True)
    return made


def day_file(path: Path, day: str) -> Path:
    """Where the copy of a day of the journal at ``path`` lies: in the folder `BACKUPS` beside it."""
    return path.parent / BACKUPS / f"{path.stem}-day-{day}{path.suffix}"


def _is_empty(journal: Journal) -> bool:
    with journal.reading() as bare:
        return bare.execute("SELECT 1 FROM entry LIMIT 1").fetchone() is None


def _look_for_room(path: Path) -> None:
    """A copy must not take the room that the next marks need. `DiskFull`: it would."""
    with named_errors(path):
        free, size = shutil.disk_usage(path.parent).free, path.stat().st_size
    if free < 2 * size + _ROOM_BYTES:
        raise DiskFull(
            told(
                path, tr("only {size} MB are free beside the journal", size=free // 1_000_000), later("free some room")
            )
        )


def daily(path: Path) -> list[Path]:
    """The copies of days that there are of the journal at ``path``, oldest first."""
    ours = re.compile(re.escape(path.stem) + _DAY + re.escape(path.suffix), re.ASCII)
    folder = path.parent / BACKUPS
    found = folder.iterdir() if folder.is_dir() else ()
    return sorted(one for one in found if ours.fullmatch(one.name))


def backups_of(path: Path) -> list[Path]:
    """Every copy in the folder `BACKUPS` beside the journal at ``path`` that bears its name, newest first."""
    folder = path.parent / BACKUPS
    found = folder.glob(f"{path.stem}-*{path.suffix}") if folder.is_dir() else ()
    return sorted(found, key=lambda one: one.stat().st_mtime, reverse=True)
