"""Lists that write number and name into one cell, "1 Kick" or "Ch 2: Snare": read apart, as if in two columns."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from checkapp.sheets.cells import Numbers, read_numbers
from checkapp.sheets.grid import letters
from checkapp.sheets.heading_words import Field
from checkapp.sheets.headings import Block, Heading, fold, rises
from checkapp.sheets.table import Row
from checkapp.tongue import tr

_JOINED: Final = re.compile(
    r"(?P<number>(?:[^\W\d_]{1,9}[. #]*)?\d{1,4}(?: *[-–/+&] *\d{1,4})?)(?: *[.:)\]|] *| +[-–—] *| *[-–—] +| +)"
    r"(?P<name>.*[^\W\d_].*)"
)
"""A number or a range, what parts it from the name, and the name."""
_BEGINS: Final = re.compile(r"(?:[^\W\d_]{1,9}[. #]*)?\d")
_LEAST: Final = 3
_LOOKED_AT: Final = 200
"""So many rows tell whether a column holds both."""
_LONGEST: Final = 200


@dataclass(frozen=True, slots=True)
class Apart:
    """The rows with the numbers in a column of their own, right of all others, and the lists that rows name with it.

    ``column`` is where number and name stand together, ``at`` where the numbers are now, both counted from 0.
    """

    rows: tuple[Row, ...]
    heads: dict[int, tuple[Block, ...]]
    column: int
    at: int

    @property
    def said(self) -> str:
        """What was done."""
        return tr("column {column}: number and name in one cell, read apart", column=letters(self.column + 1))

    def without_headings(self) -> tuple[Block, ...]:
        """The list where no row names the columns."""
        width = max(len(row.cells) for row in self.rows)
        used = [at for at in range(width) if any(at < len(row.cells) and row.cells[at] for row in self.rows)]
        fields: dict[int, Field] = {self.column: "name"}
        named = [Heading(at, f"column {letters(at + 1)}", fields.get(at)) for at in used if at != self.at]
        return (Block((*named, _made(self.column, self.at))),)


def read_apart(rows: Sequence[Row], heads: Mapping[int, tuple[Block, ...]], asked: Mapping[str, Field]) -> Apart | None:
    """The rows with numbers and names apart; None when most cells of no column hold both, or numbers stand elsewhere.

    ``heads`` are the lists that rows name, by the row's number; ``asked`` is what a person says of columns.
    """
    width = max((len(row.cells) for row in rows), default=0)
    found = [at for at in range(width) if _holds_both(at, rows[:_LOOKED_AT])]
    blocks = [block for named in heads.values() for block in named]
    if len(found) != 1 or _numbers_elsewhere(rows, blocks, found[0], width) or _otherwise(blocks, found[0], asked):
        return None
    column, at = found[0], width
    parted = tuple(_parted(row, column, at) for row in rows)
    return Apart(parted, {number: _with_both(named, column, at) for number, named in heads.items()}, column, at)


def _split(cell: str) -> tuple[str, str] | None:
    """The number and the name of a cell."""
    found = _JOINED.fullmatch(cell) if len(cell) <= _LONGEST and _BEGINS.match(cell) else None
    return (found["number"], found["name"]) if found and read_numbers(found["number"]) else None


def _holds_both(column: int, rows: Sequence[Row]) -> bool:
    """Whether most cells of a column begin with a number, and most of these numbers follow one on another.

    A text alone in its row may be a title or the heading of a section, and speaks against it as little as a number.
    """
    parts: list[tuple[str, str]] = []
    against = 0
    for row in rows:
        cell = row.cells[column] if column < len(row.cells) else ""
        part = _split(cell)
        if part is not None:
            parts.append(part)
        elif any(c.isalpha() for c in cell) and sum(map(bool, row.cells)) > 1:
            against += 1
    if len(parts) < _LEAST or len(parts) <= against:
        return False
    numbers = [found for number, _ in parts if (found := read_numbers(number)) is not None]
    return 2 * sum(_follows(one, other) for one, other in pairwise(numbers)) >= len(numbers) - 1


def _follows(one: Numbers, other: Numbers) -> bool:
    return other.first == one.last + 1


def _numbers_elsewhere(rows: Sequence[Row], blocks: Sequence[Block], column: int, width: int) -> bool:
    """Whether another column holds the numbers of lines: by its heading, or it has none and its numbers rise."""
    known = {heading.column: heading.field for block in blocks for heading in block.headings}
    if any(field == "number" and at != column for at, field in known.items()):
        return True
    bare = [at for at in range(width) if at not in known and at != column]
    return any(rises([row.cells[at] for row in rows if at < len(row.cells) and row.cells[at]]) for at in bare)


def _otherwise(blocks: Sequence[Block], column: int, asked: Mapping[str, Field]) -> bool:
    """Whether the column is something else: by its heading, by another one of names, or as a person says."""
    mine = [heading for block in blocks for heading in block.headings if heading.column == column]
    told = [asked.get(fold(heading.text)) for heading in mine] + [asked.get(f"column {letters(column + 1).lower()}")]
    if any(field not in (None, "name") for field in told):
        return True
    names = any(block.column("name") not in (None, column) for block in blocks)
    return names or any(heading.field not in (None, "number", "name", "source") for heading in mine)


def _parted(row: Row, column: int, at: int) -> Row:
    cell = row.cells[column] if column < len(row.cells) else ""
    alone = read_numbers(cell) is not None and not any(c.isalpha() for c in cell)
    part = _split(cell) or ((cell, "") if alone else None)
    if part is None:
        return row
    cells = [*row.cells, *[""] * (at + 1 - len(row.cells))]
    cells[column], cells[at] = part[1], part[0]
    return replace(row, cells=tuple(cells))


def _with_both(blocks: tuple[Block, ...], column: int, at: int) -> tuple[Block, ...]:
    """The lists with names in the column and the numbers beside them."""
    return tuple(
        replace(
            block,
            headings=(
                *(replace(one, field="name") if one.column == column else one for one in block.headings),
                _made(column, at),
            ),
        )
        if any(one.column == column for one in block.headings)
        else block
        for block in blocks
    )


def _made(column: int, at: int) -> Heading:
    return Heading(at, f"the number in {letters(column + 1)}", "number", made=True)
