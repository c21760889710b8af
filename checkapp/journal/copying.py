"""A consistent copy of a journal file while it is in use: whole, looked at page by page, or not there at all."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path

from checkapp.journal.errors import RESCUE, JournalDamaged, told
from checkapp.journal.store import named_errors
from checkapp.tongue import later

BACKUPS = "backup"
"""The folder beside a journal that copies of it are kept in."""


def copy_file(
    bare: sqlite3.Connection, source: Path, target: Path, finish: Callable[[sqlite3.Connection], None] | None = None
) -> Path:
    """Copy the database that ``bare`` is connected to, as it is at this moment, to ``target``; the copy's path.

    ``source`` is its own path, for messages. ``finish`` may change the copy before it is looked at and gets its name.
    An existing file is never written over: the copy's name then gets a number.

    Errors: `JournalDamaged` when the copy is not sound: then the journal is not; `DiskFull`, `JournalNotWritable`.
    """
    with named_errors(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        part = target.with_name(f".{target.name}.{os.getpid()}.part")
        try:
            with closing(sqlite3.connect(part, isolation_level=None)) as copy:
                bare.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")  # one file, without a log beside it
                if finish is not None:
                    finish(copy)
                found = copy.execute("PRAGMA integrity_check(1)").fetchone()
            if found not in (("ok",), (b"ok",)):
                raise JournalDamaged(told(source, later("the file is damaged, a copy of it would be, too"), RESCUE))
            made = free_name(target)
            part.rename(made)
        finally:
            for leftover in (part, Path(f"{part}-journal")):
                leftover.unlink(missing_ok=True)
        sync_folder(target.parent)
    return made


def free_name(wanted: Path) -> Path:
    """``wanted``, or the same with the first number that no file has yet."""
    number, path = 1, wanted
    while path.exists():
        number += 1
        path = wanted.with_name(f"{wanted.stem}-{number}{wanted.suffix}")
    return path


def sync_folder(folder: Path) -> None:
    """Let the names in a folder reach the disk, where the system can do that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
