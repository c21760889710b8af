"""Two plans compared, as text for a terminal: the work in its order, and the lines to check again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from checkapp.changeover.words import STEP_WORDS, reason_words, row
from checkapp.review.summary import counted
from checkapp.rig.errors import printable
from checkapp.show.comparing import Compared, cautions, span_words

if TYPE_CHECKING:
    from checkapp.changeover.again import Again
    from checkapp.changeover.difference import Step
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig


def print_compared(found: Compared) -> None:
    """Print what lies between two plans."""
    Console(highlight=False).print(Group(*_parts(found)))


def _parts(found: Compared) -> Iterator[RenderableType]:
    if found.same:
        yield Text(f"Nothing has changed between {_file(found.old)} and {_file(found.new)}. No line to check again.")
        return
    yield Text(f"From {_rig(found.old)} to {_rig(found.new)}", style="bold")
    for caution in cautions(found):
        yield Text()
        yield Text(caution)
    for step in found.work:
        rows = list(_rows(found, step))
        if rows:
            yield Text()
            yield Text(STEP_WORDS[step], style="bold")
            yield Padding(_table(("what", "", "was", "becomes"), rows), (0, 0, 0, 2))
    yield Text()
    yield from _check(found)


def _rows(found: Compared, step: Step) -> Iterator[tuple[str, ...]]:
    """The changes of a step; first of all the lines that another line's plug waits for."""
    if step == "unplug":
        for line in found.blocking:
            yield f"{line.line} {line.name}", "in the way", line.port, ""
    for change in found.work[step]:
        yield row(found.old, found.new, change)


def _check(found: Compared) -> Iterator[RenderableType]:
    if not found.again:
        yield Text("No line has to be checked again: all run as before.", style="bold")
        return
    number = len(found.again)
    these = f"these {counted(number, 'line')}" if number > 1 else "this line"
    yield Text(f"Check {these} again, before the others", style="bold")
    yield Padding(_table(("lines", "why"), list(_groups(found.again))), (0, 0, 0, 2))


def _groups(again: Sequence[Again]) -> Iterator[tuple[str, str]]:
    """Lines that are checked for the same reasons together; one alone with its name."""
    groups: defaultdict[tuple[str, ...], list[Line]] = defaultdict(list)
    for one in again:
        groups[tuple(map(reason_words, one.reasons))].append(one.line)
    for reasons, lines in groups.items():
        name = f" {lines[0].name}" if len(lines) == 1 else ""
        yield span_words(lines) + name, "; ".join(reasons)


def _table(titles: Sequence[str], rows: Sequence[Sequence[str]]) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
    for title in titles:
        table.add_column(title, overflow="fold")
    for cells in rows:
        table.add_row(*(Text(printable(cell, 2000)) for cell in cells))
    return table


def _rig(rig: Rig) -> str:
    version = "" if rig.version is None else f" version {rig.version}"
    return f"{printable(rig.name)}{version} ({_file(rig)})"


def _file(rig: Rig) -> str:
    return printable(rig.file)
