"""Reading the log as it is stored, strictly: what cannot be read as it was written is no entry."""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from checkapp.journal.entry import COLUMNS, Entry, is_readable
from checkapp.journal.journal import Journal
from checkapp.journal.store import driver, exact_text

NAMES = ", ".join(f'"{name}"' for name in COLUMNS)
"""The columns as a statement names them."""


@contextmanager
def reading(journal: Journal) -> Iterator[sqlite3.Connection]:
    """The bare connection with the log as it is at this moment; texts come as `checkapp.journal.store.exact_text`.

    Errors: as in `checkapp.journal.journal.Journal.as_stored`.
    """
    with journal.as_stored() as connection:
        bare = driver(connection)
        bare.text_factory = exact_text
        yield bare


def stored_entry(row: Iterable[Any]) -> Entry | None:
    """A row of the log in the order of the columns; None where a value is of another type or no UTF-8."""
    values = tuple(row)
    return Entry(*values) if is_readable(values) else None
