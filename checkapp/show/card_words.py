"""What all cards have in common: their tags, the lines through an item, the cautions that belong to it."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from checkapp.rig.model import Input, Line
from checkapp.rig.rig import Rig
from checkapp.show.card import Rows
from checkapp.show.cautions import MUTE, PHANTOM
from checkapp.tongue import shown_word, tr

MOST_ROWS = 12
"""More lines than that are told as spans."""


def tags_of(rig: Rig, code: str, end: str = "") -> tuple[str, ...]:
    """The lasting tags of a code, or that of one end."""
    return tuple(tag.text for tag in rig.tags if tag.code == code and end in ("", tag.end))


def lines_through(rig: Rig, item: str) -> tuple[Line, ...]:
    """The lines whose path holds the item."""
    return tuple(line for line in rig.lines if any(item == on_path.name for on_path in rig.path(line.line)))


def lines_rows(lines: Sequence[Line]) -> Rows:
    """Lines with their names, ports and zones; many as spans."""
    if len(lines) > MOST_ROWS:
        return ((f"{len(lines)}: {', '.join(spans(lines))}",),)
    return tuple((line.line, line.name, line.port, line.zone or "") for line in lines)


def spans(lines: Sequence[Line]) -> Iterator[str]:
    """Lines in a row as ``in 1 to 23``."""
    for _, run in groupby(enumerate(lines), lambda pair: (isinstance(pair[1], Input), pair[1].number - pair[0])):
        these = [line for _, line in run]
        first = these[0].line
        yield tr("{first} to {last}", first=first, last=these[-1].number) if len(these) > 1 else first


def phantom_of(lines: Sequence[Line]) -> str:
    """The caution for lines of which one needs phantom power; empty for others."""
    return shown_word(PHANTOM) if any(isinstance(line, Input) and line.phantom for line in lines) else ""


def caution_of(lines: Sequence[Line]) -> str:
    """What to mind before these lines are plugged; empty for none."""
    return phantom_of(lines) or (shown_word(MUTE) if lines else "")


def joined(*words: str | None, by: str = ", ") -> str:
    """The words that are there."""
    return by.join(word for word in words if word)
