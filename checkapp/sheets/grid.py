"""Filled cells put together to the rows of a sheet; where a sheet is cut, and what is noted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from checkapp.sheets.table import Row, Sheet

MOST_ROWS = 10_000
"""Rows below are not read. A festival of a whole summer has a list of about 5,000 rows."""
MOST_COLUMNS = 256
"""Columns to the right are not read: IV is the last one, as in the .xls format."""
MOST_CHARACTERS = 32_767
"""The most that spreadsheet programs take in a cell (from memory)."""
MOST_NOTES = 100
_REFERENCE = re.compile(r"([A-Za-z]{1,3})([1-9][0-9]{0,6})")


@dataclass
class Grid:
    """A sheet that is being read: its filled cells as ``cells[row][column]``, both counted from 1, and its notes."""

    name: str
    cells: dict[int, dict[int, str]] = field(default_factory=dict)
    hidden: set[int] = field(default_factory=set)
    merged: set[int] = field(default_factory=set)
    notes: list[str] = field(default_factory=list)
    unsaid: int = 0
    is_cut: bool = False

    def put(self, row: int, column: int, text: str) -> None:
        """Put ``text`` into a cell, without blanks around; what is too long or too far right is cut, with a note."""
        text = text.strip()
        if not text:
            return
        if column > MOST_COLUMNS:
            self.is_cut = True
            return
        if len(text) > MOST_CHARACTERS:
            self.note_cell(row, column, f"cut after {MOST_CHARACTERS} characters")
            text = text[:MOST_CHARACTERS]
        cells = self.cells.get(row)
        if cells is None:
            cells = self.cells[row] = {}
        cells[column] = text

    def note_cell(self, row: int, column: int, text: str) -> None:
        """Keep a note of a cell; after many they are only counted."""
        if len(self.notes) < MOST_NOTES:
            self.notes.append(f"{cell_name(row, column)}: {text}")
        else:
            self.unsaid += 1

    def note(self, text: str) -> None:
        """Keep a note of the sheet."""
        self.notes.append(text)

    def sheet(self, *, hidden: bool = False) -> Sheet:
        """The sheet, from row 1 to the last one that holds anything."""
        last = max(self.cells, default=0)
        rows = tuple(
            Row(number, _dense(self.cells.get(number, {})), number in self.hidden, number in self.merged)
            for number in range(1, last + 1)
        )
        more = [f"and {self.unsaid} more such notes"] if self.unsaid else []
        if self.is_cut:
            more.append(f"column {letters(MOST_COLUMNS + 1)} and right of it: not read")
        return Sheet(self.name, rows, (*self.notes, *more), hidden)


def _dense(cells: Mapping[int, str]) -> tuple[str, ...]:
    return tuple(cells.get(column, "") for column in range(1, max(cells, default=0) + 1))


def letters(column: int) -> str:
    """The letters of a column that is counted from 1: A, B, ... Z, AA."""
    name = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def cell_name(row: int, column: int) -> str:
    """A cell as spreadsheet programs call it: B7."""
    return f"{letters(column)}{row}"


def reference(text: str) -> tuple[int, int] | None:
    """Row and column of a cell's name, or None where it is none."""
    found = _REFERENCE.fullmatch(text)
    if not found:
        return None
    column = 0
    for letter in found[1].upper():
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(found[2]), column


def spread(ranges: Iterable[str]) -> Iterable[tuple[int, int, int, int]]:
    """First row, first column, last row, last column of ranges such as A1:C2; what is no range is passed over."""
    for text in ranges:
        first, _, last = text.partition(":")
        begin, end = reference(first), reference(last or first)
        if begin and end:
            yield (*begin, *end)
