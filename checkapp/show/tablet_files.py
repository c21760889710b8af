"""Logs as files: where one can be given to, and what lies about that can be taken in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Final

from checkapp.rig.errors import CheckappError, printable
from checkapp.show.browsing import size_words
from checkapp.show.tablet_views import LogRow
from checkapp.tongue import tr
from checkapp.tongue.numbers import moment

ENDINGS: Final = (".jsonl", ".db")
"""An exported log, and a journal as it lies on a disk."""
FOLDER: Final = "checkapp"
_MOST: Final = 60
_MOST_NAMES: Final = 1000


class FolderFull(CheckappError):
    """A folder with too many logs of one name."""


def folder_rows(places: Iterable[tuple[str, Path]]) -> tuple[LogRow, ...]:
    """Where a log can be given to."""
    return tuple(LogRow(str(path), name, printable(str(path), 120)) for name, path in places)


def log_rows(places: Iterable[tuple[str, Path]], journal: Path) -> tuple[LogRow, ...]:
    """The logs in these folders, and in a folder ``checkapp`` of each, newest first; not the journal that is in use."""
    found: dict[Path, tuple[float, LogRow]] = {}
    for name, place in places:
        for path in _logs(place):
            real = path.resolve()
            if real == journal.resolve() or real in found:
                continue
            with suppress(OSError):
                known = path.stat()
                when = moment(datetime.fromtimestamp(known.st_mtime).astimezone())
                detail = tr("{place}, {size}, {when}", place=name, size=size_words(known.st_size), when=when)
                found[real] = known.st_mtime, LogRow(str(path), printable(path.name, 120), detail)
    newest = sorted(found.values(), key=lambda dated: (-dated[0], dated[1].title))
    return tuple(row for _, row in newest[:_MOST])


def _logs(place: Path) -> Iterator[Path]:
    for folder in (place, place / FOLDER):
        with suppress(OSError):
            yield from (path for path in sorted(folder.iterdir()) if path.suffix.lower() in ENDINGS and path.is_file())


def new_log(folder: Path, today: str, tablet: str) -> Path:
    """A name for this tablet's log that no file in the folder has. `FolderFull`."""
    stem = f"checkapp log {today} {tablet}"
    for number in range(1, _MOST_NAMES):
        out = folder / (f"{stem}.jsonl" if number == 1 else f"{stem} {number}.jsonl")
        if not out.exists():
            return out
    raise FolderFull(tr("{folder}: full of logs of today; pick another folder", folder=printable(str(folder), 120)))
