"""Where the words of a card stand: tables and blocks of them, side by side where there is room; no toolkit.

Measures are pixels; ``top`` runs downward from the top of the card.
"""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, Literal

_SHARES: Final = (0.5, 0.4, 1 / 3)
Rows = Sequence[Sequence[str]]
Align = Literal["left", "center", "right"]


@dataclass(frozen=True, slots=True)
class Type:
    """Type of a card: its sizes from largest to smallest, the one measure, and what measures words.

    Nothing is larger than ``line_px``.
    ``width_of`` takes words, size and bold; ``height_of`` words, size, width and bold.
    """

    line_px: float
    name_px: float
    code_px: float
    body_px: float
    note_px: float
    unit: float
    width_of: Callable[[str, float, bool], float]
    height_of: Callable[[str, float, float, bool], float]

    def below(self, size_px: float) -> "Type":
        """The same for a card that keeps below words of that size: nothing is larger than those, or than names are."""
        line, code = min(self.name_px, size_px), min(self.code_px, size_px)
        return replace(self, line_px=line, name_px=line, code_px=code)

    def wide(self, text: str, size_px: float, bold: bool = False) -> float:
        """The width that words need on one line, with some slack, for letters are placed on whole pixels."""
        return _wide(self.width_of, text, size_px, bold)

    def widest_word(self, text: str, size_px: float, bold: bool = False) -> float:
        """The least width in which words can be wrapped."""
        return max((self.wide(word, size_px, bold) for word in text.split(" ")), default=0.0)


@lru_cache(maxsize=4_000)
def _wide(width_of: Callable[[str, float, bool], float], text: str, size_px: float, bold: bool) -> float:
    if not text:
        return 0.0
    apart = text.split(" ")
    word_by_word = sum(width_of(word, size_px, bold) for word in apart)
    word_by_word += (len(apart) - 1) * width_of(" ", size_px, bold)
    return max(word_by_word, width_of(text, size_px, bold)) * 1.02 + 2.0


@dataclass(frozen=True, slots=True)
class Cell:
    """Words in their place. ``style`` is plain, quiet, tape, a status or the word of a finding's level.

    Words ``midway`` stand in the middle of their height, others at its top.
    """

    text: str
    left: float
    top: float
    width: float
    height: float
    style: str = "plain"
    size_px: float = 18.0
    bold: bool = False
    align: Align = "left"
    midway: bool = False

    def moved(self, right: float, down: float) -> "Cell":
        """The same at another place."""
        left, top = self.left + right, self.top + down
        return Cell(
            self.text, left, top, self.width, self.height, self.style, self.size_px, self.bold, self.align, self.midway
        )


@dataclass(frozen=True, slots=True)
class Shape:
    """What is drawn: a plate, a stroke, a tick across it, the shape of a status or level, or the place of the run."""

    kind: Literal["plate", "stroke", "tick", "mark", "run"]
    left: float
    top: float
    width: float
    height: float
    status: str = "open"

    def moved(self, right: float, down: float) -> "Shape":
        """The same at another place."""
        return Shape(self.kind, self.left + right, self.top + down, self.width, self.height, self.status)


@dataclass(frozen=True, slots=True)
class Block:
    """Something laid out: its cells, what is drawn round them, and its height."""

    cells: tuple[Cell, ...]
    height: float
    shapes: tuple[Shape, ...] = ()

    def moved(self, right: float, down: float) -> "Block":
        """The same at another place, its height reckoned from the old one."""
        cells = tuple(cell.moved(right, down) for cell in self.cells)
        return Block(cells, self.height + down, tuple(shape.moved(right, down) for shape in self.shapes))


def words(text: str, width: float, size_px: float, kind: Type, style: str = "plain", *, bold: bool = False) -> Block:
    """Words that wrap to a width; nothing for none."""
    high = kind.height_of(text, size_px, width, bold)
    return Block((Cell(text, 0.0, 0.0, width, high, style, size_px, bold),), high) if text else Block((), 0.0)


def marked(text: str, width: float, size_px: float, kind: Type, style: str) -> Block:
    """Words in the colour of a status or level, with its shape before them; nothing for none."""
    if not text:
        return Block((), 0.0)
    side = 0.9 * size_px
    left = side + 0.4 * size_px
    said = words(text, width - left, size_px, kind, style).moved(left, 0.0)
    return Block(said.cells, said.height, (Shape("mark", 0.0, 0.12 * size_px, side, side, style),))


def section(title: str, rows: Rows, width: float, kind: Type, marks: Sequence[str] = ()) -> Block:
    """A heading and a table below it; ``marks`` are the status of each row, where any is known."""
    head = words(title, width, kind.code_px, kind, bold=True)
    known = [mark != "open" for mark in marks]
    aside = 1.2 * kind.body_px if any(known) else 0.0
    body = table(rows, width - aside, kind).moved(aside, head.height)
    side = 0.8 * kind.body_px
    tops = list(dict.fromkeys(cell.top for cell in body.cells))
    shapes = [
        Shape("mark", 0.0, top + 0.2 * kind.body_px, side, side, mark)
        for top, mark in zip(tops, marks, strict=False)
        if any(known)
    ]
    return Block((*head.cells, *body.cells), body.height, tuple(shapes))


def table(rows: Rows, width: float, kind: Type) -> Block:
    """Rows of cells in columns. Too wide, they wrap; where even words are too wide, cells of a row share a line."""
    gap = 2 * kind.unit
    for shown in _foldings(rows):
        widths = _widths(shown, width, gap, kind)
        if widths is not None:
            break
    else:
        shown, widths = [[_joined(row)] for row in rows], [width]
    cells: list[Cell] = []
    top = 0.0
    for row in shown:
        left = 0.0
        highs = [kind.height_of(cell, kind.body_px, wide, False) for cell, wide in zip(row, widths, strict=True)]
        for cell, wide, high in zip(row, widths, highs, strict=True):
            if cell:
                cells.append(Cell(cell, left, top, wide, high, size_px=kind.body_px))
            left += wide + gap
        top += max(highs, default=0.0) + 0.5 * kind.unit
    return Block(tuple(cells), top)


def two_columns(make: Callable[[float], Sequence[Block]], width: float, gap: float, apart: float) -> Block:
    """Blocks in two columns, in their order in each, so that the whole is as low as can be.

    ``make`` lays the blocks out in a width. The left column is a half, two fifths or a third of the whole.
    """
    best: tuple[float, Sequence[Block], Sequence[Block], float] | None = None
    for share in _SHARES:
        left_width = share * (width - gap)
        narrow, wide = make(left_width), make(width - gap - left_width)
        for there in _splits(narrow):
            left = [block for n, block in enumerate(narrow) if n not in there]
            right = [block for n, block in enumerate(wide) if n in there]
            high = max(_high(left, apart), _high(right, apart))
            if best is None or high < best[0] - 1:
                best = (high, left, right, left_width)
    if best is None:
        return Block((), 0.0)
    _, at_left, at_right, left_width = best
    return beside(one_column(at_left, apart), one_column(at_right, apart), left_width + gap)


def _high(blocks: Sequence[Block], apart: float) -> float:
    """The height of blocks below each other, as `one_column` gives it."""
    highs = [block.height for block in blocks if block.height]
    return max(0.0, sum(highs) + (len(highs) - 1) * apart)


def beside(left: Block, right: Block, by: float) -> Block:
    """Two blocks side by side, the second one ``by`` to the right."""
    there = right.moved(by, 0.0)
    return Block((*left.cells, *there.cells), max(left.height, right.height), (*left.shapes, *there.shapes))


def one_column(blocks: Sequence[Block], apart: float) -> Block:
    """Blocks below each other, so far ``apart``; empty ones take no room."""
    cells: list[Cell] = []
    shapes: list[Shape] = []
    top = 0.0
    for block in blocks:
        if not block.height:
            continue
        here = block.moved(0.0, top)
        cells += here.cells
        shapes += here.shapes
        top += block.height + apart
    return Block(tuple(cells), max(0.0, top - apart), tuple(shapes))


def shared(found: Sequence[float], least: Sequence[float], room: float) -> list[float] | None:
    """Widths of columns in a room: as they were found, the widest less where that is too much; None: no room."""
    widths = list(found)
    if sum(least) > room:
        return None
    while sum(widths) > room + 0.01:
        able = [n for n in range(len(widths)) if widths[n] > least[n]]
        widest = max(able, key=lambda n: widths[n])
        others = [widths[n] for n in able if widths[n] < widths[widest]]
        widths[widest] = max(least[widest], max(others, default=0.0), widths[widest] - (sum(widths) - room))
    return widths


def _splits(blocks: Sequence[Block]) -> Iterator[Collection[int]]:
    """Which blocks go to the right: the last ones, however many, or the highest alone."""
    for first in range(1, len(blocks) + 1):
        yield range(first, len(blocks))
    yield {max(range(len(blocks)), key=lambda n: blocks[n].height)} if blocks else {}


def _foldings(rows: Rows) -> Iterator[list[list[str]]]:
    """The rows with all their columns, then with all but the first two, then all but the first in one."""
    most = max((len(row) for row in rows), default=0)
    full = [[*row, *[""] * (most - len(row))] for row in rows]
    kept = [n for n in range(most) if any(row[n] for row in full)]
    full = [[row[n] for n in kept] for row in full]
    yield full
    for first in (2, 1):
        if len(kept) > first + 1:
            yield [[*row[:first], _joined(row[first:])] for row in full]


def _joined(cells: Sequence[str]) -> str:
    return ", ".join(cell for cell in cells if cell)


def _widths(rows: Rows, width: float, gap: float, kind: Type) -> list[float] | None:
    """The width of each column: as wide as its cells, less where that is too much; None when words do not fit."""
    columns = list(zip(*rows, strict=True))
    found = [max(kind.wide(cell, kind.body_px) for cell in column) for column in columns]
    least = [max(kind.widest_word(cell, kind.body_px) for cell in column) for column in columns]
    widths = shared(found, least, width - gap * (len(columns) - 1))
    return [width] if widths is None and len(columns) == 1 else widths
