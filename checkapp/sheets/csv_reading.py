"""A CSV file as a sheet: its encoding and its delimiter are found."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator
from itertools import islice
from typing import BinaryIO

from checkapp.rig.csv_table import TableRefused, decoded
from checkapp.sheets.errors import SheetRefused, refused
from checkapp.sheets.grid import MOST_COLUMNS, MOST_ROWS, Grid
from checkapp.sheets.table import Sheet

MOST_BYTES = 16_000_000
DELIMITERS = {"\t": 2.0, ";": 1.5, "|": 1.5, ",": 1.0}
"""Each with its weight: the rarer in texts, the likelier it parts cells (common practice, no source)."""
MOST_LETTERS = 1_000_000
MOST_LINES = 200
"""In one row: a cell of more lines is a quote that does not close."""
_CLOSE = 'close each " and write "" for one'
_LOOKED_AT_ROWS = 300
_NAMED = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)


def read_csv(file: BinaryIO, name: str, sheet: str) -> Sheet:
    """The rows in ``file``, called ``name`` in messages, as a sheet called ``sheet``.

    Text is UTF-8, UTF-16 or Windows-1252; cells are parted by tab, semicolon, pipe or comma, whichever parts the most
    cells in rows of one width. A first line such as "sep=;" names it instead, and is no row. A row is
    counted as a spreadsheet program does, whatever lines its quoted cells take. `SheetRefused`: it is no text, too
    large, or its quotes do not close.
    """
    content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise refused(name, f"is a CSV file of more than {MOST_BYTES // 1_000_000} MB", "a list has less than 1 MB")
    text = _text(content, name)
    named = _NAMED.match(text)
    grid = Grid(sheet)
    rows = _rows(text[named.end() :], named[1], name) if named else _rows(text, _delimiter(text, name), name)
    for number, cells in enumerate(rows, 1):
        if number > MOST_ROWS:
            if any(map(str.strip, cells)):
                grid.note(f"row {number}: not read, as all below row {MOST_ROWS}")
                break
            continue
        grid.is_cut = grid.is_cut or any(map(str.strip, cells[MOST_COLUMNS:]))
        for column, cell in enumerate(cells[:MOST_COLUMNS], 1):
            if cell:
                _put(grid, number, column, cell)
    return grid.sheet()


def _put(grid: Grid, row: int, column: int, cell: str) -> None:
    grid.put(row, column, cell.replace("\r\n", "\n").replace("\r", "\n"))
    if cell.startswith("=") and len(cell) > 1:
        grid.note_cell(row, column, "begins like a formula; taken as text")


def _text(content: bytes, name: str) -> str:
    try:
        text = decoded(content, name)
    except TableRefused as error:
        raise SheetRefused(error.faults) from None
    at = text.find("\0")
    if at >= 0:
        line = text.count("\n", 0, at) + 1
        raise refused(name, "is no text (it holds a zero byte)", "save it as .xlsx, or as CSV in UTF-8", line)
    return text


def _delimiter(text: str, name: str) -> str:
    """The delimiter that is found most often in rows of one width, by its weight; the comma where there is none."""
    best, found, fault = 0.0, ",", None
    for sign, weight in DELIMITERS.items():
        widths: Counter[int] = Counter()
        broken = None
        try:
            widths.update(len(cells) for cells in islice(_rows(text, sign, name), _LOOKED_AT_ROWS) if any(cells))
        except SheetRefused as error:
            broken = error
        fits = weight * max((count * (width - 1) for width, count in widths.items()), default=0)
        if fits > best:
            best, found, fault = fits, sign, broken
        elif not best:
            fault = fault or broken
    if fault:
        raise fault
    return found


def _rows(text: str, sign: str, name: str) -> Iterator[list[str]]:
    begin = 1

    def lines() -> Iterator[str]:
        for number, line in enumerate(io.StringIO(text, newline=""), 1):
            if len(line) > MOST_LETTERS or number - begin > MOST_LINES:
                raise refused(
                    name, f"has a row of more than {MOST_LETTERS} letters or {MOST_LINES} lines", _CLOSE, begin
                )
            yield line

    reader = csv.reader(lines(), delimiter=sign, strict=True)
    try:
        for cells in reader:
            yield cells
            begin = reader.line_num + 1
    except csv.Error as error:
        raise refused(name, f"is no row of a table: {error}", _CLOSE, begin) from None
