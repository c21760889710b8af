"""Where the words of a card stand: sections as tables, side by side where there is room; plain geometry, no toolkit.

Measures are pixels; ``top`` runs downward from the top of the card.
"""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

_SHARES: Final = (0.5, 0.4, 1 / 3)
Rows = Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class Type:
    """Type of a card: sizes of headings and of all else, the one measure, and what measures words.

    ``width_of`` takes words, size and bold; ``height_of`` words, size, width and bold.
    """

    head_px: float
    body_px: float
    unit: float
    width_of: Callable[[str, float, bool], float]
    height_of: Callable[[str, float, float, bool], float]


@dataclass(frozen=True, slots=True)
class Cell:
    """Words in their place. ``style`` is head, plain, quiet or the word of a finding's level."""

    text: str
    left: float
    top: float
    width: float
    height: float
    style: str = "plain"

    def moved(self, right: float, down: float) -> "Cell":
        """The same at another place."""
        return replace(self, left=self.left + right, top=self.top + down)


@dataclass(frozen=True, slots=True)
class Block:
    """A section laid out: its cells and its height."""

    cells: tuple[Cell, ...]
    height: float


def section(title: str, rows: Rows, width: float, kind: Type) -> Block:
    """A heading and a table below it."""
    head = Cell(title, 0.0, 0.0, width, kind.height_of(title, kind.head_px, width, True), "head")
    body = table(rows, width, kind)
    below = tuple(cell.moved(0.0, head.height) for cell in body.cells)
    return Block((head, *below), head.height + body.height)


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
                cells.append(Cell(cell, left, top, wide, high))
            left += wide + gap
        top += max(highs, default=0.0) + 0.5 * kind.unit
    return Block(tuple(cells), top)


def two_columns(make: Callable[[float], Sequence[Block]], width: float, gap: float, apart: float) -> Block:
    """Blocks in two columns, in their order in each, so that the whole is as low as can be.

    ``make`` lays the blocks out in a width. The left column is a half, two fifths or a third of the whole.
    """
    best: Block | None = None
    for share in _SHARES:
        left_width = share * (width - gap)
        narrow, wide = make(left_width), make(width - gap - left_width)
        for at_right in _splits(narrow):
            left = one_column([block for n, block in enumerate(narrow) if n not in at_right], apart)
            right = one_column([block for n, block in enumerate(wide) if n in at_right], apart)
            high = max(left.height, right.height)
            if best is None or high < best.height - 1:
                best = Block((*left.cells, *(cell.moved(left_width + gap, 0.0) for cell in right.cells)), high)
    return best or Block((), 0.0)


def _splits(blocks: Sequence[Block]) -> Iterator[Collection[int]]:
    """Which blocks go to the right: the last ones, however many, or the highest alone."""
    for first in range(1, len(blocks) + 1):
        yield range(first, len(blocks))
    yield {max(range(len(blocks)), key=lambda n: blocks[n].height)} if blocks else {}


def one_column(blocks: Sequence[Block], apart: float) -> Block:
    """Blocks below each other, so far ``apart``."""
    cells: list[Cell] = []
    top = 0.0
    for block in blocks:
        cells += (cell.moved(0.0, top) for cell in block.cells)
        top += block.height + apart
    return Block(tuple(cells), max(0.0, top - apart))


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

    def wide(text: str) -> float:
        return kind.width_of(text, kind.body_px, False) * 1.02 + 2.0

    columns_ = list(zip(*rows, strict=True))
    found = [max(wide(cell) for cell in column) for column in columns_]
    least = [max(wide(word) for cell in column for word in cell.split(" ")) for column in columns_]
    room = width - gap * (len(columns_) - 1)
    if sum(least) > room:
        return [width] if len(columns_) == 1 else None
    while sum(found) > room + 0.01:
        able = [n for n in range(len(found)) if found[n] > least[n]]
        widest = max(able, key=lambda n: found[n])
        others = [found[n] for n in able if found[n] < found[widest]]
        to = max(least[widest], max(others, default=0.0), found[widest] - (sum(found) - room))
        found[widest] = to
    return found
