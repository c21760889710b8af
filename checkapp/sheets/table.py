"""A sheet as a list was typed into it: rows of text, before anybody knows what the columns mean."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a sheet.

    ``number`` counts from 1 as in a spreadsheet program. ``cells`` are texts as a person reads them there: whole
    numbers without a point, blanks as "", surrounding spaces gone; of merged cells only the first one has the text.
    ``hidden``: the row does not show. ``merged``: a merged range reaches from this row's first filled cell over at
    least the two columns beside it, as headings do.
    """

    number: int
    cells: tuple[str, ...]
    hidden: bool = False
    merged: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of a workbook, or a CSV file.

    ``notes`` say, cell by cell, what could not be read as typed: "B7: a formula without a result".
    ``hidden``: the sheet does not show.
    """

    name: str
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    hidden: bool = False
