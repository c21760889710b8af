"""Entries and old records out of files into the journal, and what is said of it."""

import codecs
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import BinaryIO

from checkapp.journal.importing import ImportRefused, import_lines
from checkapp.journal.journal import Journal
from checkapp.journal.old_entries import RIG, import_records, rigs_known
from checkapp.journal.old_records import read_records
from checkapp.rig.csv_table import MOST_BYTES
from checkapp.rig.errors import CheckappError, Fault, FileRefused, printable
from checkapp.show import clock
from checkapp.show.recording import open_journal
from checkapp.show.taken_text import taken_text, wrong_text

_SQLITE = b"SQLite format 3\0"
_LOOKED_AT = 64


class WhichRig(CheckappError):
    """Old records whose rig is not known."""


@dataclass(frozen=True, slots=True)
class Said:
    """What came of it: lines of what was done, lines of what is wrong, and the exit status."""

    done: tuple[str, ...]
    wrong: tuple[str, ...]

    @property
    def status(self) -> int:
        """0 when nothing is wrong, else 1."""
        return 1 if self.wrong else 0


@dataclass(frozen=True, slots=True)
class Asked:
    """How to import: all or nothing, for which rig, how dates such as 02/05/2031 are read (None: the column tells)."""

    all_or_nothing: bool = True
    rig: str | None = None
    day_first: bool | None = None


def import_file(path: Path, journal: Path | None, asked: Asked) -> Said:
    """Take the entries of an export, or a CSV of old records, into the journal, which is made when there is none.

    Errors: `ImportRefused`, `TableRefused`, `WhichRig`, `FileRefused`, those of the journal; nothing came in then.
    """
    try:
        with path.open("rb") as file:
            head = file.read(_LOOKED_AT)
            file.seek(0)
            if head.startswith(_SQLITE):
                raise _refused(path, "is a journal", "take it in with: checkapp journal merge")
            with open_journal(journal) as opened:
                if head.removeprefix(codecs.BOM_UTF8).lstrip().startswith(b"{"):
                    return _lines(opened, file, str(path), asked)
                return _records(opened, file.read(MOST_BYTES + 1), str(path), asked)
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else error
        raise _refused(path, f"cannot be read: {why}", "check the name and the folder") from None


def _lines(journal: Journal, file: BinaryIO, name: str, asked: Asked) -> Said:
    found = import_lines(journal, file, name, all_or_nothing=asked.all_or_nothing)
    return Said((taken_text(found.taken),), (*map(str, found.faults), *wrong_text(found.taken)))


def _records(journal: Journal, content: bytes, name: str, asked: Asked) -> Said:
    found = read_records(content, name, today=date.fromisoformat(clock.today()), day_first=asked.day_first)
    if found.faults and asked.all_or_nothing:
        raise ImportRefused(found.faults)
    rig = asked.rig or _rig(journal)
    taken = import_records(journal, found.records, rig)
    count = len(found.records)
    rows = f"{count} {'row' if count == 1 else 'rows'} as old records of {printable(rig, 60)}"
    return Said((*found.doubts, rows, taken_text(taken)), (*map(str, found.faults), *wrong_text(taken)))


def _rig(journal: Journal) -> str:
    """The rig that old records belong to: that of those which are there, the only one, or none that is known."""
    known, old = rigs_known(journal)
    for names in (old, known):
        if len(names) == 1:
            return names[0]
    if not known:
        return RIG
    names = [printable(name, 40) for name in known]
    raise WhichRig(f"the journal knows {len(names)} rigs; say --rig with one of: {', '.join(names[:10])}")


def _refused(path: Path, wrong: str, right: str) -> FileRefused:
    return FileRefused([Fault(str(path), 0, "", "", "", wrong, right)])
