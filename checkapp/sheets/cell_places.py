"""From the faults of a plan that was written out of a workbook to the cells that they stand in."""

from __future__ import annotations

import re
from bisect import bisect_right
from typing import Final

from checkapp.rig.errors import Fault
from checkapp.rig.locate import Path, Places
from checkapp.rig.toml_text import KINDS
from checkapp.sheets.columns import Shape, shape_of
from checkapp.sheets.workbook_in import CellFault, Filled

_ROW: Final = re.compile(r"\d+$")
_LINE: Final = re.compile(r"on line (\d+)")
_WRITTEN: Final = re.compile(r'\w+ = \[("[^\]]*)\]')
_FIRST_ROW: Final = 2


class CellPlaces:
    """The cells of a workbook by the lines of the plan ``text`` that was written from what it holds."""

    def __init__(self, found: Filled, text: str) -> None:
        places = Places(text)
        self._found = found
        self._entries = sorted((places.line(path), path) for path in found.cells if _is_entry(path))
        self._lines: dict[int, list[Path]] = {}
        for path in found.cells:
            if not _is_entry(path):
                self._lines.setdefault(places.line(path), []).append(path)

    def fault(self, fault: Fault) -> CellFault:
        """The same fault, told of the cell that it stands in."""
        wrong = _LINE.sub(lambda line: f"in {self._cell(int(line[1]), '', '')}", fault.wrong)
        right = (
            "fill it in"
            if wrong == "is missing"
            else _WRITTEN.sub(lambda list_: list_[1].replace('"', ""), fault.right)
        )
        said = f"{fault.field}{':' if wrong.startswith('no ') else ''} {wrong}" if fault.field else wrong
        return CellFault(self._found.name, self._cell(fault.line, fault.table, fault.field), said, right)

    def _cell(self, line: int, table: str, field: str) -> str:
        """The cell of a field that is said of a line; where the field is not written, the one where it would be."""
        entry = self._entry(line, table)
        way = tuple(field.split(".")) if field else ()
        if entry and field:
            held = [
                path for path in self._found.cells if path[: len(entry)] == entry and _begins(path[len(entry) :], way)
            ]
            if held:
                return self._found.cells[held[0]]
            return self._would_be(self._found.cells[entry], entry, field)
        if not table and line in self._lines:
            return self._found.cells[self._lines[line][0]]
        if entry:
            return self._found.cells[entry]
        return self._nowhere(table, field)

    def _entry(self, line: int, table: str) -> Path | None:
        at = bisect_right([start for start, _ in self._entries], line) - 1
        entry = self._entries[at][1] if at >= 0 else None
        return entry if entry and (not table or entry[0] == table) else None

    def _would_be(self, row: str, entry: Path, field: str) -> str:
        heads = self._heads(shape_of(str(entry[0])), field)
        found = _ROW.search(row)
        return f"{heads}{found[0]}" if heads and found else row

    def _nowhere(self, table: str, field: str) -> str:
        """The place of what no row stands for."""
        if not table:
            return "rig"
        shape = shape_of(table)
        head = self._heads(shape, field)
        return f"{head}{_FIRST_ROW}" if head else shape.title

    def _heads(self, shape: Shape, field: str) -> str:
        heads = self._found.heads.get(shape.title, {})
        return heads.get(field) or heads.get(f"{field} x", "")


def _is_entry(path: Path) -> bool:
    """Whether a path is that of an entry, not of a field: a table alone, or with a place or a name of a kind."""
    if len(path) == 1:
        return path[0] != "use"
    return len(path) == 2 and (isinstance(path[1], int) or path[0] in KINDS)


def _begins(path: Path, way: tuple[str, ...]) -> bool:
    return bool(path) and (path[: len(way)] == way or way[: len(path)] == path)
