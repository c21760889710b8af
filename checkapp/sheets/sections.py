"""What stands around the lines of a list: titles that say a direction, headings of sections, rows that count."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from checkapp.rig.codes import Direction
from checkapp.sheets.cells import read_numbers
from checkapp.sheets.heading_words import INPUT_SECTIONS, OUTPUT_SECTIONS, TOTALS
from checkapp.sheets.headings import Block, fold
from checkapp.sheets.table import Row

_SIDE_BY_SIDE = 2
_TITLE_ROWS = 3
_MOST_BESIDE = 2


def direction_of(text: str) -> Direction | None:
    """The direction that a title or the name of a sheet says: "Outputs", "Eingänge 2"."""
    folded = re.sub(r" ?\d+$", "", fold(text))
    return "out" if folded in OUTPUT_SECTIONS else "in" if folded in INPUT_SECTIONS else None


def said_above(blocks: tuple[Block, ...], row: Row, rows: Sequence[Row]) -> tuple[Block, ...]:
    """The lists with the direction that a title over their own columns says, where several stand side by side."""
    if len(blocks) < _SIDE_BY_SIDE:
        return blocks
    at = bisect_left(rows, row.number, key=lambda other: other.number)
    above = [cells for other in rows[max(0, at - _TITLE_ROWS) : at] for cells in enumerate(other.cells)]
    firsts = [min(heading.column for heading in block.headings) for block in blocks]
    found = []
    for block, first, end in zip(blocks, firsts, [*firsts[1:], None], strict=True):
        over = (direction_of(cell) for column, cell in above if column >= first and (end is None or column < end))
        direction: Direction | None = next((said for said in over if said), None)
        found.append(block if direction is None or block.said else replace(block, direction=direction, said=True))
    return tuple(found)


def is_total(row: Row, blocks: Sequence[Block]) -> bool:
    """Whether a row counts the others: its first text says so, and beside it stand figures or nothing."""
    filled = [cell for cell in row.cells if cell]
    words = [cell for cell in filled if not re.fullmatch(r"[\d.,:= ]+", cell)]
    if not words or len(words) > _MOST_BESIDE or len(filled) - len(words) > _MOST_BESIDE:
        return False
    first = fold(re.sub(r"[\d:=]+", " ", words[0]))
    numbers = [row.cells[at] for block in blocks if (at := block.column("number")) is not None and at < len(row.cells)]
    return first in TOTALS or (first.split(" ")[0] in TOTALS and not any(map(read_numbers, numbers)))


def section_of(row: Row, blocks: tuple[Block, ...]) -> str | None:
    """The heading of a section: one text alone in its row, or merged over the columns, that is no number."""
    filled = [cell for cell in row.cells if cell]
    if len(filled) != 1 and not (row.merged and len(filled) <= 2):
        return None
    text = filled[0].strip("-–—*:•= ")
    at = row.cells.index(filled[0])
    fields = {heading.column: heading.field for block in blocks for heading in block.headings}
    alone = fields.get(at) in (None, "number", "name", "source", "zone", "ignore") or row.merged
    numbered = any(block.column("number") is not None for block in blocks)
    is_text = any(c.isalpha() for c in text) and read_numbers(text) is None
    return text if is_text and alone and (numbered or row.merged or fields.get(at) != "name") else None
