"""The whole journal as lines of JSON, in the order of the story, so that two equal journals give equal files."""

from dataclasses import dataclass
from typing import BinaryIO

from sqlalchemy import select

from checkapp.journal import schema
from checkapp.journal.journal import Journal
from checkapp.journal.lines import line_of
from checkapp.journal.stored import stored_entries


@dataclass(frozen=True, slots=True)
class Exported:
    """How many entries were written, and how many could not be: values that are no text or number."""

    written: int
    unreadable: int


def export(journal: Journal, file: BinaryIO) -> Exported:
    """Write every entry of ``journal`` as one line to ``file``, in UTF-8.

    Errors: those of reading the journal, and OSError of ``file``.
    """
    columns = schema.entry.c
    query = select(schema.entry).order_by(columns.clock, columns.device, columns.seq, columns.id)
    written = unreadable = 0
    with journal.as_stored() as connection:
        for entry in stored_entries(connection, query):
            if entry is None:
                unreadable += 1
                continue
            file.write(line_of(entry).encode() + b"\n")
            written += 1
    return Exported(written, unreadable)
