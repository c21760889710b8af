"""A table as people save it from a spreadsheet: encoding, delimiter and the line with the names are found."""

import codecs
import csv
import io
from collections.abc import Collection, Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice

from checkapp.rig.errors import Fault, FileRefused, shown

DELIMITERS = (",", ";", "\t")
MOST_BYTES = 50_000_000
_MARKED = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_LOOKED_AT = 400
_HEADING_ROWS = 10
_LEAST_NAMES = 2


class TableRefused(FileRefused):
    """A file that holds no table with the columns that are asked for, or one with faults."""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: the line that it begins on, counted from 1, and its cells by name of column, without blanks around."""

    line: int
    cells: dict[str, str]


@dataclass(frozen=True, slots=True)
class CsvTable:
    """The names of the columns, small letters, in their order; the rows that hold anything; rows that cannot be."""

    columns: tuple[str, ...]
    rows: tuple[TableRow, ...]
    faults: tuple[Fault, ...]


def read_table(content: bytes, name: str, wanted: Collection[str]) -> CsvTable:
    """The table in ``content``, with columns named in ``wanted`` (small letters) in any order, and others.

    Text is UTF-8, UTF-16 or Windows-1252; cells are parted by comma, semicolon or tab, whichever gives the most of the
    columns. Lines above the one that names the columns are passed over, up to ten. ``name`` is what messages call
    the file. `TableRefused`: no such table.
    """
    if len(content) > MOST_BYTES:
        raise _refused(name, 0, f"is larger than {MOST_BYTES // 1_000_000} MB", "split the file")
    text = decoded(content, name)
    tries = [(_headed(text, sign, wanted, name), sign) for sign in DELIMITERS]
    (known, at), sign = max(tries, key=lambda tried: tried[0][0])
    if known < _LEAST_NAMES:
        raise _refused(name, 1, "no line names the columns", f"begin with a line such as {','.join(wanted)}")
    return _table(list(_rows(text, sign, name))[at:], name)


def decoded(content: bytes, name: str) -> str:
    """The text of a file: UTF-8 or UTF-16, with or without a mark at its beginning, else Windows-1252."""
    for encoding in _encodings(content):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError as error:
            line, byte = error.object[: error.start].count(b"\n") + 1, error.object[error.start]
    raise _refused(name, line, f"is no text (byte {byte:#04x})", "save it once more as CSV in UTF-8")


def _encodings(content: bytes) -> tuple[str, ...]:
    for mark, encoding in _MARKED:
        if content.startswith(mark):
            return (encoding,)
    head = content[:_LOOKED_AT]
    for encoding, zeros in (("utf-16-le", head[1::2]), ("utf-16-be", head[::2])):
        if zeros.count(0) > len(zeros) // 2:
            return (encoding,)
    return ("utf-8", "cp1252")


def _headed(text: str, sign: str, wanted: Collection[str], name: str) -> tuple[int, int]:
    """How many of the columns the best of the first rows names, and which row that is."""
    best = (0, 0)
    with suppress(TableRefused):
        for number, (_, cells) in enumerate(islice(_rows(text, sign, name), _HEADING_ROWS)):
            known = len({_named(cell) for cell in cells} & set(wanted))
            best = max(best, (known, number), key=lambda found: found[0])
    return best


def _rows(text: str, sign: str, name: str) -> Iterator[tuple[int, list[str]]]:
    """The rows that hold anything, each with the line that it begins on."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, skipinitialspace=True, strict=True)
    begin = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begin, [cell.strip() for cell in cells]
            begin = reader.line_num + 1
    except csv.Error as error:
        raise _refused(name, begin, f"is no row of a table: {error}", 'close each " and write "" for one') from None


def _table(rows: list[tuple[int, list[str]]], name: str) -> CsvTable:
    (heading, cells), *rest = rows
    columns = tuple(_named(cell) or f"column {number}" for number, cell in enumerate(cells, 1))
    twice = sorted({column for column in columns if columns.count(column) > 1})
    if twice:
        raise _refused(name, heading, f'there are two columns "{shown(twice[0])}"', "give each a name of its own")
    read, faults = [], []
    for line, row in rest:
        if any(row[len(columns) :]):
            wrong = f"has {len(row)} cells where {len(columns)} are named"
            faults.append(Fault(name, line, "", "", "", wrong, 'put a text that holds the delimiter in quotes: "..."'))
        else:
            full = row + [""] * (len(columns) - len(row))
            read.append(TableRow(line, dict(zip(columns, full, strict=False))))
    return CsvTable(columns, tuple(read), tuple(faults))


def _named(cell: str) -> str:
    return " ".join(cell.lower().split())


def _refused(name: str, line: int, wrong: str, right: str) -> TableRefused:
    return TableRefused([Fault(name, line, "", "", "", wrong, right)])
