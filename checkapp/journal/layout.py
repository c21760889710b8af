"""Everything that a journal file holds besides its rows: tables, indices, views, triggers, and whether it holds it."""

import re
from contextlib import closing
from sqlite3 import Connection as Driver
from sqlite3 import connect

from sqlalchemy import Connection
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateIndex, CreateTable

from checkapp.journal.schema import metadata
from checkapp.journal.views import TRIGGERS, VIEWS

_UNIMPORTANT = re.compile(r'[\s"]+')
_HELD = "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL"


def lay_out(connection: Connection) -> None:
    """Make it all in an empty file."""
    metadata.create_all(connection)
    dress(connection)


def dress(connection: Connection) -> None:
    """Make the views and triggers anew; tables and rows stay as they are."""
    for kind, wanted in (("TRIGGER", TRIGGERS), ("VIEW", VIEWS)):
        held = connection.exec_driver_sql(f"SELECT name FROM sqlite_master WHERE type = '{kind.lower()}'")
        for name in held.scalars().all():
            quoted = str(name).replace('"', '""')
            connection.exec_driver_sql(f'DROP {kind} "{quoted}"')
        for statement in wanted.values():
            connection.exec_driver_sql(statement)


def missing(bare: Driver) -> list[str]:
    """The names of what is missing or made otherwise, of the file that ``bare`` is connected to."""
    with closing(connect(":memory:")) as blank:
        for statement in _statements():
            blank.execute(statement)
        expected = _held(blank)
    held = _held(bare)
    return sorted(name for name in expected if held.get(name) != expected[name])


def _held(bare: Driver) -> dict[str, str]:
    """What there is by name, as SQL without blanks and quotes, which do not matter."""
    return {_text(name): _UNIMPORTANT.sub("", _text(sql)) for name, sql in bare.execute(_HELD)}


def _text(stored: str | bytes) -> str:
    return stored.decode(errors="replace") if isinstance(stored, bytes) else stored


def _statements() -> list[str]:
    dialect = sqlite.dialect()
    tables = metadata.sorted_tables
    made = [str(CreateTable(table).compile(dialect=dialect)) for table in tables]
    made += [
        str(CreateIndex(index).compile(dialect=dialect)) for table in tables for index in sorted(table.indexes, key=str)
    ]
    return [*made, *VIEWS.values(), *TRIGGERS.values()]
