"""A list that was read as the preview on screen shows it: its columns, what each row became, what to look at."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from checkapp.rig.errors import printable
from checkapp.sheets.grid import letters
from checkapp.sheets.heading_words import FIELDS
from checkapp.sheets.headings import JOINED, fold
from checkapp.sheets.preview import shown_rows
from checkapp.show.incoming_views import ColumnRow, ColumnView, MeaningRow, ReadLine, SheetPart, SheetRow
from checkapp.tongue import later, shown_word, tr, trn

if TYPE_CHECKING:
    from checkapp.sheets.heading_words import Field
    from checkapp.sheets.headings import Block, Heading
    from checkapp.sheets.input_list import Became, ReadRow, ReadSheet
    from checkapp.sheets.lines import ListLine
    from checkapp.sheets.preview import Preview
    from checkapp.sheets.table import Sheet
    from checkapp.show.views import Status

MEANINGS: Final[dict[Field, str]] = {
    "number": later("number of the line"),
    "name": later("name"),
    "source": later("microphone or DI"),
    "phantom": later("phantom power"),
    "level": later("level: mic, line, instrument"),
    "stand": later("stand"),
    "note": later("note"),
    "zone": later("place on stage"),
    "box": later("box"),
    "port": later("port on the box"),
    "ignore": later("left out"),
}
"""What a column can be, in words."""
_BECAME: Final[dict[Became, str]] = {
    "title": later("above the list"),
    "headings": later("names the columns"),
    "section": later("heading of a section"),
    "lines": later("lines"),
    "unused": later("a number with nothing on it"),
    "blank": later("blank"),
    "total": later("counts the others"),
    "text": later("under the list"),
    "left out": later("left out"),
}
_MOST: Final = 200
_SAMPLES: Final = 6


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of a sheet that is taken, with the list of it."""

    key: str
    sheet: ReadSheet
    block: Block
    heading: Heading


def summary(found: Preview) -> str:
    """How many lines the list has, and how many rows are left out."""
    inputs = sum(line.direction == "in" for line in found.lines)
    outputs = len(found.lines) - inputs
    words = [trn("{count} input", "{count} inputs", inputs), trn("{count} output", "{count} outputs", outputs)]
    if found.rows_left_out:
        words.append(trn("{count} row left out", "{count} rows left out", found.rows_left_out))
    return ", ".join(words)


def said_of(found: Preview) -> tuple[str, ...]:
    """What is to be said of the list as a whole: how many levels are guessed."""
    rows = [row for sheet in found.taken for row in sheet.rows]
    guessed = sum(row.guessed for row in rows)
    if not guessed:
        return ()
    return (
        trn(
            "Level guessed from the source word in {count} row, which says so.",
            "Level guessed from the source word in {count} rows, which say so.",
            guessed,
        ),
    )


def sheet_rows(found: Preview, chosen: str | None) -> tuple[SheetRow, ...]:
    """The sheets that can be taken instead; those that hold no list cannot."""
    names = (other.rpartition(": ") for other in found.others)
    rows = tuple(SheetRow(name, printable(name, 80), why) for name, _, why in names if why != "no list")
    best = SheetRow("", tr("What looks most like a list"), tr("as it was found first"))
    return (*rows, *([best] if chosen is not None else []))


def parts(found: Preview) -> tuple[SheetPart, ...]:
    """The sheets that are taken."""
    known = columns(found)
    return tuple(
        SheetPart(
            name=printable(sheet.name, 80),
            columns=tuple(_column_row(one) for one in known if one.sheet is sheet),
            notes=tuple(printable(note, _MOST) for note in sheet.notes),
            lines=tuple(line for row in shown_rows(sheet) for line in _lines_of(row, found)),
        )
        for sheet in found.taken
    )


def columns(found: Preview) -> tuple[_Column, ...]:
    """All columns of the sheets that are taken; ``key`` is the folded heading, the letter where two have the same."""
    all_of = [
        (sheet, block, heading)
        for sheet in found.taken
        for block in dict.fromkeys(sheet.blocks)
        for heading in block.headings
        if not heading.made
    ]
    seen = Counter(fold(heading.text) for _, _, heading in dict.fromkeys(all_of))
    known: dict[tuple[str, str], _Column] = {}
    for sheet, block, heading in all_of:
        folded = fold(heading.text)
        key = folded if folded and seen[folded] == 1 else f"column {letters(heading.column + 1).lower()}"
        known.setdefault((sheet.name, key), _Column(key, sheet, block, heading))
    return tuple(known.values())


def changed(found: Preview, key: str, field: Field) -> dict[str, Field]:
    """What is asked of the columns so that one of them is ``field``: the one that was it before is left out.

    Some fields take several columns; those stay as they are. Where the sheet does not name its columns each is asked.
    """
    known = columns(found)
    mine = [one for one in known if one.key == key]
    asked: dict[str, Field] = {}
    for other in known:
        if not any(other.sheet is one.sheet and other.block == one.block for one in mine):
            continue
        if other.heading.field == field and field not in JOINED:
            asked[other.key] = "ignore"
        elif not _is_named(other.heading):
            asked[other.key] = other.heading.field or "ignore"
    return {**asked, key: field}


def column_view(found: Preview, sheets: Sequence[Sheet], key: str) -> ColumnView | None:
    """One column with some of what stands in it, and what it can be; None: there is none of that key."""
    one = next((one for one in columns(found) if one.key == key), None)
    if one is None:
        return None
    meanings = tuple(MeaningRow(field, shown_word(MEANINGS[field]), field == one.heading.field) for field in FIELDS)
    return ColumnView(key, _title(one.heading), _samples(one, sheets), meanings)


def _samples(one: _Column, sheets: Sequence[Sheet]) -> tuple[str, ...]:
    """The first different texts of the column in rows of lines."""
    at = one.heading.column
    rows = {row.number for row in one.sheet.rows if row.became in ("lines", "left out")}
    texts: dict[str, None] = {}
    for sheet in sheets:
        for row in sheet.rows if sheet.name == one.sheet.name else ():
            if row.number in rows and len(row.cells) > at and row.cells[at]:
                texts[printable(row.cells[at], 60)] = None
            if len(texts) == _SAMPLES:
                return tuple(texts)
    return tuple(texts)


def _column_row(one: _Column) -> ColumnRow:
    field = one.heading.field
    meaning = tr("not understood: left out") if field is None else shown_word(MEANINGS[field])
    return ColumnRow(one.key, _title(one.heading), meaning, "look" if field is None else "open")


def _title(heading: Heading) -> str:
    letter = letters(heading.column + 1)
    return f"{letter}  {printable(heading.text, 80)}" if _is_named(heading) else tr("Column {letter}", letter=letter)


def _is_named(heading: Heading) -> bool:
    """Whether the sheet has words above the column: else it is known by its letter."""
    return fold(heading.text) != f"column {letters(heading.column + 1).lower()}"


def _lines_of(row: ReadRow, found: Preview) -> Iterator[ReadLine]:
    status: Status = "look" if row.unclear else "open"
    number, note = str(row.number), "; ".join(row.notes)
    if not row.lines:
        text = printable(row.text, _MOST)
        yield ReadLine(number, text or shown_word(_BECAME[row.became]), _what(row) if text else "", note, status)
    for at, line in enumerate(row.lines):
        title = printable(f"{line.line}  {line.name}", _MOST)
        yield ReadLine("" if at else number, title, _facts(line, found), "" if at else note, status)


def _what(row: ReadRow) -> str:
    return shown_word(_BECAME[row.became])


def _facts(line: ListLine, found: Preview) -> str:
    level = shown_word(line.level) if line.level else ""
    power = tr("phantom") if line.phantom else ""
    facts = (found.ports[line.line], level, power, line.zone, line.stand, line.note)
    return printable(", ".join(fact for fact in facts if fact), _MOST)
