"""A workbook as lines of a rig: which sheets are the list, what every row became, what was not understood."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from checkapp.rig.errors import CheckappError
from checkapp.sheets.grid import letters
from checkapp.sheets.heading_words import FIELDS, Field
from checkapp.sheets.headings import fold
from checkapp.sheets.input_list import ReadRow, ReadSheet, read_list
from checkapp.sheets.lines import ListLine
from checkapp.sheets.starting_plan import ports_of
from checkapp.sheets.table import Sheet
from checkapp.tongue import tr


class MapRefused(CheckappError):
    """What a person says of the columns cannot be, or speaks of columns that no sheet has."""


class NoList(CheckappError):
    """No sheet of the file holds a list of lines."""


@dataclass(frozen=True, slots=True)
class Preview:
    """What a workbook came to: the sheets that are taken, the others as ``name: why``, the port of each line."""

    taken: tuple[ReadSheet, ...]
    others: tuple[str, ...]
    lines: tuple[ListLine, ...]
    ports: Mapping[str, str]

    @property
    def unclear(self) -> tuple[str, ...]:
        """All that was not understood, each with its sheet where there are several, and its row."""
        return tuple(said for sheet in self.taken for said in _unclear(sheet, named=len(self.taken) > 1))

    @property
    def rows_left_out(self) -> int:
        """How many rows hold something that did not become a line, though it may be one."""
        return sum(row.became == "left out" for sheet in self.taken for row in sheet.rows)


def read_map(text: str) -> dict[str, Field]:
    """``Ch=number,Quelle=name`` as fields by folded heading; "column B" names a column by its letter.

    `MapRefused`: no heading, no field, or not of that shape.
    """
    found: dict[str, Field] = {}
    for part in text.split(","):
        heading, sign, field = part.rpartition("=")
        known = next((name for name in FIELDS if name == field.strip().lower()), None)
        if not sign or not fold(heading):
            raise MapRefused(f'map "{part.strip()[:60]}" is no pair; write HEADING=FIELD, as in Ch=number,Quelle=name')
        if known is None:
            raise MapRefused(f'map: "{field.strip()[:40]}" is no field; fields are {", ".join(FIELDS)}')
        found[fold(heading)] = known
    return found


def preview(sheets: Sequence[Sheet], asked: Mapping[str, Field] | None = None, only: str | None = None) -> Preview:
    """Read a workbook: the sheet that looks most like a list, and one of outputs besides when it has only inputs.

    ``only`` names the sheet to take. `NoList`: none has a line; `MapRefused`: a heading of ``asked`` is on no sheet.
    """
    read = [read_list(sheet, asked) for sheet in sheets]
    shown = [one for one, sheet in zip(read, sheets, strict=True) if not sheet.hidden] or read
    _check_asked(asked or {}, sheets)
    best = _named(read, only) if only is not None else max(shown, key=_likeness, default=None)
    if best is None or not best.lines:
        names = ", ".join(sheet.name for sheet in sheets)
        raise NoList(
            f"no list in {names or 'an empty file'}: no column of numbers with one of names; "
            "name the columns in a row above them, or say which they are: --map 'HEADING=number,HEADING=name'"
        )
    taken = (best, *([] if only is not None else _outputs_besides(best, shown)))
    taken = tuple(sheet for sheet in read if sheet in taken)
    lines = tuple(line for sheet in taken for line in sheet.lines)
    others = tuple(_why_not(sheet) for sheet in read if sheet.name not in {one.name for one in taken})
    return Preview(taken, others, lines, ports_of(lines))


def _named(read: Sequence[ReadSheet], name: str) -> ReadSheet:
    found = next((sheet for sheet in read if fold(sheet.name) == fold(name)), None)
    if found is None:
        raise NoList(f'no sheet "{name[:60]}"; there are {", ".join(sheet.name for sheet in read)}')
    return found


def _likeness(sheet: ReadSheet) -> tuple[int, int]:
    """How much a sheet looks like an input list: lines and known columns, fewer for what was not understood."""
    inputs = sum(line.direction == "in" for line in sheet.lines)
    left_out = sum(row.became == "left out" for row in sheet.rows)
    fields = max((len(block.fields) for block in sheet.blocks), default=0)
    return (min(inputs, 1), (2 * inputs + len(sheet.lines)) * (1 + fields) - left_out)


def _outputs_besides(best: ReadSheet, read: Sequence[ReadSheet]) -> list[ReadSheet]:
    if any(line.direction == "out" for line in best.lines):
        return []
    outs = [sheet for sheet in read if sheet.lines and all(line.direction == "out" for line in sheet.lines)]
    return sorted(outs, key=lambda sheet: -len(sheet.lines))[:1]


def _why_not(sheet: ReadSheet) -> str:
    count = len(sheet.lines)
    lines = f"{count} line" if count == 1 else f"{count} lines"
    return f"{sheet.name}: {f'also looks like a list, with {lines}' if count else 'no list'}"


def headings_in(sheets: Sequence[Sheet]) -> set[str]:
    """What a column of these sheets can be called, folded: by what stands in a cell, or by its letter."""
    there = {fold(cell) for sheet in sheets for row in sheet.rows for cell in row.cells if cell}
    width = max((len(row.cells) for sheet in sheets for row in sheet.rows), default=0)
    return there | {f"column {letters(at + 1).lower()}" for at in range(width)}


def _check_asked(asked: Mapping[str, Field], sheets: Sequence[Sheet]) -> None:
    if not asked:
        return
    there = headings_in(sheets)
    lost = [heading for heading in asked if heading not in there]
    if lost:
        raise MapRefused(f'map: no sheet has a column "{lost[0]}"; write its heading as the sheet does')


def _unclear(sheet: ReadSheet, *, named: bool) -> list[str]:
    rows = [(row.number, said) for row in sheet.rows for said in row.unclear]
    if named:
        found = [tr("{sheet}, row {row}: {said}", sheet=sheet.name, row=number, said=said) for number, said in rows]
    else:
        found = [tr("row {row}: {said}", row=number, said=said) for number, said in rows]
    return [f"{sheet.name}: {said}" for said in sheet.unclear] + found


def shown_rows(sheet: ReadSheet) -> tuple[ReadRow, ...]:
    """The rows for a table: as they are, blank rows that follow each other as one, its text saying up to which."""
    shown: list[ReadRow] = []
    for row in sheet.rows:
        if row.became == "blank" and shown and shown[-1].became == "blank":
            shown[-1] = replace(shown[-1], text=tr("to row {row}", row=row.number))
        else:
            shown.append(row)
    return tuple(shown)
