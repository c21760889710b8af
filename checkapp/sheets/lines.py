"""One row of a list as one or more lines of a rig, with all that was guessed and all that was not understood."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

from checkapp.rig.codes import Direction
from checkapp.rig.words import Level
from checkapp.sheets.cells import (
    LONGEST_TEXT,
    Numbers,
    Plugged,
    guess_level,
    phantom_beside,
    read_level,
    read_phantom,
    read_plugged,
)
from checkapp.sheets.heading_words import Field
from checkapp.sheets.headings import fold
from checkapp.tongue import shown_word, tr

Cells = Mapping[Field, str]
"""The texts of a row by what their columns are; a field without a column is missing."""

_ENDS = re.compile(
    r"(?P<stem>.*?)[ \-_(\[\x22']*\b(?P<ends>l *[/+&|,\- ] *r|l & r|li *[/+&] *re|g *[/+&] *d)\b[)\]\x22' ]*",
    re.IGNORECASE,
)
_STEREO = re.compile(
    r"[ \-_(\[]*\b(?:stereo|st(?=\.|\b)|stéréo|estereo|estéreo|pair|paar|paire)\b\.?[)\] ]*", re.IGNORECASE
)
_FIGURES = re.compile(r"(?P<stem>.*?)(?P<first>\d+) *(?:[-–/+&]|to|bis|tot) *(?P<last>\d+)(?P<rest>\D*)")


@dataclass(frozen=True, slots=True)
class ListLine:
    """A line as a list gives it. ``level`` is None for an output; ``plugged``: where, if the list says so."""

    direction: Direction
    number: int
    name: str
    level: Level | None = None
    phantom: bool = False
    zone: str = ""
    stand: str = ""
    note: str = ""
    plugged: Plugged | None = None

    @property
    def line(self) -> str:
        """``in 7``."""
        return f"{self.direction} {self.number}"


@dataclass(slots=True)
class Told:
    """What is to be said of a row: ``notes`` are what was guessed, ``unclear`` what was not understood.

    ``guessed``: a level is guessed from the word of a source.
    """

    notes: list[str] = field(default_factory=list)
    unclear: list[str] = field(default_factory=list)
    guessed: bool = False


def one_line(text: str) -> str:
    """A cell's text on one line, without control characters; "" when there is nothing in it that shows."""
    if text.isprintable() and "  " not in text:
        return text.strip()
    plain = " ".join("".join(" " if unicodedata.category(c) in ("Cc", "Cs") else c for c in text).split())
    return plain if any(c.isprintable() for c in plain) else ""


def says_something(text: str) -> bool:
    """Whether a cell holds more than a dash or dots, which stand for nothing."""
    return bool(text.strip("-–—.… "))


def lines_of(cells: Cells, numbers: Numbers, direction: Direction, zone: str, told: Told) -> tuple[ListLine, ...]:
    """The lines of a row that has a number and a name or source; ``zone`` is that of the section it stands in.

    What cannot be understood is left out of the lines and said in ``told``.
    """
    if numbers.said:
        told.notes.append(numbers.said)
    if numbers.direction and numbers.direction != direction:
        direction = numbers.direction
    names = _names(_name(cells, told), numbers, told)
    level = _level(cells, told) if direction == "in" else None
    phantom = _phantom(cells, told) if direction == "in" else False
    plugged = _plugged(cells, numbers.count, told)
    texts = {key: _text(cells.get(key, ""), key, told) for key in ("zone", "stand")}
    note = _note(cells, direction, told)
    if direction == "out" and texts["stand"]:
        note = "; ".join(filter(None, (note, texts["stand"])))
    return tuple(
        ListLine(
            direction,
            numbers.first + at,
            name,
            level,
            phantom,
            texts["zone"] or zone,
            texts["stand"] if direction == "in" else "",
            note,
            plugged and Plugged(plugged.code, plugged.port + at),
        )
        for at, name in enumerate(names)
    )


def _text(text: str, what: str, told: Told) -> str:
    """A text as it stands, cut where it is longer than anybody can show."""
    if len(text) <= LONGEST_TEXT:
        return text
    told.unclear.append(
        tr("{what} has {count} characters: cut at {most}", what=shown_word(what), count=len(text), most=LONGEST_TEXT)
    )
    return text[: LONGEST_TEXT - 3].rstrip() + "..."


def _name(cells: Cells, told: Told) -> str:
    name = _text(cells.get("name", ""), "name", told)
    if says_something(name):
        return name
    source = _text(cells.get("source", ""), "source", told)
    told.notes.append(tr("no name: named by its source"))
    return source


def _names(name: str, numbers: Numbers, told: Told) -> tuple[str, ...]:
    """A name for each line of a range: ends of a pair, running figures, or the name with a count."""
    if numbers.count == 1:
        return (name,)
    ends = _ENDS.fullmatch(name)
    mono = " ".join(_STEREO.sub(" ", name).split()) or name
    figures = _FIGURES.fullmatch(name)
    if figures and int(figures["last"]) - int(figures["first"]) + 1 == numbers.count:
        first, rest = int(figures["first"]), figures["rest"].rstrip()
        return tuple(f"{figures['stem']}{first + at}{rest}" for at in range(numbers.count))
    if numbers.count == 2 and ends:
        left, right = _sides(ends["ends"])
        return (f"{ends['stem']} {left}".strip(), f"{ends['stem']} {right}".strip())
    if numbers.count == 2 and (numbers.pair or mono != name):
        told.notes.append(tr("a pair: {name} L and R", name=mono))
        return (f"{mono} L", f"{mono} R")
    told.notes.append(tr("{count} lines of one row, counted", count=numbers.count))
    return tuple(f"{name} {at + 1}" for at in range(numbers.count))


def _sides(ends: str) -> tuple[str, str]:
    left, right = re.split(r"[^a-z]+", ends, maxsplit=1, flags=re.IGNORECASE)
    return left, right


def _level(cells: Cells, told: Told) -> Level:
    written = cells.get("level", "")
    level = read_level(written) if written else None
    if level:
        return level
    guess = guess_level(cells.get("source", ""))
    if written and not guess:
        told.unclear.append(tr('level "{level}" is none of mic, line, instrument: taken as mic', level=_short(written)))
        return "mic"
    if written:
        told.unclear.append(tr('level "{level}" is none of mic, line, instrument', level=_short(written)))
    if guess is None:
        told.notes.append(tr("level mic: nothing says otherwise"))
        return "mic"
    told.notes.append(tr('level {level}, guessed from "{word}"', level=shown_word(guess[0]), word=guess[1]))
    told.guessed = True
    return guess[0]


def _phantom(cells: Cells, told: Told) -> bool:
    beside = next((key for key in ("source", "note", "level", "name") if phantom_beside(cells.get(key, ""))), None)
    if "phantom" not in cells:
        if beside:
            told.notes.append(tr("phantom: the {column} asks for it", column=shown_word(beside)))
        return beside is not None
    written = cells["phantom"]
    wanted = read_phantom(written)
    if wanted is None:
        told.unclear.append(tr('phantom "{phantom}" not understood: planned without', phantom=_short(written)))
    elif beside and not wanted:
        told.unclear.append(
            tr(
                "phantom: the {column} asks for it, its own column does not: planned without",
                column=shown_word(beside),
            )
        )
    return bool(wanted)


def _plugged(cells: Cells, count: int, told: Told) -> Plugged | None:
    box, port = cells.get("box", ""), cells.get("port", "")
    if not says_something((box + port).replace("/", "")):
        return None
    if box.isdecimal() and "port" not in cells:
        box, port = "", box  # a column of ports of a box that has no name
    found, span = read_plugged(box, port), None
    if found is None and count > 1:
        span = re.fullmatch(r"(.*\d) *(?:[-–/+&,]|to|bis|tot) *(\d+)", port or box)
        found = span and (read_plugged(box, span[1]) if port else read_plugged(span[1], ""))
    elif count > 1:
        span = re.fullmatch(r"(.*?\d+) *[-–/+&] *(\d+)", box) if not port else None
        first = span and read_plugged(span[1], "")
        found = first if span and first and int(span[2]) - first.port + 1 == count else found
    if found and box and "box" in fold(box).split() and "BOX" not in found.code:
        told.notes.append(tr('box "{box}" is {code} here', box=_short(box), code=found.code))
    if found is None:
        said = _short(" ".join(filter(None, (box, port))))
        told.unclear.append(tr('port "{port}" not understood: put on the desk', port=said))
    return found or None


def _note(cells: Cells, direction: Direction, told: Told) -> str:
    source = _text(cells.get("source", ""), "source", told) if cells.get("name") else ""
    note = _text(cells.get("note", ""), "note", told)
    parts = [source, note]
    if direction == "out":
        parts += [f"{key} {cells[key]}" for key in ("phantom", "level") if cells.get(key)]
    return "; ".join(part for part in parts if says_something(part))


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."
