"""Which row names the columns of a list, and what each column is: by its words, or as a person says."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from checkapp.rig.codes import Direction
from checkapp.sheets.grid import letters
from checkapp.sheets.heading_words import (
    EITHER,
    OUTPUT_NAMES,
    OUTPUT_NUMBERS,
    PHRASES,
    Field,
)
from checkapp.sheets.table import Row

_LEAST_FIELDS = 2
_LONGEST_HEADING = 60
_MOST_WORDS = 4
_LOOKED_AT = 24
"""If none of so many cells of a row is a heading, none is."""
_ROLES = {"number", "name"}
_SEPARATORS = re.compile(r"[^\w#°]+|_")
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
JOINED: tuple[Field, ...] = ("source", "stand", "note", "ignore")
"""Fields that may have several columns: a microphone and a DI, two columns of notes."""
_FIELD_OF: dict[str, Field] = {phrase: field for field, phrases in PHRASES.items() for phrase in phrases}
_WEAK: tuple[Field, ...] = ("number", "name", "source")
"""A heading of several fields' words is of the first that is none of these, else of the last of these: a "mic stand"
is a stand, an "input name" a name."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's heading: where it stands (from 0), as written, what it is; None: not known.

    ``made``: the sheet has no such column, it was read out of the cells of another.
    """

    column: int
    text: str
    field: Field | None
    made: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """The columns of one list; two lists may stand side by side."""

    headings: tuple[Heading, ...]
    direction: Direction = "in"
    said: bool = False
    """Whether a heading says the direction."""

    def column(self, field: Field) -> int | None:
        """The column of a field, counted from 0."""
        return next((heading.column for heading in self.headings if heading.field == field), None)

    @property
    def fields(self) -> frozenset[Field]:
        """The fields that have a column."""
        return frozenset(heading.field for heading in self.headings if heading.field and heading.field != "ignore")


_Found = tuple[Field | None, Direction | None, bool, int, str]
"""What a heading means: field, direction, whether it may be name or source; its column and text."""


@lru_cache(4096)
def fold(text: str) -> str:
    """Small letters without accents, one space for all that is neither letter nor figure."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(c for c in apart if not unicodedata.combining(c))
    return " ".join(_SEPARATORS.sub(" ", plain).split())


def read_headings(row: Row, asked: Mapping[str, Field] | None = None) -> tuple[Block, ...]:
    """The lists whose columns a row names, from left to right; empty when it is no row of headings.

    ``asked`` holds, by folded heading or "column b", what a person says a column is; it goes before the words.
    """
    asked = asked or {}
    if any(map(_is_figure, row.cells)):
        return ()
    found = _found(row, asked)
    blocks = tuple(_block(part) for part in _parted(_named(found)))
    known = sum(field is not None or either for field, _, either, _, _ in found)
    wide = any(len(block.fields) > _LEAST_FIELDS and block.fields >= _ROLES for block in blocks)
    if not found or (2 * known < len(found) and not wide):
        return ()
    return blocks if any(_is_list(block, asked) for block in blocks) else ()


def _found(row: Row, asked: Mapping[str, Field]) -> list[_Found]:
    """What each filled cell means as a heading; empty when the first of them mean nothing."""
    found: list[_Found] = []
    for column, cell in enumerate(row.cells):
        if cell:
            found.append((*_meaning(cell, column, asked), column, cell))
            if len(found) == _LOOKED_AT and not any(field or either for field, _, either, *_ in found):
                return []
    return found


def names_numbers(row: Row) -> bool:
    """Whether a row has the very heading of a column of numbers, as headings that are repeated have."""
    return any(fold(cell) in PHRASES["number"] | OUTPUT_NUMBERS for cell in row.cells if cell)


def continued(blocks: Sequence[Block], row: Row, asked: Mapping[str, Field] | None = None) -> tuple[Block, ...]:
    """The same lists with the second row of their headings, under headings that span columns; empty when it is none."""
    filled = {column: cell for column, cell in enumerate(row.cells) if cell}
    second = {column: _meaning(cell, column, asked or {})[0] for column, cell in filled.items()}
    if not second or None in second.values() or any(map(_is_figure, filled.values())):
        return ()
    return tuple(_with_second(block, filled, second, last=block is blocks[-1]) for block in blocks)


def with_numbers(blocks: Sequence[Block], below: Sequence[Row]) -> tuple[Block, ...]:
    """The lists, the first one with the column of numbers that has no heading, if it lacks one and there is such."""
    if not blocks or "number" in blocks[0].fields:
        return tuple(blocks)
    known = {heading.column for block in blocks for heading in block.headings}
    for at in range(max((len(row.cells) for row in below), default=0)):
        if at not in known and rises([row.cells[at] for row in below if at < len(row.cells) and row.cells[at]]):
            numbers = Heading(at, "", "number")
            headings = sorted([*blocks[0].headings, numbers], key=lambda heading: heading.column)
            return (Block(tuple(headings), blocks[0].direction, blocks[0].said), *blocks[1:])
    return tuple(blocks)


def by_content(rows: Sequence[Row]) -> tuple[Block, ...]:
    """The columns of a list without headings: the first that holds rising numbers, the first with texts after it."""
    width = max((len(row.cells) for row in rows), default=0)
    columns = [[row.cells[column] for row in rows if column < len(row.cells)] for column in range(width)]
    number = next((at for at, cells in enumerate(columns) if rises([cell for cell in cells if cell])), None)
    if number is None:
        return ()
    name = next((at for at in range(number + 1, width) if _texts(columns[at])), None)
    if name is None:
        return ()
    fields: dict[int, Field] = {number: "number", name: "name"}
    used = [at for at in range(width) if any(columns[at])]
    return (Block(tuple(Heading(at, f"column {letters(at + 1)}", fields.get(at)) for at in used)),)


def _is_figure(cell: str) -> bool:
    return cell.isdecimal() and cell != "48"


def rises(cells: Sequence[str]) -> bool:
    """Whether most of these texts are numbers, none smaller than the one before."""
    numbers = [int(cell) for cell in cells if cell.isdecimal() and len(cell) <= 6]
    return len(numbers) >= max(2, 0.6 * len(cells)) and numbers == sorted(numbers) and len(set(numbers)) > 1


def _texts(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell]
    return 2 * sum(any(c.isalpha() for c in cell) for cell in filled) > len(filled)


def _meaning(cell: str, column: int, asked: Mapping[str, Field]) -> tuple[Field | None, Direction | None, bool]:
    """What a heading means: field, direction if it says one, whether it may be name or source."""
    told = asked.get(fold(cell)) or asked.get(f"column {letters(column + 1).lower()}")
    if told:
        return told, ("out" if fold(cell) in OUTPUT_NUMBERS | OUTPUT_NAMES else None), False
    if len(cell) > _LONGEST_HEADING:
        return None, None, False
    for text in dict.fromkeys((cell, _BRACKETS.sub(" ", cell), cell.replace("#", " "))):
        folded = fold(text)
        if folded in OUTPUT_NUMBERS:
            return "number", "out", False
        if folded in OUTPUT_NAMES:
            return "name", "out", False
        if folded in EITHER:
            return None, None, True
        if folded in _FIELD_OF:
            return _FIELD_OF[folded], None, False
    field, either = _by_words(fold(cell))
    return field, None, either


def _by_words(folded: str) -> tuple[Field | None, bool]:
    """The same for a heading of several words, when all but one of them are known."""
    words = folded.split()
    if not 1 < len(words) <= _MOST_WORDS:
        return None, False
    found = [_FIELD_OF[word] for word in words if word in _FIELD_OF and len(word) > 1]
    either = any(word in EITHER for word in words)
    if len(found) + sum(word in EITHER for word in words) < len(words) - 1:
        return None, False
    if {"box", "number"} <= set(found):
        return "port", False
    strong = next((field for field in found if field not in _WEAK), None)
    if strong:
        return strong, False
    weak = max(found, key=_WEAK.index, default=None)
    return (None, True) if either and weak in (None, "number") else (weak, False)


def _named(found: Sequence[_Found]) -> list[_Found]:
    """The same, where a list has two headings of numbers and none of names: "Ch, Input", its second one is the name."""
    named: list[_Found] = []
    roles: set[str | None] = set()
    for at, one in enumerate(found):
        if one[0] == "number":
            later = next((after for after in range(at + 1, len(found)) if found[after][0] == "number"), len(found))
            if "name" in roles:
                roles = set()
            elif "number" in roles and "name" not in {_role(after) for after in found[at:later]}:
                one = ("name", *one[1:])
        roles.add(_role(one))
        named.append(one)
    return named


def _parted(found: Sequence[_Found]) -> Iterator[list[_Found]]:
    """A second list begins where a number or a name comes a second time, if both do."""
    part: list[_Found] = []
    for at, one in enumerate(found):
        roles, rest = {_role(other) for other in part}, {_role(other) for other in found[at:]}
        if _role(one) in roles and _role(one) in _ROLES and roles >= _ROLES and rest >= _ROLES:
            yield part
            part = []
        part.append(one)
    yield part


def _role(one: _Found) -> str | None:
    return "name" if one[2] else one[0]


def _block(part: Sequence[_Found]) -> Block:
    known = {field for field, *_ in part}
    headings, taken, out = [], set[Field](), False
    for field, direction, either, column, text in part:
        meant = _meant(field, known, taken, either=either)
        if meant:
            taken.add(meant)
            out = out or direction == "out"
        headings.append(Heading(column, text, meant))
    return Block(tuple(headings), "out" if out else "in", out)


def _meant(field: Field | None, known: set[Field | None], taken: set[Field], *, either: bool) -> Field | None:
    """What a heading means beside the others: no field has two columns, but those whose texts can be joined."""
    if either:
        field = "source" if "name" in known | taken else "name"
    if field == "number" and "number" in taken and "box" in taken and "port" not in known:
        field = "port"
    return None if field in taken and field not in JOINED else field


def _is_list(block: Block, asked: Mapping[str, Field]) -> bool:
    named = any(fold(heading.text) in asked for heading in block.headings)
    least = 1 if named else _LEAST_FIELDS
    return len(block.fields) >= least and bool(block.fields & {"name", "number", "source"})


def _with_second(block: Block, filled: Mapping[int, str], second: Mapping[int, Field | None], *, last: bool) -> Block:
    ends = max(heading.column for heading in block.headings)
    first = min(heading.column for heading in block.headings)
    mine = {at: field for at, field in second.items() if first <= at and (last or at <= ends)}
    kept = [heading for heading in block.headings if heading.column not in mine and heading.field not in mine.values()]
    more = [Heading(at, filled[at], field) for at, field in mine.items()]
    return Block(tuple(sorted([*kept, *more], key=lambda heading: heading.column)), block.direction, block.said)
