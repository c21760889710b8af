"""What can be wrong with a journal, named by the condition; SQLite's result codes turned into these names."""

import sqlite3
from pathlib import Path

from checkapp.rig.errors import CheckappError, printable

_LOW_BYTE = 0xFF
RESCUE = "save what can be read with: checkapp journal rescue"
"""What is said to do about a damaged file."""


class JournalError(CheckappError):
    """The journal cannot do what was asked of it."""


class NoJournal(JournalError):
    """There is no journal at that place, and none was to be made."""


class NotAJournal(JournalError):
    """What lies at that place is something else."""


class JournalTooNew(JournalError):
    """The journal was written by a newer version of this program."""


class JournalLocked(JournalError):
    """Another program kept the journal to itself for longer than we wait."""


class JournalNotWritable(JournalError):
    """The file or its folder cannot be opened, made or written."""


class JournalGone(JournalError):
    """The open file is no longer at its place: removed, replaced, or its disk was unplugged."""


class DiskFull(JournalError):
    """There is no room left for the entry."""


class JournalDamaged(JournalError):
    """The file is a journal whose pages, tables or facts cannot be read."""


class EntryExists(JournalError):
    """An entry with that id is in the journal already."""


class NotStorable(JournalError):
    """A text or a detail that cannot be kept as UTF-8 text or JSON."""


def from_sqlite(error: sqlite3.Error, path: Path) -> JournalError:
    """The named error for what SQLite says about the file at ``path``.

    Result codes: https://www.sqlite.org/rescode.html; the low byte is the primary code.
    """
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & _LOW_BYTE
    named, wrong, right = _NAMES.get(code, (JournalDamaged, "", RESCUE))
    return named(told(path, wrong or f"the journal cannot be used ({error})", right))


def from_system(error: OSError, path: Path) -> JournalNotWritable:
    """The named error for what the operating system says about ``path``."""
    reason = (error.strerror or type(error).__name__).lower()
    return JournalNotWritable(told(path, f"the journal cannot be opened ({reason})", "name a file that can be written"))


def told(path: Path, wrong: str, right: str) -> str:
    """One line: where, what is wrong, what would be right."""
    return printable(f"{path}: {wrong}; {right}", most=1000)


_NAMES: dict[int, tuple[type[JournalError], str, str]] = {
    sqlite3.SQLITE_BUSY: (
        JournalLocked,
        "another program is using the journal and did not let go",
        "close that program or try again",
    ),
    sqlite3.SQLITE_LOCKED: (
        JournalLocked,
        "the journal is in use",
        "try again",
    ),
    sqlite3.SQLITE_READONLY: (
        JournalNotWritable,
        "the journal cannot be written",
        "allow writing to the file and its folder",
    ),
    sqlite3.SQLITE_PERM: (
        JournalNotWritable,
        "the journal may not be opened",
        "allow reading and writing the file and its folder",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        JournalNotWritable,
        "the journal cannot be opened",
        "allow reading and writing the file and its folder",
    ),
    sqlite3.SQLITE_IOERR: (
        JournalNotWritable,
        "the disk refused to read or write",
        "look whether it is full or unplugged, then try again",
    ),
    sqlite3.SQLITE_FULL: (
        DiskFull,
        "no room left on the disk",
        "free some room, then try again",
    ),
    sqlite3.SQLITE_CORRUPT: (
        JournalDamaged,
        "the file is damaged",
        RESCUE,
    ),
    sqlite3.SQLITE_NOTADB: (
        NotAJournal,
        "this is not a journal",
        "name a journal file, or a new one",
    ),
}
