"""The whole journal as lines of JSON, in the order of the story, so that two equal journals give equal files."""

from dataclasses import dataclass
from typing import BinaryIO

from checkapp.journal.journal import Journal
from checkapp.journal.lines import line_of
from checkapp.journal.stored import NAMES, reading, stored_entry

_IN_ORDER = f"SELECT {NAMES} FROM entry ORDER BY clock, device, seq, id, digest"


@dataclass(frozen=True, slots=True)
class Exported:
    """How many entries were written, and how many could not be: values that are no text or number."""

    written: int
    unreadable: int


def export(journal: Journal, file: BinaryIO) -> Exported:
    """Write every entry of ``journal`` as one line to ``file``, in UTF-8.

    Errors: those of reading the journal, and OSError of ``file``.
    """
    written = unreadable = 0
    with reading(journal) as bare:
        for entry in map(stored_entry, bare.execute(_IN_ORDER)):
            if entry is None:
                unreadable += 1
                continue
            file.write(line_of(entry).encode() + b"\n")
            written += 1
    return Exported(written, unreadable)
