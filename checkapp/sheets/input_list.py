"""A sheet as a list of lines: what every row of it became, and nothing passed over in silence."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import takewhile
from typing import Literal

from checkapp.rig.codes import Direction, without_hyphens
from checkapp.sheets.cells import Numbers, is_tick, read_numbers
from checkapp.sheets.grid import letters
from checkapp.sheets.heading_words import Field
from checkapp.sheets.headings import (
    Block,
    Heading,
    by_content,
    continued,
    names_numbers,
    read_headings,
    with_numbers,
)
from checkapp.sheets.joined_numbers import Apart, read_apart
from checkapp.sheets.lines import ListLine, Told, lines_of, one_line, says_something
from checkapp.sheets.sections import direction_of, is_total, said_above, section_of
from checkapp.sheets.table import Row, Sheet
from checkapp.tongue import shown_word, tr

Became = Literal["title", "headings", "section", "lines", "unused", "blank", "total", "text", "left out"]
"""What a row became: ``unused`` has a number and nothing on it, ``text`` stands under a list and is none of it."""

_PLACE = re.compile(r"([A-Z]{1,3})(\d{1,7}): ")
_UNDERSTOOD = ("taken as text", "read all the same")
"""How notes of the reading end that say what was done, and leave nothing open."""
_CONTENT_ROWS = 200
_MOST_SHOWN = 6


@dataclass(frozen=True, slots=True)
class ReadRow:
    """A row: its number in the sheet, its text, what it became, what was guessed, what was not understood."""

    number: int
    text: str
    became: Became
    lines: tuple[ListLine, ...] = ()
    notes: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()
    guessed: bool = False
    """Whether a level is guessed from the word of a source."""


@dataclass(frozen=True, slots=True)
class ReadSheet:
    """A sheet as a list: its columns, its rows, and what is to be said of it as a whole."""

    name: str
    blocks: tuple[Block, ...]
    rows: tuple[ReadRow, ...]
    notes: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[ListLine, ...]:
        """All lines, in the order of the sheet."""
        return tuple(line for row in self.rows for line in row.lines)

    @property
    def headings(self) -> tuple[Heading, ...]:
        """All columns, of every list of the sheet."""
        return tuple(dict.fromkeys(heading for block in self.blocks for heading in block.headings))


@dataclass(slots=True)
class _Reading:
    """How far a sheet is read: the lists in force, the section, which numbers are taken by which row."""

    sheet: Sheet
    asked: Mapping[str, Field]
    direction: Direction
    blocks: tuple[Block, ...] = ()
    all_blocks: list[Block] = field(default_factory=list)
    fresh: bool = False
    zone: str = ""
    taken: dict[str, int] = field(default_factory=dict)
    ports: dict[str, str] = field(default_factory=dict)
    heads: dict[int, tuple[Block, ...]] = field(default_factory=dict)
    names: set[int] = field(default_factory=set)
    counted: int = 0
    down: bool = False
    """Whether a cell of the zone's column speaks for the blank ones below it, as merged cells do."""
    above: tuple[str, int] = ("", 0)
    content: bool = False
    apart: Apart | None = None
    told: dict[int, Told] = field(default_factory=dict)
    """What the reading said, by row."""


def read_list(sheet: Sheet, asked: Mapping[str, Field] | None = None) -> ReadSheet:
    """Read a sheet as an input list, an output list or both, one row after the other.

    ``asked`` holds what a person says of columns, by folded heading or "column b"; it goes before the words.
    """
    plain = tuple(replace(row, cells=tuple(map(one_line, row.cells))) for row in sheet.rows)
    state = _Reading(replace(sheet, rows=plain), asked or {}, direction_of(sheet.name) or "in")
    notes, unclear = _place_notes(state)
    state.heads = {row.number: blocks for row in plain if (blocks := read_headings(row, state.asked))}
    state.apart = read_apart(plain, state.heads, state.asked)
    if state.apart:
        state.sheet, state.heads = replace(state.sheet, rows=state.apart.rows), state.apart.heads
        notes.append(state.apart.said)
    if not state.heads:
        _without_headings(state)
    rows = tuple(_read_row(row, state, texts) for row, texts in zip(state.sheet.rows, plain, strict=True))
    rows = _without_empty_sections(rows, state.names)
    if state.content:
        unclear.append(tr("no row names the columns: number and name taken by what stands in them"))
    _about_columns(state, notes, unclear)
    blocks = tuple(dict.fromkeys(state.all_blocks))
    return ReadSheet(sheet.name, blocks, rows, tuple(notes), tuple(unclear))


def _without_empty_sections(rows: tuple[ReadRow, ...], names: set[int]) -> tuple[ReadRow, ...]:
    """The rows, sections that head no line taken for what they are: names without a number, or texts under the list.

    ``names`` are the rows whose text stands in the column of names.
    """
    found: list[ReadRow] = []
    heads_lines, lines_below = False, False
    for row in reversed(rows):
        taken = row
        if row.became == "section" and row.number in names and not heads_lines:
            taken = replace(row, became="left out", notes=(), unclear=(*row.unclear, tr("no number: left out")))
        elif row.became == "section" and not lines_below:
            taken = replace(row, became="text", notes=())
        if row.became in ("lines", "section", "headings", "left out"):
            heads_lines = row.became in ("lines", "left out")
            lines_below = lines_below or row.became in ("lines", "headings")
        found.append(taken)
    return tuple(reversed(found))


def _place_notes(state: _Reading) -> tuple[list[str], list[str]]:
    """Keep by row what the reading said of cells; give back what it said of the sheet, understood or not."""
    numbers = {row.number for row in state.sheet.rows}
    notes: list[str] = []
    unclear: list[str] = []
    for note in state.sheet.notes:
        place, understood = _PLACE.match(note), note.endswith(_UNDERSTOOD)
        if place and int(place[2]) in numbers:
            told = state.told.setdefault(int(place[2]), Told())
            (told.notes if understood else told.unclear).append(note)
        else:
            (notes if understood else unclear).append(note)
    return notes, unclear


def _without_headings(state: _Reading) -> None:
    asked = [Heading(at, key, meant) for key, meant in state.asked.items() if (at := _asked_column(key)) is not None]
    if any(heading.field == "name" for heading in asked):
        state.blocks = (Block(tuple(sorted(asked, key=lambda heading: heading.column)), state.direction),)
    else:
        found = state.apart.without_headings() if state.apart else by_content(state.sheet.rows[:_CONTENT_ROWS])
        state.blocks = tuple(replace(block, direction=state.direction) for block in found)
        state.content = bool(state.blocks)
    state.all_blocks += state.blocks


def _asked_column(key: str) -> int | None:
    column = key.removeprefix("column ")
    if column == key or not re.fullmatch(r"[a-z]{1,2}", column):
        return None
    return next(at for at in range(27 * 26) if letters(at + 1).lower() == column)


def _about_columns(state: _Reading, notes: list[str], unclear: list[str]) -> None:
    """Say which columns of the lists are not used: known to be no part of a plan, and not known."""
    for heading in dict.fromkeys(heading for block in state.all_blocks for heading in block.headings):
        letter = letters(heading.column + 1)
        if heading.field == "ignore":
            notes.append(tr('column {column} "{text}": no part of a plan, left out', column=letter, text=heading.text))
        elif heading.field is None and state.content:
            unclear.append(tr("column {column}: left out, for nothing says what it is", column=letter))
        elif heading.field is None:
            unclear.append(tr('column {column} "{text}" not understood: left out', column=letter, text=heading.text))


def _read_row(row: Row, state: _Reading, typed: Row) -> ReadRow:
    """What became of a row; ``typed`` is the same as it stands in the sheet."""
    said = state.told.get(row.number) or Told()
    text = " | ".join(cell for cell in typed.cells if cell)
    if not text:
        became: Became = "left out" if said.unclear else "blank"
        return ReadRow(row.number, "", became, (), tuple(said.notes), tuple(said.unclear))
    became, lines, told = _became(row, state)
    if row.hidden and became in ("lines", "section"):
        became, lines, told = "left out", (), Told(unclear=[tr("a hidden row")])
    notes = () if became == "left out" else (*said.notes, *told.notes)
    return ReadRow(row.number, text, became, lines, notes, (*said.unclear, *told.unclear), told.guessed)


def _became(row: Row, state: _Reading) -> tuple[Became, tuple[ListLine, ...], Told]:
    told = Told()
    fresh, state.fresh = state.fresh, False
    blocks = state.heads.get(row.number)
    if blocks and (not state.blocks or names_numbers(row)):
        below = _below(row, state)
        _take_headings(said_above(with_numbers(blocks, below), row, state.sheet.rows), state)
        state.down = _goes_down(state.blocks[0], below)
        return "headings", (), told
    if fresh and (second := continued(state.blocks, row, state.asked)):
        state.all_blocks = [block for block in state.all_blocks if block not in state.blocks] + list(second)
        state.blocks = second
        return "headings", (), told
    if not state.blocks:
        state.direction = (_said_direction(row) if not state.taken else None) or state.direction
        return "title", (), told
    if is_total(row, state.blocks):
        return "total", (), told
    unread = row.number in state.told and state.told[row.number].unclear
    section = None if unread else section_of(row, state.blocks)
    if section:
        if not row.hidden:
            _take_section(section, state, told)
        if any(block.column("name") == row.cells.index(section) for block in state.blocks if section in row.cells):
            state.names.add(row.number)
        return "section", (), told
    return _from_blocks(row, state, told)


def _below(row: Row, state: _Reading) -> list[Row]:
    """The rows under a row of headings, as far as the next one."""
    first = bisect_left(state.sheet.rows, row.number, key=lambda other: other.number) + 1
    rows = state.sheet.rows[first : first + _CONTENT_ROWS]
    return list(takewhile(lambda other: other.number not in state.heads, rows))


def _goes_down(block: Block, below: Sequence[Row]) -> bool:
    """Whether the zone's column is filled in the first row of lines, and in at most half of them."""
    rows = [cells for row in below if (cells := _cells(row, block)) and cells.get("number") and cells.get("name")]
    filled = [bool(cells.get("zone")) for cells in rows]
    return bool(filled) and filled[0] and 2 * sum(filled) <= len(filled)


def _take_headings(blocks: tuple[Block, ...], state: _Reading) -> None:
    said = [block if block.said else replace(block, direction=state.direction) for block in blocks]
    state.blocks = tuple(said)
    state.above = ("", 0)
    state.all_blocks += said
    state.fresh = True


def _said_direction(row: Row) -> Direction | None:
    filled = [cell for cell in row.cells if cell]
    return direction_of(filled[0]) if len(filled) == 1 else None


def _take_section(section: str, state: _Reading, told: Told) -> None:
    direction = direction_of(section)
    state.zone = "" if direction else section
    state.above = ("", 0)
    if direction:
        state.direction = direction
        state.blocks = tuple(replace(block, direction=direction) for block in state.blocks)
        told.notes.append(tr("inputs from here on") if direction == "in" else tr("outputs from here on"))
    else:
        told.notes.append(tr("zone {zone}", zone=section))


def _from_blocks(row: Row, state: _Reading, told: Told) -> tuple[Became, tuple[ListLine, ...], Told]:
    """What the lists that stand side by side in a row say together."""
    results = [_from_block(row, block, state, told) for block in state.blocks]
    lines = tuple(line for _, found in results for line in found)
    order: tuple[Became, ...] = ("lines", "left out", "unused", "blank")
    kinds = [kind for kind, _ in results]
    became: Became = next((kind for kind in order if kind in kinds), "text")
    loose = _loose(row, state.blocks)
    if became == "blank" and loose:
        became = "left out"
    if loose:
        told.unclear.append(tr("{cells}: in a column without a heading, left out", cells=loose))
    return became, lines, told


def _loose(row: Row, blocks: tuple[Block, ...]) -> str:
    """The texts of a row that stand under no heading, the first of them as they are."""
    known = {heading.column for block in blocks for heading in block.headings}
    places = [at for at, cell in enumerate(row.cells) if cell and at not in known]
    shown = ", ".join(f'{letters(at + 1)} "{row.cells[at][:40]}"' for at in places[:_MOST_SHOWN])
    more = len(places) - _MOST_SHOWN
    return tr("{cells} and {count} more", cells=shown, count=more) if more > 0 else shown


def _from_block(row: Row, block: Block, state: _Reading, told: Told) -> tuple[Became, tuple[ListLine, ...]]:
    cells = _cells(row, block)
    if not any(cells.values()):
        return "blank", ()
    named = any(says_something(cells.get(key, "")) for key in ("name", "source"))
    numbers = _numbers(cells, state, named=named)
    if numbers is None:
        told.unclear.append(_no_number(cells.get("number", "")))
        return "left out", ()
    if not named:
        rest = [key for key, cell in cells.items() if key != "number" and says_something(cell)]
        if rest:
            columns = tr(" and ").join(map(shown_word, rest))
            told.unclear.append(tr("no name, but {columns}: left out", columns=columns))
        return ("left out" if rest else "unused"), ()
    if state.down and block == state.blocks[0]:
        _zone_from_above(cells, row, state, told)
    lines = lines_of(cells, numbers, block.direction, state.zone, told)
    return _not_twice(lines, row, state, told)


def _zone_from_above(cells: dict[Field, str], row: Row, state: _Reading, told: Told) -> None:
    zone, at = state.above
    if cells.get("zone"):
        state.above = (cells["zone"], row.number)
    elif zone and not row.hidden:
        cells["zone"] = zone
        told.notes.append(tr("zone {zone}, from row {row}", zone=zone, row=at))


def _cells(row: Row, block: Block) -> dict[Field, str]:
    """The texts of a row by field; of a field of several columns joined, a tick standing for its heading."""
    cells: dict[Field, str] = {}
    for heading in block.headings:
        if heading.field is None or heading.field == "ignore":
            continue
        text = row.cells[heading.column] if heading.column < len(row.cells) else ""
        if heading.field == "source" and is_tick(text):
            text = heading.text
        before = cells.get(heading.field)
        cells[heading.field] = ", ".join(filter(None, (before, text)))
    return cells


def _numbers(cells: Mapping[Field, str], state: _Reading, *, named: bool) -> Numbers | None:
    if "number" in cells:
        return read_numbers(cells["number"])
    if named:
        state.counted += 1
        return Numbers(
            state.counted, state.counted, said=tr("no column of numbers: counted, {number}", number=state.counted)
        )
    return None


def _no_number(text: str) -> str:
    if not text:
        return tr("no number: left out")
    return tr('"{text}" is no number of a line: left out', text=text[:40])


def _not_twice(lines: Sequence[ListLine], row: Row, state: _Reading, told: Told) -> tuple[Became, tuple[ListLine, ...]]:
    """The lines whose numbers no row before has, and without ports that a line before has."""
    kept = []
    for line in lines:
        if row.hidden:
            continue
        if line.line in state.taken:
            taken = state.taken[line.line]
            told.unclear.append(tr("{line} is taken by row {row}: left out", line=line.line, row=taken))
            continue
        state.taken[line.line] = row.number
        kept.append(_own_port(line, state, told))
    return ("lines" if kept or row.hidden else "left out"), tuple(kept)


def _own_port(line: ListLine, state: _Reading, told: Told) -> ListLine:
    if line.plugged is None:
        return line
    port = f"{line.plugged.code} {line.direction} {line.plugged.port}"
    other = state.ports.setdefault(without_hyphens(port), line.line)
    if other == line.line:
        return line
    told.unclear.append(
        tr("{port} is taken by {other}: {line} put on the desk", port=port, other=other, line=line.line)
    )
    return replace(line, plugged=None)
