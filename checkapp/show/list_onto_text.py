"""A list that was put on a rig, as text for a terminal: the list row by row, the re-plugs, what found no port."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from rich.console import Console

from checkapp.review.summary import counted
from checkapp.rig.errors import printable
from checkapp.show.comparing_text import print_compared
from checkapp.show.plan_importing_text import list_lines

if TYPE_CHECKING:
    from checkapp.show.list_onto import Onto


def print_onto(done: Onto) -> None:
    """Print what the list came to, and the work that it makes."""
    console = Console()
    ports = {f"{one.wanted.direction} {one.wanted.number}": str(one.port or "no port") for one in done.placed}
    console.out("\n".join(list_lines(replace(done.found, ports=ports))), highlight=False)
    print_compared(done.compared)
    console.out("\n".join(["", *_end(done)]), highlight=False)


def _end(done: Onto) -> Iterator[str]:
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
    stay = sum(one.stays for one in done.placed)
    yield f"{counted(stay, 'line')} stay, {done.replugs} to plug, {done.gone} of before gone."
    if done.written is None:
        yield "Nothing written: strict, and not everything was understood or found a port."
    else:
        yield f"{printable(str(done.written))}: the plan with the new list."
