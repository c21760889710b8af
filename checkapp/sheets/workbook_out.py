"""A rig as a workbook: a sheet for each table of its plan, with what each column means, to be edited and read again."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import Any, Final

from checkapp.rig.errors import CheckappError, printable
from checkapp.sheets.columns import CHANCES, LISTS, NOTHING, README, ROW, Column, Shape, shape_of, shapes
from checkapp.sheets.grid import MOST_CHARACTERS, MOST_ROWS

TITLE: Final = "A rig as a spreadsheet"
_ROWS_TO_COME: Final = 500
"""So many rows below the last have drop-downs too."""
_NARROW, _WIDE = 8, 44
_GREY: Final = "D9D9D9"
_ESCAPED: Final = re.compile(r"[\x00-\x08\x0b-\x1f\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)|\\(?=u[0-9A-Fa-f]{4})|^\s+|\s+\Z")
"""What XML or whoever reads a sheet would lose, and what looks like an escape of the one or the other."""
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
Cell = str | float | int | None


class CellTooSmall(CheckappError):
    """A text or a table of the plan that no sheet holds."""


def workbook(data: Mapping[str, Any]) -> bytes:
    """The workbook of a plan's data, which are those of a plan without fault, kinds of used files included.

    Numbers are numbers. Texts are texts, whatever they look like; control characters and blanks around a text, which
    nobody sees in a cell, are written as ``\\u0020``. What the plan does not write is blank. `CellTooSmall`: a text
    of more than `MOST_CHARACTERS`, a table of more than `MOST_ROWS`.
    """
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    book.properties.title = TITLE
    book.properties.creator = "checkapp"
    _readme(book)
    listed = _listed(data)
    counts = {shape.title: len(rows) for shape in shapes() for rows in [list(rows_of(shape, data))]}
    for shape in shapes():
        _sheet(book, shape, list(rows_of(shape, data)), listed, counts)
    _lists(book, listed)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def rows_of(shape: Shape, data: Mapping[str, Any]) -> Iterator[list[Cell]]:
    """The rows of a sheet, a cell for each of its columns."""
    for key, entry in _entries(shape, data):
        named = list(key)
        yield [
            named.pop(0) if not column.path else _cell(_value(data if column.of_plan else entry, column, key), column)
            for column in shape.columns
        ]


def _entries(shape: Shape, data: Mapping[str, Any]) -> Iterator[tuple[tuple[str, ...], Mapping[str, Any]]]:
    """What the rows of a sheet stand for: the keys that name them, and the entry that holds their values."""
    table = data.get(shape.table, {})
    if shape.rows == "list":
        yield from (((), entry) for entry in table)
    elif shape.rows == "named":
        yield from (((name,), kind) for name, kind in table.items())
    elif shape.rows == "by box":
        yield from (((box["code"], name), box) for box in table for name in box.get("settings", ()))
    elif shape.rows == "by kind":
        named = {name for field in CHANCES for name in table.get(field, ())}
        yield from (((name,), table) for name in shape.columns[0].words if name in named)
    else:
        yield (), table


def _value(entry: Any, column: Column, key: Sequence[str]) -> Any:
    for part in column.path:
        part = key[-1] if part == ROW else part
        if isinstance(entry, Mapping):
            entry = entry.get(str(part))
        elif isinstance(entry, Sequence) and isinstance(part, int):
            entry = entry[part]
    return entry


def _cell(value: Any, column: Column) -> Cell:
    if value is None:
        return None
    if column.form == "yes":
        return "yes" if value else "no"
    if column.form == "words":
        return ", ".join(value) if value else "none"
    if column.form == "lines":
        return "\n".join(value)
    return float(value) if column.form == "number" else value


def _listed(data: Mapping[str, Any]) -> dict[str, list[str]]:
    """What is offered where no column of another sheet can be: what feeds a box, the ports, words together."""
    kinds, boxes = data.get("box_kind", {}), data.get("box", [])
    ports = {
        way: [f"{box['code']} {way} {number}" for box in boxes for number in range(1, kinds[box["kind"]][field] + 1)]
        for way, field in (("in", "inputs"), ("out", "outputs"))
    }
    found = {"feeds": [entry["code"] for table in ("chain", "box") for entry in data.get(table, [])]}
    found |= {f"{way} ports": names for way, names in ports.items()}
    for column in (column for shape in shapes() for column in shape.columns if column.form == "words"):
        sizes = range(1, len(column.words) + 1)
        found[column.listed] = [", ".join(some) for size in sizes for some in combinations(column.words, size)]
    return found


def _sheet(
    book: Any,
    shape: Shape,
    rows: list[list[Cell]],
    listed: Mapping[str, Sequence[str]],
    counts: Mapping[str, int],
) -> None:
    if len(rows) >= MOST_ROWS:
        raise CellTooSmall(f"{shape.title}: {len(rows)} rows; {MOST_ROWS - 1} are read again: split the plan")
    sheet = book.create_sheet(shape.title)
    _head(sheet, [column.title for column in shape.columns])
    for number, row in enumerate(rows, 2):
        for at, (value, column) in enumerate(zip(row, shape.columns, strict=True), 1):
            _put(sheet, number, at, value, column)
    for at, column in enumerate(shape.columns, 1):
        _explain(sheet.cell(1, at), column)
        _offer(sheet, at, column, len(rows), listed, counts)
    _dress(sheet, shape, rows)


def _head(sheet: Any, titles: Sequence[str]) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    for at, title in enumerate(titles, 1):
        cell = sheet.cell(1, at, title)
        cell.font = Font(bold=True)
        cell.fill = PatternFill("solid", start_color=_GREY)
        cell.border = Border(bottom=Side("thin"))
        cell.alignment = Alignment(horizontal="left", vertical="top")
    sheet.freeze_panes = "A2"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.left.text, sheet.oddFooter.right.text = "&A", "&P / &N"


def _dress(sheet: Any, shape: Shape, rows: list[list[Cell]]) -> None:
    """What makes a sheet easy to read: the first column stays in view, filters, widths; texts in columns of texts."""
    from openpyxl.utils import get_column_letter

    sheet.freeze_panes = "A2" if shape.rows == "one" else "B2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(shape.columns))}{len(rows) + 1}"
    for at, column in enumerate(shape.columns, 1):
        dimension = sheet.column_dimensions[get_column_letter(at)]
        texts = [column.title, *("" if row[at - 1] is None else f"{row[at - 1]}" for row in rows)]
        longest = max(len(line) for text in texts for line in text.split("\n"))
        dimension.width = min(max(longest + 3, _NARROW), _WIDE)
        if column.form not in ("number", "whole"):
            dimension.number_format = "@"


def _put(sheet: Any, number: int, at: int, value: Cell, column: Column) -> None:
    if value is None:
        return
    cell = sheet.cell(number, at)
    if not isinstance(value, str):
        _number(cell, value)
        return
    held = escaped(value)
    if len(held) > MOST_CHARACTERS:
        where = f"{sheet.title}!{cell.coordinate}"
        raise CellTooSmall(f"{where}: a text of {len(value)} characters; a cell holds {MOST_CHARACTERS}: shorten it")
    _text(cell, held, value)


def _number(cell: Any, value: float | int) -> None:
    from openpyxl.styles import Alignment

    cell.value = repr(value)  # openpyxl writes numbers with 16 figures, and some need 17
    cell.data_type = "n"
    cell.alignment = Alignment(horizontal="right", vertical="top", indent=1)


def _text(cell: Any, held: str, value: str) -> None:
    """A text in a cell, said to be text whatever it looks like."""
    from openpyxl.styles import Alignment

    cell.value = held
    cell.data_type = "s"
    cell.number_format = "@"
    cell.alignment = Alignment(vertical="top", wrap_text="\n" in value or len(value) > _WIDE)
    if value.startswith(_FORMULA):
        cell.quotePrefix = True


def escaped(text: str) -> str:
    """A text as a cell holds it: signs that would be lost as ``\\u0020``, a text of nothing as `NOTHING`."""
    if text in ("", NOTHING):
        return f"\\u0022{NOTHING[1:]}" if text else NOTHING
    return _ESCAPED.sub(lambda found: "".join(f"\\u{ord(sign):04x}" for sign in found[0]), text)


def _explain(cell: Any, column: Column) -> None:
    from openpyxl.comments import Comment

    text = ". ".join(about(column))
    cell.comment = Comment(printable(text), "checkapp", height=40 + 20 * (len(text) // 40), width=300)


def about(column: Column) -> tuple[str, ...]:
    """What a column means, in which unit, what it takes."""
    found = [column.meaning[:1].upper() + column.meaning[1:]]
    found += [f"Unit: {column.unit}"] if column.unit else []
    found += [f"One of: {', '.join(column.words)}"] if column.words and column.form != "words" else []
    found += [f"Any of: {', '.join(column.words)}, with commas between; or none"] if column.form == "words" else []
    found += ["One a line"] if column.form == "lines" else []
    found += [f"From the sheet {shape_of(column.refers).title}"] if column.refers else []
    found += [column.limits[:1].upper() + column.limits[1:]] if column.limits else []
    found += ["Must be given"] if column.required else []
    return (*found, *([f"Blank is {column.default}"] if column.default else []))


def _offer(
    sheet: Any, at: int, column: Column, rows: int, listed: Mapping[str, Sequence[str]], counts: Mapping[str, int]
) -> None:
    """The drop-down of a column, where there is something to choose from."""
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    source = _choice(column, listed, counts)
    if not source:
        return
    offer = DataValidation("list", formula1=source, allow_blank=True)
    fixed = column.words and column.form != "words"
    offer.errorStyle = "stop" if fixed else "warning"
    offer.errorTitle = column.title
    offer.error = f"One of: {', '.join(column.words)}" if fixed else "This is not on the list. Keep it all the same?"
    offer.showErrorMessage = True
    letter = get_column_letter(at)
    offer.add(f"{letter}2:{letter}{rows + 1 + _ROWS_TO_COME}")
    sheet.add_data_validation(offer)


def _choice(column: Column, listed: Mapping[str, Sequence[str]], counts: Mapping[str, int]) -> str:
    from openpyxl.utils import get_column_letter

    if column.refers:
        title = shape_of(column.refers).title
        return f"'{title}'!$A$2:$A${counts[title] + 1 + _ROWS_TO_COME}"
    if column.listed and listed[column.listed]:
        letter = get_column_letter(list(listed).index(column.listed) + 1)
        return f"{LISTS}!${letter}$2:${letter}${len(listed[column.listed]) + 1}"
    return f'"{",".join(column.words)}"' if column.words and not column.listed else ""


def _lists(book: Any, listed: Mapping[str, Sequence[str]]) -> None:
    sheet = book.create_sheet(LISTS)
    _head(sheet, list(listed))
    for at, (name, texts) in enumerate(listed.items(), 1):
        for number, text in enumerate(texts, 2):
            _text(sheet.cell(number, at), text, text)
        sheet.column_dimensions[sheet.cell(1, at).column_letter].width = max(map(len, (name, *texts))) + 3


_WORDS: Final = (
    "Change what you like in the sheets behind this one, save, and bring it back with: checkapp plan import",
    "A row is an entry of the plan; blank rows do not matter. What a blank cell counts as is said below.",
    "A row that is deleted is gone from the rig. Columns may stand in any order; leave their titles as they are.",
    "A column of your own is left alone if its title begins with #; so is a sheet of your own.",
    "This sheet and the sheet lists are not read.",
)


def _readme(book: Any) -> None:
    """The first sheet: what to do with it, and every column with its meaning, unit and limits."""
    from openpyxl.styles import Alignment, Font

    sheet = book.create_sheet(README)
    titles = ("sheet", "column", "meaning", "unit", "takes")
    _head(sheet, titles)
    sheet.insert_rows(1, len(_WORDS) + 2)
    sheet.cell(1, 1, TITLE).font = Font(bold=True, size=14)
    for number, words in enumerate(_WORDS, 2):
        sheet.cell(number, 1, words)
    head = len(_WORDS) + 3
    sheet.freeze_panes = f"A{head + 1}"
    sheet.print_title_rows = f"{head}:{head}"
    number = head
    for shape in shapes():
        for column in shape.columns:
            number += 1
            for at, text in enumerate(_row(shape, column), 1):
                sheet.cell(number, at, text).alignment = Alignment(vertical="top", wrap_text=True)
    sheet.auto_filter.ref = f"A{head}:E{number}"
    for letter, width in zip("ABCDE", (13, 20, 62, 24, 62), strict=True):
        sheet.column_dimensions[letter].width = width


def _row(shape: Shape, column: Column) -> tuple[str, str, str, str, str]:
    meaning, *more = about(column)
    takes = ". ".join(words for words in more if not words.startswith("Unit: "))
    return shape.title, column.title, meaning, column.unit, takes
