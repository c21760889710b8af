"""Tables as bands: a head that comes again on every page, cells that wrap, boxes to tick, room to write in."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from checkapp.page.bands import LEADING, Band
from checkapp.page.drawing import ASCENT, DESCENT, Align, Plate, Shape, Stroke, Tone
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect
from checkapp.tongue import language, shown_word, trp
from checkapp.tongue.catalogue import ENGLISH

_PAD = 0.9
_GUTTER = 1.6
_HAIR = 0.15
_TICK = 3.4
_HEAD_SIZE = 2.4
_MOST_MORE = 6.0
"""So many mm more are given to a column at most."""
_RAGGED = 1.2
"""So much more room than its length takes a text that is wrapped."""
_HAIRS_BREADTH = 0.01
"""In mm: what just fits is not broken."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its title, its width in mm, how its cells are set and on how many lines at most.

    A column to ``tick`` has a box in each cell, one to ``write`` in has a ruled cell.
    """

    title: str
    width: float
    bold: bool = False
    align: Align = "left"
    lines: int = 2
    tick: bool = False
    write: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """The texts of a row, one for each column; a ``quiet`` row is set in grey."""

    cells: tuple[str, ...]
    quiet: bool = False


def table(
    columns: Sequence[Column], rows: Iterable[Row], pen: Pen, *, size: float = 2.8, least: float = 0.0
) -> list[Band]:
    """The head and a band for each row, none lower than ``least``; the head is kept with the first row.

    Titles are said in the language spoken now, cells are written as they are given. Widths are laid out for English;
    in another language columns are as wide together, and each has room for its words.
    """
    rows = list(rows)
    columns = [replace(column, title=_title(column.title)) for column in columns]
    if language() != ENGLISH:
        columns = _with_room(columns, rows, pen, size)
    head = _head(columns, pen)
    return [head, *(_row(columns, row, pen, size, least, head) for row in rows)]


def _title(words: str) -> str:
    """The title of a column; of words that mean something else where they are data, by what they mean here."""
    own = {
        "at": trp("table", "at"),
        "by": trp("table", "by"),
        "by what": trp("counts", "by"),
        "from": trp("table", "from"),
        "line": trp("table", "line"),
        "load": trp("table", "load"),
        "low": trp("rate", "low"),
        "note": trp("table", "note"),
        "phantom": trp("table", "phantom"),
    }
    return own.get(words) or shown_word(words)


def _with_room(columns: Sequence[Column], rows: Sequence[Row], pen: Pen, size: float) -> list[Column]:
    """Columns in which no title is cut and no word broken, as far as the others can give them room."""
    spare = [
        column.width - _need(column, [row.cells[number] for row in rows], pen, size)
        for number, column in enumerate(columns)
    ]
    given, wanted = sum(room for room in spare if room > 0), -sum(room for room in spare if room < 0)
    moved = min(given, wanted)
    return [
        replace(column, width=column.width - moved * room / (given if room > 0 else wanted)) if room else column
        for column, room in zip(columns, spare, strict=True)
    ]


def _need(column: Column, cells: Iterable[str], pen: Pen, size: float) -> float:
    """The width that a column needs; one without a title or to write in needs its own."""
    if column.write or not column.title:
        return column.width
    room, width_of = column.width - _GUTTER, pen.width_of(column.bold)
    whole = max((width_of(cell) * size for cell in set(cells)), default=0.0)
    if whole > room + _MOST_MORE:
        words = {word for cell in cells for word in cell.split()}
        word = min(room + _MOST_MORE, max(width_of(word) * size for word in words))
        whole = max(word, min(room, _RAGGED * whole / column.lines))
    title = max(pen.width_of()(column.title) * _HEAD_SIZE, _TICK if column.tick else 0.0)
    return max(title, whole) + _GUTTER + _HAIRS_BREADTH


def _head(columns: Sequence[Column], pen: Pen) -> Band:
    height = LEADING * _HEAD_SIZE + 2 * _PAD
    base = -_PAD - (LEADING + ASCENT - DESCENT) / 2 * _HEAD_SIZE
    shapes: list[Shape] = []
    left = 0.0
    for column in columns:
        room = column.width - _GUTTER
        at = (_edge(column, left, room), base)
        shapes.append(pen.words(column.title, at, _HEAD_SIZE, align=column.align, tone="quiet", most=room))
        left += column.width
    shapes.append(Stroke(((0.0, -height), (left, -height)), 0.35))
    return Band(height, tuple(shapes), keep=True)


def _row(columns: Sequence[Column], row: Row, pen: Pen, size: float, least: float, head: Band) -> Band:
    texts = [
        pen.wrapped(cell, size, column.width - _GUTTER, bold=column.bold, lines=column.lines)
        for column, cell in zip(columns, row.cells, strict=True)
    ]
    lines = max(1, *(len(text) for text in texts))
    height = max(least, lines * LEADING * size + 2 * _PAD)
    first = -_PAD - (LEADING + ASCENT - DESCENT) / 2 * size
    if lines == 1:
        first = -height / 2 - (ASCENT - DESCENT) / 2 * size
    tone: Tone = "quiet" if row.quiet else "ink"
    shapes: list[Shape] = []
    left = 0.0
    for column, text in zip(columns, texts, strict=True):
        shapes += _cell(column, left, height)
        for number, line in enumerate(text):
            at = (_edge(column, left, column.width - _GUTTER), first - number * LEADING * size)
            shapes.append(pen.words(line, at, size, bold=column.bold, align=column.align, tone=tone))
        left += column.width
    shapes.append(Stroke(((0.0, -height), (left, -height)), _HAIR, tone="faint"))
    return Band(height, tuple(shapes), head=(head,))


def _cell(column: Column, left: float, height: float) -> list[Shape]:
    if column.tick:
        x, y = left + (column.width - _GUTTER) / 2, -height / 2
        return [Plate(Rect(x, y, x, y).grown(_TICK / 2), 0.3)]
    if column.write:
        edges = left - _GUTTER / 2, left + column.width - _GUTTER / 2
        return [Stroke(((edge, 0.0), (edge, -height)), _HAIR, tone="faint") for edge in edges]
    return []


def _edge(column: Column, left: float, room: float) -> float:
    return left + {"left": 0.0, "middle": room / 2, "right": room}[column.align]
