"""A card as text for a terminal."""

from collections.abc import Iterator

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from checkapp.rig.errors import printable
from checkapp.show.card import Card


def print_card(card: Card) -> None:
    """Print a card."""
    Console(highlight=False).print(Group(*_parts(card)))


def _parts(card: Card) -> Iterator[RenderableType]:
    yield Text(f"{card.item}  {printable(card.title)}", style="bold")
    if card.tags:
        yield Text(f"tag{'s' if len(card.tags) > 1 else ''} {', '.join(card.tags)}")
    for words in card.cautions:
        yield Text(words, style="yellow")
    for section in card.sections:
        yield from _block(section.title, section.rows)
    findings = tuple((row.level, row.where, f"{row.message} {row.remedy}".strip()) for row in card.findings)
    yield from _block("findings", findings)
    yield from _block("before", card.history)


def _block(title: str, rows: tuple[tuple[str, ...], ...]) -> Iterator[RenderableType]:
    if not rows:
        return
    yield Text()
    yield Text(title, style="bold")
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for row in rows:
        table.add_row(*(Text(printable(cell, 2000)) for cell in row))
    yield Padding(table, (0, 0, 0, 2))
