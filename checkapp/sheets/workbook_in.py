"""A rig's workbook read again: the plan's data, the cell that each value came from, and what is wrong in cells."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from checkapp.rig.codes import did_you_mean, nearest
from checkapp.rig.errors import CheckappError, printable
from checkapp.sheets.columns import (
    LISTS,
    NOTHING,
    README,
    ROW,
    Column,
    Form,
    Path,
    Shape,
    shape_named,
    shape_of,
    shapes,
)
from checkapp.sheets.grid import cell_name, reference
from checkapp.sheets.table import Row, Sheet

_ESCAPE = re.compile(r"\\u([0-9A-Fa-f]{4})")
_HALVES: Final = range(0xD800, 0xE000)
"""Halves of signs, which are no text alone."""
_OWN_COLUMN: Final = "#"
_YES, _NO = ("yes", "true", "1", "x"), ("no", "false", "0")
RIG: Final = "rig"
_OUR_OWN: Final = 2
"""So many columns of the sheet of the rig make a workbook one of ours."""


@dataclass(frozen=True, slots=True)
class CellFault:
    """What is wrong in a cell or sheet: ``place`` is ``inputs!C7``; and what would be right."""

    file: str
    place: str
    wrong: str
    right: str

    def __str__(self) -> str:
        """``FILE: inputs!C7: what is wrong; what would be right``."""
        return printable(f"{self.file}: {self.place}: {self.wrong}; {self.right}")


class WorkbookRefused(CheckappError):
    """A workbook of a rig that cannot be used; ``faults`` holds all that was found, sheet by sheet."""

    def __init__(self, faults: Sequence[CellFault]) -> None:
        self.faults = tuple(sorted(faults, key=_in_book))
        super().__init__(f"{len(self.faults)} faults in the workbook")

    @property
    def lines(self) -> tuple[str, ...]:
        """One message per fault."""
        return tuple(map(str, self.faults))


def _in_book(fault: CellFault) -> tuple[int, int]:
    """Where a fault stands: the number of its sheet and that of its row."""
    title, _, cell = fault.place.partition("!")
    row = re.search(r"\d+", cell)
    return next((n for n, shape in enumerate(shapes()) if shape.title == title), -1), int(row[0]) if row else 0


@dataclass
class Filled:
    """What a workbook holds: the plan's data, the cell of each value, sheets that are not ours, faults.

    ``cells`` has the cell of each value by its path in the data, and for an entry its row. ``absent`` are titles of
    sheets that the workbook does not have.
    """

    name: str
    data: dict[str, Any] = field(default_factory=lambda: {"format": 1})
    cells: dict[Path, str] = field(default_factory=dict)
    heads: dict[str, dict[str, str]] = field(default_factory=dict)
    absent: list[Shape] = field(default_factory=list)
    others: list[str] = field(default_factory=list)
    faults: list[CellFault] = field(default_factory=list)

    def say(self, place: str, wrong: str, right: str) -> None:
        """Add a fault."""
        self.faults.append(CellFault(self.name, place, wrong, right))


def is_own(sheets: Sequence[Sheet]) -> bool:
    """Whether a workbook is one that was made of a rig: it has the sheet of the rig with columns as ours has."""
    rig = next((sheet for sheet in sheets if _plain(sheet.name) == RIG), None)
    head = _head_row(rig) if rig else None
    known = {column.title for column in shape_of(RIG).columns}
    return head is not None and len({_plain(cell) for cell in head.cells} & known) >= _OUR_OWN


def filled(sheets: Sequence[Sheet], name: str) -> Filled:
    """What the sheets of a rig's workbook hold; ``name`` is what messages call the file.

    Cells that cannot be what their column takes are in ``faults``; whether the whole is a rig is not looked at.
    """
    found = Filled(name)
    by_title: dict[str, Sheet] = {}
    for sheet in sheets:
        shape = shape_named(sheet.name)
        if shape is None:
            if _plain(sheet.name) not in (_plain(README), LISTS):
                found.others.append(sheet.name)
        elif shape.title in by_title:
            found.say(sheet.name, f"is a second sheet {shape.title}", "keep one of the two")
        else:
            by_title[shape.title] = sheet
    for shape in _in_order():
        if shape.title in by_title:
            _Reader(found, shape, by_title[shape.title]).read()
        else:
            found.absent.append(shape)
    return found


def _in_order() -> Iterator[Shape]:
    """The sheets, settings after the boxes that they are of."""
    yield from sorted(shapes(), key=lambda shape: shape.rows == "by box")


class _Reader:
    """One sheet that is being read."""

    def __init__(self, found: Filled, shape: Shape, sheet: Sheet) -> None:
        self._found, self._shape, self._sheet = found, shape, sheet
        self._columns: dict[int, Column] = {}
        self._seen: set[tuple[str, ...]] = set()

    def read(self) -> None:
        head = _head_row(self._sheet)
        if head is None:
            self._found.say(f"{self._shape.title}!A1", "no titles of columns", self._known())
            return
        self._read_head(head)
        self._say_notes()
        if self._found.heads.get(self._shape.title) is None:
            return
        rows = [
            row
            for row in self._sheet.rows
            if row.number > head.number and any(cell.strip() for cell in self._ours(row))
        ]
        if self._shape.rows == "one" and len(rows) > 1:
            place = f"{self._shape.title}!A{rows[1].number}"
            self._found.say(place, "a second row", "there is one only: delete this row")
        for row in rows:
            self._read_row(row)

    def _ours(self, row: Row) -> Iterator[str]:
        return (row.cells[at] for at in self._columns if at < len(row.cells))

    def _known(self) -> str:
        return f"columns are {', '.join(column.title for column in self._shape.columns)}"

    def _nearest(self, title: str) -> str:
        near = nearest(title, [column.title for column in self._shape.columns])
        right = f'did you mean "{near[0]}"?' if near else self._known()
        return f"{right} Begin the title of a column of your own with {_OWN_COLUMN}"

    def _read_head(self, head: Row) -> None:
        titles: dict[str, str] = {}
        for at, cell in enumerate(head.cells):
            place = self._place(head.number, at)
            column = self._shape.column(cell)
            if not cell or cell.startswith(_OWN_COLUMN):
                continue
            if column is None:
                self._found.say(place, f'no column "{printable(cell, 40)}"', self._nearest(cell))
            elif column.title in titles:
                self._found.say(place, f'a second column "{column.title}"', "keep one of the two")
            else:
                titles[column.title] = place
                self._columns[at] = column
        keys = [column for column in self._shape.columns if column.required and column.title not in titles]
        if keys:
            self._found.say(
                f"{self._shape.title}!{head.number}:{head.number}",
                f'no column "{keys[0].title}"',
                f"add it; {self._known()}",
            )
            return
        self._found.heads[self._shape.title] = {title: re.sub(r"\d+$", "", place) for title, place in titles.items()}

    def _say_notes(self) -> None:
        """What could not be read as typed, in the columns that count."""
        for note in self._sheet.notes:
            place, _, said = note.partition(": ")
            cell = reference(place)
            if cell and cell[1] - 1 not in self._columns:
                continue
            self._found.say(f"{self._shape.title}!{place}", said or note, "type what it stands for")

    def _place(self, row: int, at: int) -> str:
        return f"{self._shape.title}!{cell_name(row, at + 1)}"

    def _read_row(self, row: Row) -> None:
        values: dict[str, Any] = {}
        places: dict[str, str] = {}
        for at, column in self._columns.items():
            cell = row.cells[at] if at < len(row.cells) else ""
            if not cell.strip():
                continue
            places[column.title] = place = self._place(row.number, at)
            value = _value(cell, column)
            if isinstance(value, _Wrong):
                self._found.say(place, f'{column.title} is "{printable(cell, 40)}"', value.right)
                values[column.title] = None
            else:
                values[column.title] = value
        base = self._base(row, values, places)
        if base is not None:
            self._fill(row, base, values, places)

    def _base(self, row: Row, values: Mapping[str, Any], places: Mapping[str, str]) -> tuple[Any, Path] | None:
        """The entry that a row fills and its path in the data; None and a fault when its keys name none."""
        data, table = self._found.data, self._shape.table
        if self._shape.rows == "list":
            data.setdefault(table, []).append({})
            return data[table][-1], (table, len(data[table]) - 1)
        keys = tuple(column.title for column in self._shape.columns if not column.path)
        if any(values.get(key) is None for key in keys):
            self._missing(row, next(key for key in keys if values.get(key) is None), places)
            return None
        key = tuple(values[key] for key in keys)
        if key and key in self._seen:
            self._found.say(places[keys[0]], f'"{printable(" ".join(key), 60)}" is there twice', "keep one of the two")
            return None
        self._seen.add(key)
        if self._shape.rows == "named":
            return data.setdefault(table, {}).setdefault(key[0], {}), (table, key[0])
        if self._shape.rows == "by box":
            return self._box(key[0], places["box"])
        return data.setdefault(table, {}), (table,)

    def _missing(self, row: Row, title: str, places: Mapping[str, str]) -> None:
        if title not in places:
            place = f"{self._found.heads[self._shape.title][title]}{row.number}"
            self._found.say(place, f"{title} is missing", "fill it in, or delete the row")

    def _box(self, code: str, place: str) -> tuple[Any, Path] | None:
        boxes = self._found.data.get("box", [])
        for index, box in enumerate(boxes):
            if box.get("code") == code:
                return box, ("box", index)
        known = [box["code"] for box in boxes if isinstance(box.get("code"), str)]
        self._found.say(place, *did_you_mean("box", code, known))
        return None

    def _fill(self, row: Row, base: tuple[Any, Path], values: Mapping[str, Any], places: Mapping[str, str]) -> None:
        entry, path = base
        key = next((str(values[column.title]) for column in reversed(self._shape.columns) if not column.path), "")
        self._found.cells.setdefault(path, f"{self._shape.title}!A{row.number}")
        for column in self._shape.columns:
            if not column.path:
                continue
            if column.title not in values:
                if column.required and self._shape.rows == "by box":
                    _set(entry, ("settings", key), "")
                continue
            within: Path = tuple(key if part == ROW else part for part in column.path)
            if values[column.title] is not None:
                _set(self._found.data if column.of_plan else entry, within, values[column.title])
            self._found.cells[within if column.of_plan else (*path, *within)] = places[column.title]
        self._check_pairs(entry, path)

    def _check_pairs(self, entry: Any, path: Path) -> None:
        """A place on the stage has both figures."""
        at = entry.get("at") if isinstance(entry, dict) else None
        if isinstance(at, list) and None in at:
            missing = "at x" if at[0] is None else "at y"
            place = next(self._found.cells[(*path, "at", n)] for n in (0, 1) if (*path, "at", n) in self._found.cells)
            self._found.say(place, f"stands without {missing}", "a place on the stage needs both, x and y")
            del entry["at"]


def _set(entry: Any, path: Path, value: Any) -> None:
    """Put a value at its path; lists are as long as the places that are written."""
    *way, last = path
    for part, following in zip(way, path[1:], strict=True):
        entry = entry.setdefault(part, [None, None] if isinstance(following, int) else {})
    entry[last] = value


def _head_row(sheet: Sheet) -> Row | None:
    return next((row for row in sheet.rows if any(cell.strip() for cell in row.cells)), None)


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


@dataclass(frozen=True, slots=True)
class _Wrong:
    """That a cell cannot be what its column takes, and what would be right."""

    right: str


def _value(cell: str, column: Column) -> Any:
    """What a cell says, in the form of its column, or a `_Wrong`."""
    return _READ[column.form](unescaped(cell), column)


def unescaped(text: str) -> str:
    """A text of a cell with its ``\\u0020`` made the signs that they stand for; `NOTHING` is an empty text."""
    return "" if text == NOTHING else _ESCAPE.sub(_sign, text)


def _sign(found: re.Match[str]) -> str:
    number = int(found[1], 16)
    return found[0] if number in _HALVES else chr(number)


def _text(cell: str, column: Column) -> str | _Wrong:
    if not column.words:
        return cell
    word = _plain(cell)
    return word if word in column.words else _Wrong(f"write one of {', '.join(column.words)}")


def _number(cell: str, _column: Column) -> float | _Wrong:
    try:
        value = float("" if "_" in cell else cell.replace("\N{MINUS SIGN}", "-"))
    except ValueError:
        return _Wrong("write a number alone, such as 15.5")
    return value if abs(value) < float("inf") else _Wrong("write a finite number")


def _whole(cell: str, column: Column) -> int | _Wrong:
    value = _number(cell, column)
    if isinstance(value, _Wrong) or not value.is_integer():
        return _Wrong("write a whole number, such as 15")
    return int(cell) if cell.strip().isdecimal() else int(value)


def _yes(cell: str, _column: Column) -> bool | _Wrong:
    word = _plain(cell)
    return word in _YES if word in (*_YES, *_NO) else _Wrong("write yes or no")


def _words(cell: str, column: Column) -> list[str] | _Wrong:
    if _plain(cell) == "none":
        return []
    found = [_plain(word) for word in re.split(r"[,;/+\n]", cell) if word.strip()]
    if all(word in column.words for word in found):
        return found
    return _Wrong(f"write any of {', '.join(column.words)}, with commas between; or none")


def _lines(cell: str, _column: Column) -> list[str]:
    return [line.strip() for line in cell.split("\n") if line.strip()]


_READ: Final[dict[Form, Callable[[str, Column], Any]]] = {
    "text": _text,
    "number": _number,
    "whole": _whole,
    "yes": _yes,
    "words": _words,
    "lines": _lines,
}
