"""A list that was put on a rig, in sentences: what found no port, what is elsewhere, what stays."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from checkapp.review.summary import counted
from checkapp.rig.errors import printable

if TYPE_CHECKING:
    from checkapp.show.list_onto import Onto


def what_to_mind(done: Onto) -> Iterator[str]:
    """The lines without a port, those that are not where the list has them, the inserts that are left out."""
    for one in done.unplaced:
        needs = " with phantom power" if one.wanted.phantom else ""
        level = f" that takes {one.wanted.level} level{needs}" if one.wanted.level else needs
        line = f"{one.wanted.direction} {one.wanted.number} {printable(one.wanted.name, 60)}"
        yield f"No port for {line}: no free one{level}."
    for one in done.elsewhere:
        line = f"{one.wanted.direction} {one.wanted.number} {printable(one.wanted.name, 60)}"
        takes = f" or takes no {one.wanted.level} level" if one.wanted.level else ""
        why = f"is not there, taken{takes}" if takes else "is not there or taken"
        yield f"The list has {line} in {one.wanted.port}, which {why}: {one.port} instead."
    for insert in done.dropped:
        yield f"Insert {printable(insert.name, 60)} is left out: its input does not go on."


def stays_words(done: Onto) -> str:
    """How many lines stay, are plugged and are gone."""
    stay = sum(one.stays for one in done.placed)
    return f"{counted(stay, 'line')} stay, {done.replugs} to plug, {done.gone} of before gone."
