"""The tables of a history as CSV files (RFC 4180, UTF-8), one a table, for other programs.

A spreadsheet program takes a text that begins with ``= + - @``, a tab or a carriage return for a formula. Such a text
gets a ``'`` before it, which those programs take for the mark of a text; who reads the files otherwise takes it off.
Times are ISO 8601 in UTC, numbers have a decimal point and all their figures, what is not known is empty.
"""

from __future__ import annotations

import csv
import io
from datetime import date, datetime
from typing import TYPE_CHECKING

from checkapp.history.method import method_table
from checkapp.history.tables import FORMULA, Cell, Table, tables

if TYPE_CHECKING:
    from checkapp.history.analysis import History


def csv_files(history: History) -> dict[str, bytes]:
    """The content of each file by its name, ``items.csv`` and so on."""
    found = (*tables(history), method_table(history))
    return {f"{table.name.lower()}.csv": _written(table) for table in found}


def guarded(text: str) -> str:
    """``text``, with ``'`` before it where it would be taken for a formula."""
    return f"'{text}" if text.startswith(FORMULA) else text


def _written(table: Table) -> bytes:
    content = io.StringIO(newline="")
    writer = csv.writer(content)
    writer.writerow([column.title for column in table.columns])
    writer.writerows([_plain(cell) for cell in row] for row in table.rows)
    return content.getvalue().encode("utf-8")


def _plain(value: Cell) -> str | int | float:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return f"{value.isoformat(timespec='seconds')}Z"
    if isinstance(value, date):
        return value.isoformat()
    return guarded(value) if isinstance(value, str) else value
