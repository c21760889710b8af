"""A list that was put on a rig, in sentences: what found no port, what is elsewhere, what stays."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from checkapp.rig.errors import printable
from checkapp.tongue import shown_word, tr, trn

if TYPE_CHECKING:
    from checkapp.changeover.onto import Placed
    from checkapp.show.list_onto import Onto


def what_to_mind(done: Onto) -> Iterator[str]:
    """The lines without a port, those that are not where the list has them, the inserts that are left out."""
    yield from map(_no_port, done.unplaced)
    yield from map(_elsewhere, done.elsewhere)
    for insert in done.dropped:
        yield tr("Insert {name} is left out: its input does not go on.", name=printable(insert.name, 60))


def stays_words(done: Onto) -> str:
    """How many lines stay, are plugged and are gone."""
    stay = sum(one.stays for one in done.placed)
    return trn(
        "{count} line stay, {plugged} to plug, {gone} of before gone.",
        "{count} lines stay, {plugged} to plug, {gone} of before gone.",
        stay,
        plugged=done.replugs,
        gone=done.gone,
    )


def _no_port(one: Placed) -> str:
    line, level = _line(one), one.wanted.level
    if level and one.wanted.phantom:
        return tr(
            "No port for {line}: no free one that takes {level} level with phantom power.",
            line=line,
            level=shown_word(level),
        )
    if level:
        return tr("No port for {line}: no free one that takes {level} level.", line=line, level=shown_word(level))
    return tr("No port for {line}: no free one.", line=line)


def _elsewhere(one: Placed) -> str:
    line, level, wanted, port = _line(one), one.wanted.level, one.wanted.port, one.port
    if level:
        return tr(
            "The list has {line} in {wanted}, which is not there, taken or takes no {level} level: {port} instead.",
            line=line,
            wanted=wanted,
            level=shown_word(level),
            port=port,
        )
    return tr(
        "The list has {line} in {wanted}, which is not there or taken: {port} instead.",
        line=line,
        wanted=wanted,
        port=port,
    )


def _line(one: Placed) -> str:
    return f"{one.wanted.direction} {one.wanted.number} {printable(one.wanted.name, 60)}"
