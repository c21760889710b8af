"""One worksheet of a workbook, read as it is unpacked (ECMA-376 part 1, 18.3.1, from memory)."""

from __future__ import annotations

import re
from collections.abc import Iterator

from checkapp.sheets.cell_values import Formats, Letters, Runs, Texts, unescaped, whole
from checkapp.sheets.errors import refused
from checkapp.sheets.grid import MOST_COLUMNS, MOST_ROWS, Grid, letters, reference, spread
from checkapp.sheets.table import Sheet
from checkapp.sheets.xml_part import Begin, Enough, Handlers, PartReader

_MOST_MERGED = 20_000
_HEADING_COLUMNS = 3
_OVERLAP_BYTES = 200
_MOST_NAME = 100
_MOST_NUMBERS = 10_000
_CALLS_OUT = re.compile(
    r"\[\d{1,4}\]|://|\\\\|\b(?:WEBSERVICE|RTD|CALL|DDE|REGISTER\.ID|IMPORT[A-Z]{2,10})\s{0,9}\(", re.IGNORECASE
)
_FILLED = re.compile(rb"<(?:\w{1,20}:)?(?:v|t)[ >]")
_MERGED = re.compile(rb"<(?:\w{1,20}:)?mergeCell\s[^>]{0,60}?ref=[\"']([A-Za-z0-9:]{1,30})[\"']")


class SheetPart:
    """Reads one sheet; ``texts`` and ``formats`` are those of its workbook."""

    def __init__(self, name: str, texts: Texts, formats: Formats) -> None:
        self._grid = Grid(name[:_MOST_NAME])
        self._texts = texts
        self._formats = formats
        self._row = self._column = 0
        self._columns: dict[str, int] = {}
        self._numbers: dict[tuple[str, str | None, str | None], str] = {}
        self._cell: dict[str, str] = {}
        self._letters = Letters()
        self._inline = Runs(self._letters)
        self._value = ""
        self._formula: str | None = None
        self._merged: list[str] = []
        self._hidden_columns: list[tuple[int, int]] = []

    def read(self, reader: PartReader, part: str, *, hidden: bool) -> Sheet:
        """The sheet in ``part``. `SheetRefused`: it is damaged or made to do harm."""
        begin_letters = self._letters.begin
        begins: dict[str, Begin] = {
            "col": self._begin_col,
            "row": self._begin_row,
            "c": self._begin_cell,
            "v": begin_letters,
            "f": begin_letters,
            "is": self._inline.begin,
            "t": begin_letters,
            "rPh": self._inline.aloud,
            "mergeCell": self._merge,
        }
        ends = {
            "c": self._end_cell,
            "v": self._end_value,
            "f": self._end_formula,
            "t": self._inline.end_run,
            "rPh": self._inline.not_aloud,
        }
        below = reader.read(part, Handlers(begins, ends, self._letters.add))
        self._look_below(below)
        self._put_merged(reader.archive.name)
        self._note_hidden()
        return self._grid.sheet(hidden=hidden)

    def _begin_col(self, given: dict[str, str]) -> None:
        if _is_true(given.get("hidden")) and len(self._hidden_columns) < MOST_COLUMNS:
            self._hidden_columns.append((whole(given.get("min")), min(whole(given.get("max")), MOST_COLUMNS)))

    def _begin_row(self, given: dict[str, str]) -> None:
        self._row = whole(given.get("r"), 0) or self._row + 1
        self._column = 0
        if self._row > MOST_ROWS:
            raise Enough
        if _is_true(given.get("hidden")):
            self._grid.hidden.add(self._row)

    def _begin_cell(self, given: dict[str, str]) -> None:
        self._cell = given
        self._value, self._formula = "", None
        named = given.get("r", "").rstrip("0123456789")
        column = self._columns.get(named)
        if column is None:
            place = reference(f"{named}1")
            column = place[1] if place else self._column + 1
            if place:
                self._columns[named] = column
        self._column = column

    def _end_value(self) -> None:
        self._value = self._letters.text()

    def _end_formula(self) -> None:
        self._formula = self._letters.text()

    def _merge(self, given: dict[str, str]) -> None:
        if len(self._merged) < _MOST_MERGED:
            self._merged.append(given.get("ref", ""))

    def _end_cell(self) -> None:
        if self._formula is not None:
            self._note_formula(self._formula)
        cell, value = self._cell, self._value
        if not value and "t" not in cell:
            return
        typed = value, cell.get("t"), cell.get("s")
        text = self._numbers.get(typed)
        if text is None:
            text = self._shown(value.strip())
            if typed[1] in (None, "n") and text and len(self._numbers) < _MOST_NUMBERS:
                self._numbers[typed] = text
        self._grid.put(self._row, self._column, text)

    def _shown(self, value: str) -> str:
        """The text of a cell; what cannot be read as a text is noted."""
        kind = self._cell.get("t", "n")
        if kind == "inlineStr":
            return self._inline.take()
        if kind == "str":
            return unescaped(value)
        if not value:
            return ""
        if kind == "n":
            shown = self._formats.shown(value, whole(self._cell.get("s"), 0))
            if shown is None:
                self._note("holds no number where one is announced")
            return shown or ""
        if kind == "s":
            at = whole(value)
            if 0 <= at < len(self._texts):
                return self._texts[at]
            self._note("its text is missing in the workbook")
            return ""
        return self._rarely(kind, value)

    def _rarely(self, kind: str, value: str) -> str:
        if kind == "e":
            self._note(f"shows the error {value[:20]}")
            return ""
        if kind == "b":
            return "TRUE" if _is_true(value) else "FALSE"
        return value.removesuffix("T00:00:00").replace("T", " ") if kind == "d" else unescaped(value)

    def _note_formula(self, formula: str) -> None:
        if _CALLS_OUT.search(formula) or ("|" in formula and "!" in formula):
            is_saved = self._value and self._cell.get("t") != "e"
            done = "its saved result is taken" if is_saved else "without a result"
            self._note(f"a formula that reads from outside this workbook; not followed, {done}")
        elif not self._value and self._cell.get("t") != "str":
            self._note("a formula without a result")

    def _note(self, text: str) -> None:
        self._grid.note_cell(self._row, self._column, text)

    def _look_below(self, pieces: Iterator[bytes]) -> None:
        """What stands below the last row that is read: whether anything does, and the merged ranges, by their marks."""
        filled, before = False, b""
        for piece in pieces:
            text = before + piece.replace(b"\0", b"")
            filled = filled or bool(_FILLED.search(text))
            for found in _MERGED.finditer(text, 0):
                self._merge({"ref": found[1].decode("ascii")})
            before = text[max(text.rfind(b"<"), len(text) - _OVERLAP_BYTES) :]
        if filled:
            self._grid.note(f"row {MOST_ROWS + 1} and below: not read")

    def _put_merged(self, name: str) -> None:
        """Of a merged range only the first cell keeps its text, as on screen."""
        cells, left = self._grid.cells, MOST_ROWS * MOST_COLUMNS
        last = max(cells, default=0)
        for top, first, bottom, end in spread(self._merged):
            rows, columns = range(top, min(bottom, last) + 1), range(first, min(end, MOST_COLUMNS) + 1)
            left -= len(rows) * len(columns)
            if left < 0:
                raise refused(name, "is a damaged workbook: its merged cells lie over each other", "save it once more")
            if end >= first + _HEADING_COLUMNS - 1 and min(cells.get(top, ()), default=0) == first:
                self._grid.merged.add(top)
            for row in rows:
                filled = cells.get(row, {})
                for column in columns if len(columns) < len(filled) else [at for at in filled if at in columns]:
                    if (row, column) != (top, first):
                        filled.pop(column, None)
                if not filled:
                    cells.pop(row, None)

    def _note_hidden(self) -> None:
        hidden = {column for first, last in self._hidden_columns for column in range(max(first, 1), last + 1)}
        for column in sorted(hidden & {column for row in self._grid.cells.values() for column in row}):
            self._grid.note(f"column {letters(column)}: hidden in the sheet; read all the same")


def _is_true(text: str | None) -> bool:
    return text in ("1", "true", "on")
