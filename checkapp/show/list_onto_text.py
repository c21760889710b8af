"""A list that was put on a rig, as text for a terminal: the list row by row, the re-plugs, what found no port."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from rich.console import Console

from checkapp.rig.errors import printable
from checkapp.show.comparing_text import print_compared
from checkapp.show.onto_words import stays_words, what_to_mind
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
    yield from what_to_mind(done)
    yield stays_words(done)
    if done.written is None:
        yield "Nothing written: strict, and not everything was understood or found a port."
    else:
        yield f"{printable(str(done.written))}: the plan with the new list."
