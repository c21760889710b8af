"""The whole journal as lines of JSON, in the order of the story, so that two equal journals give equal files."""

import os
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from checkapp.journal.entry import COLUMN_NAMES, Entry, is_readable
from checkapp.journal.journal import Journal
from checkapp.journal.lines import line_of
from checkapp.rig.errors import printable
from checkapp.rig.writing import FileNotWritten, not_written, replacing

_IN_ORDER = f"SELECT {COLUMN_NAMES} FROM entry ORDER BY clock, device, seq, id, digest"


@dataclass(frozen=True, slots=True)
class Exported:
    """How many entries were written, and how many could not be: values that are no text or number."""

    written: int
    unreadable: int


def export(journal: Journal, out: Path) -> Exported:
    """Write every entry of ``journal`` as one line to ``out``, in UTF-8; the whole file is put in its place, or none.

    Errors: `FileNotWritten`, and those of reading the journal.
    """
    if out.exists() and out.samefile(journal.path):
        raise FileNotWritten(f"{printable(str(out))}: is the journal itself; name another file")
    written = unreadable = 0
    with replacing(out) as file:
        with journal.reading() as bare:
            for row in bare.execute(_IN_ORDER):
                if is_readable(row):
                    _write(file, line_of(Entry(*row)), out)
                    written += 1
                else:
                    unreadable += 1
        file.flush()
        os.fsync(file.fileno())
    return Exported(written, unreadable)


def _write(file: BinaryIO, line: str, out: Path) -> None:
    """Write a line; while the journal is read, whatever else the system says would be taken for the journal's."""
    try:
        file.write(line.encode() + b"\n")
    except OSError as error:
        raise not_written(out, error) from None
