"""The tables of a history as a workbook: a sheet each, numbers as numbers, dates as dates, and never a formula."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING, Any, Final

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter

from checkapp.history.method import method_table
from checkapp.history.tables import FORMULA, Cell, Column, Form, Table, tables
from checkapp.rig.errors import printable

if TYPE_CHECKING:
    from checkapp.history.analysis import History

MOST_ROWS: Final = 1_048_576
"""Rows of a sheet, the header with them (Excel specifications and limits, worksheet size)."""
_FIRST_YEAR: Final = 1900
"""A workbook knows no days before it (ISO/IEC 29500-1, 18.17.4.1, the 1900 date system)."""
_A4: Final = "9"
"""The paper by the number that a workbook has for it (ISO/IEC 29500-1, 18.3.1.63; from memory)."""
_FORMATS: Final[dict[Form, str]] = {
    "text": "General",
    "count": "0",
    "rate": "0.0000",
    "probability": "0.000",
    "minutes": "0.0",
    "seconds": "0.0",
    "time": "yyyy-mm-dd hh:mm",
    "date": "yyyy-mm-dd",
}


def xlsx_report(history: History, title: str) -> bytes:
    """The workbook. Text that begins as a formula does is text; rows that a sheet does not hold are left out."""
    book = Workbook(write_only=True)
    book.properties.title = printable(title)
    book.properties.creator = "checkapp"
    left_out = [_sheet(book, table) for table in tables(history)]
    _sheet(book, _with_left_out(method_table(history), [words for words in left_out if words]))
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _sheet(book: Any, table: Table) -> str:
    """Write a sheet; which rows it does not hold, in words."""
    sheet = book.create_sheet(table.name)
    rows = table.rows[: MOST_ROWS - 1]
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(table.columns))}{len(rows) + 1}"
    for number, column in enumerate(table.columns, 1):
        sheet.column_dimensions[get_column_letter(number)].width = column.width + 2
    sheet.row_dimensions[1].height = 32
    _set_paper(sheet)
    sheet.append(list(_head(sheet, table.columns)))
    for row in rows:
        sheet.append([_cell(sheet, cell, column.form) for cell, column in zip(row, table.columns, strict=True)])
    left = len(table.rows) - len(rows)
    return f"{table.name}: {left} rows more than a sheet holds; the CSV files have them." if left else ""


def _set_paper(sheet: Any) -> None:
    """On paper: A4 on its side, the header and the first column on each page."""
    sheet.page_setup.paperSize = _A4
    sheet.page_setup.orientation = "landscape"
    sheet.print_title_rows = "1:1"
    sheet.print_title_cols = "A:A"


def _with_left_out(table: Table, said: Iterable[str]) -> Table:
    return Table(table.name, table.columns, (*table.rows, *(("left out", words) for words in said)))


def _head(sheet: Any, columns: Iterable[Column]) -> Iterator[Any]:
    for column in columns:
        cell = WriteOnlyCell(sheet, column.title)
        cell.font = Font(bold=True)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        yield cell


def _cell(sheet: Any, value: Cell, form: Form) -> Any:
    """A cell; text is said to be text whatever it looks like."""
    if value is None:
        return None
    if isinstance(value, date) and value.year < _FIRST_YEAR:
        value = value.isoformat()
    if isinstance(value, str):
        return _text(sheet, value)
    cell = WriteOnlyCell(sheet, value)
    cell.number_format = _FORMATS[form]
    return cell


def _text(sheet: Any, value: str) -> Any:
    cell = WriteOnlyCell(sheet, value)
    cell.data_type = "s"
    if value.startswith(FORMULA):
        cell.quotePrefix = True
    return cell
