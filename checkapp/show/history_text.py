"""The history for a terminal: the worst items first, then kinds and spares."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

from checkapp.history.carried import carried, not_told
from checkapp.history.conclusions import NOTHING, WHAT_TO_DO, headline, is_empty
from checkapp.review.summary import counted
from checkapp.rig.errors import printable

if TYPE_CHECKING:
    from checkapp.history.analysis import History, ItemRow, KindRow

MOST_ROWS: Final = 20
"""So many items are printed, the worst of them."""


def print_history(found: History) -> None:
    """Print the history in tables no wider than the terminal, 80 columns where there is none."""
    from rich.console import Console

    console = Console(highlight=False, soft_wrap=False)
    if is_empty(found):
        console.print(NOTHING, WHAT_TO_DO, sep="\n", markup=False)
        return
    console.print(headline(found), markup=False)
    shown = [row for row in found.items if row.life.faults or row.advice != "keep"][:MOST_ROWS]
    console.print(_table(("item", "faults", "a check", "90 %", "trend", "advice", "why"), map(item_cells, shown)))
    rest = len(found.items) - len(shown)
    if rest:
        console.print(f"and {counted(rest, 'other item')}; all of them: --json", markup=False)
    console.print(_table(("kind", "items", "checks", "faults", "a check"), map(kind_cells, found.kinds)))
    for line in spares_lines(found):
        console.print(line, markup=False)


def item_cells(row: ItemRow) -> tuple[str, ...]:
    """An item: name, faults of its checks, rate and interval, trend, advice and its reason."""
    low_high = "-" if row.low is None or row.high is None else f"{row.low:.3f} to {row.high:.3f}"
    faults = f"{len(row.life.faults)} of {row.life.exposures}"
    return printable(row.life.item, 24), faults, _rate(row.rate), low_high, row.trend.word, row.advice, row.why


def kind_cells(row: KindRow) -> tuple[str, ...]:
    """A kind: how many items, exposures and faults, and the rate of one of which nothing is known."""
    return row.kind, str(row.items), str(row.exposures), str(row.faults), _rate(row.rate)


def spares_lines(found: History) -> tuple[str, ...]:
    """How many spares of each kind to carry, in words."""
    rows = carried(found)
    if not rows:
        return (f"spares: {not_told(found)}",)
    leg = f"{counted(rows[0].shows, 'show')}, enough at {100 * rows[0].level:g} %"
    told = ", ".join(f"{row.kind} {row.count}" for row in rows if row.count)
    return (f"spares for {leg}: {told or 'none'}",)


def _rate(rate: float | None) -> str:
    if rate is None:
        return "-"
    return "<0.001" if 0 < rate < 0.001 else f"{rate:.3f}"


def _table(titles: Sequence[str], rows: Iterable[Sequence[str]]) -> object:
    from rich.table import Table

    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="")
    for title in titles:
        is_number = title in ("faults", "items", "checks", "a check")
        table.add_column(title, justify="right" if is_number else "left", no_wrap=is_number or title == "90 %")
    for row in rows:
        table.add_row(*row)
    return table
