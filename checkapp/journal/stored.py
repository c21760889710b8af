"""Entries as they are stored, strictly: what cannot be read as it was written is no entry."""

from collections.abc import Iterable, Iterator
from typing import Any

from sqlalchemy import Connection, Select

from checkapp.journal.entry import Entry, is_readable
from checkapp.journal.store import StoredText

BATCH = 1000
"""How many rows are in memory at once."""


def stored_entries(connection: Connection, query: Select[Any]) -> Iterator[Entry | None]:
    """The entries that ``query`` asks for, on a connection of `Journal.as_stored`; None: one that cannot be read."""
    return map(stored_entry, connection.execute(query).yield_per(BATCH))


def stored_entry(row: Iterable[object]) -> Entry | None:
    """A row of the table ``entry`` as it was written; None where a value is of another type or no UTF-8."""
    try:
        values: list[Any] = [value.decode() if type(value) is StoredText else value for value in row]
    except UnicodeDecodeError:
        return None
    return Entry(*values) if is_readable(values) else None
