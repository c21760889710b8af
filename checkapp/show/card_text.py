"""A card as text for a terminal."""

from collections.abc import Iterator

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from checkapp.rig.errors import printable
from checkapp.show.card import Card, Rows, Section


def print_card(card: Card) -> None:
    """Print a card."""
    Console(highlight=False).print(Group(*_parts(card)))


def _parts(card: Card) -> Iterator[RenderableType]:
    yield Text(f"{card.code}  {printable(card.title)}", style="bold")
    if card.tags:
        yield Text(f"tag{'s' if len(card.tags) > 1 else ''} {', '.join(card.tags)}")
    for words in (card.instead, card.said):
        if words:
            yield Text(printable(words), style="bold")
    for words in card.cautions:
        yield Text(words, style="yellow")
    for section in card.sections:
        rows = _rows(section)
        apart = [bool(one.hint) for one in section.connectors] or [False] * len(rows)
        links = tuple(row for row, hinted in zip(rows, apart, strict=True) if hinted)
        others = tuple(row for row, hinted in zip(rows, apart, strict=True) if not hinted)
        yield from _block(section.title, links, others, note=section.note)
    findings = tuple((row.level, row.where, f"{row.message} {row.remedy}".strip()) for row in card.findings)
    yield from _block("findings", findings)
    yield from _block("before", card.history)


def _rows(section: Section) -> Rows:
    """The rows of a section, each with how it stands where anything is known of that."""
    known = [(one.status, one.said) for one in section.connectors] or [(status, "") for status in section.status]
    if all(status == "open" for status, _ in known):
        return section.rows
    said = (", ".join(word for word in pair if word) for pair in known)
    return tuple((*row, words) for row, words in zip(section.rows, said, strict=True))


def _block(title: str, *tables: Rows, note: str = "") -> Iterator[RenderableType]:
    """A heading and tables below it; nothing for no rows at all."""
    if not any(tables):
        return
    yield Text()
    yield Text(title, style="bold")
    for rows in tables:
        if rows:
            yield Padding(_table(rows), (0, 0, 0, 2))
    if note:
        yield Text(f"  {printable(note)}")


def _table(rows: Rows) -> Table:
    """Rows as a table; columns that are empty throughout are left out."""
    kept = [n for n in range(max(map(len, rows))) if any(row[n : n + 1] not in ((), ("",)) for row in rows)]
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for row in rows:
        table.add_row(*(Text(printable(row[n], 2000) if n < len(row) else "") for n in kept))
    return table
