"""A damaged journal is set aside and a new one made of all that can be read, so that marking goes on.

Read are, in this order, each adding to what is there: the rows as SQLite gives them, around what it cannot read; the
entries that stand whole in any page (`checkapp.journal.pages`); whatever was set aside before; the backups. Nothing is
invented: an entry comes from a page where its digest fits, or as SQLite reads it, and then verification tells when it
was changed. The new file numbers the entries of a new device: nobody knows whether last ones of the old are missing.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from checkapp.journal.copying import free_name, sync_folder
from checkapp.journal.entry import COLUMN_NAMES
from checkapp.journal.errors import JournalDamaged, JournalError, NoJournal, NotAJournal, told
from checkapp.journal.journal import Journal
from checkapp.journal.merging import known_ends, take_sound
from checkapp.journal.pages import sound_rows
from checkapp.journal.store import exact_text, named_errors
from checkapp.journal.taking_in import Intake, Row, TakenIn, intake

_RANGE = 512
_MOST_EMPTY = 5_000
"""So many numbers of rows in a row without one: the end of the table, as far as SQLite can read it."""
_UNREADABLE = (sqlite3.Error, UnicodeDecodeError)
"""What reading a damaged file raises: SQLite's own message may quote bytes that are no text."""
_LOGS = ("-wal", "-shm")


@dataclass(frozen=True, slots=True)
class Rescued:
    """What came of it: where the damaged file lies now, and how many entries it, earlier ones and backups brought.

    ``taken`` is all of it with what is missing or doubtful; ``unreadable`` are backups that were no help.
    """

    aside: Path
    own: int
    before: int
    backups: int
    taken: TakenIn
    unreadable: tuple[str, ...]


def is_sound(path: Path) -> bool:
    """Whether SQLite finds nothing wrong with the file of the journal at ``path``, as far as a quick look tells.

    Errors: those of `Journal.read` that do not speak of what is in the file.
    """
    try:
        with Journal.read(path) as journal, journal.reading() as bare:
            (found,) = bare.execute("PRAGMA quick_check(1)").fetchone()
    except (JournalDamaged, NotAJournal):
        return False
    except NoJournal:  # it was being made, and nothing is in it yet
        return True
    return bool(found == "ok")


def rescue(
    path: Path,
    *,
    new_device: str,
    stamp: str,
    backups: Sequence[Path] = (),
    remembered: Callable[[str], int | None] = lambda device: None,
    even_nothing: bool = False,
) -> Rescued:
    """Set the journal at ``path`` aside as ``NAME-damaged-STAMP`` and put a new one of what can be read in its place.

    The old file is kept as it is, its log too. Until the new one is whole, nothing at ``path`` changes. ``remembered``
    says how many entries this machine knows to have written under a name, ``even_nothing`` that an empty new journal is
    better than none.

    Errors: `NoJournal`: there is nothing, or nothing of a journal in it; `DiskFull`, `JournalNotWritable`.
    """
    with named_errors(path):
        if not path.is_file():
            raise NoJournal(told(path, "no journal there", "name the damaged file"))
        part = path.with_name(f".{path.name}.{os.getpid()}.rescue")
        try:
            earlier = sorted(path.parent.glob(f"{path.stem}-damaged-*{path.suffix}"))
            found = _made(part, path, new_device, (earlier, backups), remembered)
            if not even_nothing and not found.own + found.before + found.backups:
                raise NoJournal(
                    told(path, "no entry can be read there", "it is not a journal, or nothing is left of it")
                )
            aside = _set_aside(path, stamp)
            for log in _LOGS:
                Path(f"{path}{log}").unlink(missing_ok=True)
            part.replace(path)
            sync_folder(path.parent)
        finally:
            for leftover in (part, *(Path(f"{part}{log}") for log in _LOGS)):
                leftover.unlink(missing_ok=True)
    return Rescued(aside, found.own, found.before, found.backups, found.taken, found.unreadable)


def _made(
    part: Path,
    path: Path,
    new_device: str,
    others: tuple[Sequence[Path], Sequence[Path]],
    remembered: Callable[[str], int | None],
) -> Rescued:
    """The new journal at ``part``; ``others`` are files set aside before, and backups."""
    earlier, backups = others
    part.unlink(missing_ok=True)
    unreadable: list[str] = []
    with Journal.open(part, new_device=new_device, create=True) as journal, intake(journal) as door:
        _take_readable(door, path)
        own = door.new
        for other in earlier:
            with suppress(OSError):
                door.take(sound_rows(other))
        before = door.new - own
        for backup in backups:
            try:
                take_sound(door, backup)
            except JournalError as error:
                unreadable += error.lines
        names = [name for (name,) in door.bare.execute("SELECT DISTINCT device FROM entry") if isinstance(name, str)]
        door.take((), written={name: known for name in names if (known := remembered(name))})
        taken = door.taken()
    return Rescued(part, own, before, taken.new - own - before, taken, tuple(unreadable))


def _take_readable(door: Intake, path: Path) -> None:
    """Everything that can be read of a file: what SQLite reads around the damage, then what stands in its pages."""
    with suppress(*_UNREADABLE), closing(_connected(path)) as bare:
        door.take(_around(bare, path), written=_written(bare))
    door.take(sound_rows(path))


def _connected(path: Path) -> sqlite3.Connection:
    """The file as it lies there, its log left alone."""
    bare = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, isolation_level=None)
    bare.text_factory = exact_text
    return bare


def _written(bare: sqlite3.Connection) -> dict[str, int]:
    """How many entries tablets are known to have written, as far as the file still says so."""
    with suppress(*_UNREADABLE):
        return known_ends(bare)
    return {}


def _around(bare: sqlite3.Connection, path: Path) -> Iterator[Row]:
    """The rows of the table by their numbers; what cannot be read is left out."""
    empty, first = 0, 1
    most = path.stat().st_size // 64 + _RANGE
    while first <= most and empty < _MOST_EMPTY:
        rows = list(_rows(bare, first, first + _RANGE))
        yield from rows
        empty = 0 if rows else empty + _RANGE
        first += _RANGE


def _rows(bare: sqlite3.Connection, first: int, end: int) -> Iterator[Row]:
    """The rows with numbers from ``first`` to below ``end``, looked for in halves where that fails."""
    query = f"SELECT {COLUMN_NAMES} FROM entry NOT INDEXED WHERE rowid >= ? AND rowid < ?"
    try:
        rows = bare.execute(query, (first, end)).fetchall()
    except _UNREADABLE:
        if end - first > 1:
            middle = (first + end) // 2
            yield from _rows(bare, first, middle)
            yield from _rows(bare, middle, end)
        return
    yield from rows


def _set_aside(path: Path, stamp: str) -> Path:
    """A second name, or where the disk has no such thing a copy, of the file and a copy of its log."""
    aside = free_name(path.with_name(f"{path.stem}-damaged-{stamp}{path.suffix}"))
    try:
        os.link(path, aside)
    except OSError:
        shutil.copy2(path, aside)
    for log in _LOGS:
        if Path(f"{path}{log}").exists():
            shutil.copy2(f"{path}{log}", f"{aside}{log}")
    return aside
