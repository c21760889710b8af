"""What can be wrong with a journal, named by the condition; SQLite's result codes turned into these names."""

import sqlite3
from pathlib import Path

from checkapp.rig.errors import CheckappError, printable
from checkapp.tongue import later, shown_word, tr

_LOW_BYTE = 0xFF
RESCUE = later("save what can be read with: checkapp journal rescue")
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
    return named(told(path, wrong or tr("the journal cannot be used ({error})", error=error), right))


def from_system(error: OSError, path: Path) -> JournalNotWritable:
    """The named error for what the operating system says about ``path``."""
    reason = (error.strerror or type(error).__name__).lower()
    wrong = tr("the journal cannot be opened ({reason})", reason=reason)
    return JournalNotWritable(told(path, wrong, later("name a file that can be written")))


def told(path: Path, wrong: str, right: str) -> str:
    """One line: where, what is wrong, what would be right; both marked by `later` or said already."""
    return printable(f"{path}: {shown_word(wrong)}; {shown_word(right)}", most=1000)


_NAMES: dict[int, tuple[type[JournalError], str, str]] = {
    sqlite3.SQLITE_BUSY: (
        JournalLocked,
        later("another program is using the journal and did not let go"),
        later("close that program or try again"),
    ),
    sqlite3.SQLITE_LOCKED: (
        JournalLocked,
        later("the journal is in use"),
        later("try again"),
    ),
    sqlite3.SQLITE_READONLY: (
        JournalNotWritable,
        later("the journal cannot be written"),
        later("allow writing to the file and its folder"),
    ),
    sqlite3.SQLITE_PERM: (
        JournalNotWritable,
        later("the journal may not be opened"),
        later("allow reading and writing the file and its folder"),
    ),
    sqlite3.SQLITE_CANTOPEN: (
        JournalNotWritable,
        later("the journal cannot be opened"),
        later("allow reading and writing the file and its folder"),
    ),
    sqlite3.SQLITE_IOERR: (
        JournalNotWritable,
        later("the disk refused to read or write"),
        later("look whether it is full or unplugged, then try again"),
    ),
    sqlite3.SQLITE_FULL: (
        DiskFull,
        later("no room left on the disk"),
        later("free some room, then try again"),
    ),
    sqlite3.SQLITE_CORRUPT: (
        JournalDamaged,
        later("the file is damaged"),
        RESCUE,
    ),
    sqlite3.SQLITE_NOTADB: (
        NotAJournal,
        later("this is not a journal"),
        later("name a journal file, or a new one"),
    ),
}
