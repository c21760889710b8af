"""The plan review as text for a terminal: findings worst first, then the chains in figures."""

from collections.abc import Iterator

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from checkapp.review.report import ChainReview
from checkapp.review.summary import cautions_of, chain_cells, detail_of, summary_of
from checkapp.rig.errors import printable
from checkapp.rig.rig import Rig
from checkapp.show.reviewing import Reviewed

_STYLES = {"stop": "bold red", "caution": "yellow", "note": "cyan"}


def print_review(found: Reviewed) -> None:
    """Print the review of a rig."""
    console = Console(highlight=False)
    console.print(Group(*_parts(found)))


def _parts(found: Reviewed) -> Iterator[RenderableType]:
    yield Text(f"{printable(found.rig.name)}: {summary_of(found.review)}", style="bold")
    yield Text(detail_of(found.rig))
    if found.review.findings:
        yield Text()
        yield _findings(found)
    yield Text()
    yield _chains(found.rig, found.review.chains)
    for words in cautions_of(found.rig, found.review):
        yield Text()
        yield Text(words)


def _findings(found: Reviewed) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    table.add_column(no_wrap=True)
    table.add_column(no_wrap=True)
    table.add_column(overflow="fold")
    for finding in found.review.findings:
        level = Text(finding.level, style=_STYLES[finding.level])
        said = Text(printable(finding.message, 2000))
        if finding.remedy:
            said.append(f"\n{printable(finding.remedy, 2000)}", style="dim")
        table.add_row(level, Text(printable(finding.where)), said)
    return table


def _chains(rig: Rig, chains: tuple[ChainReview, ...]) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
    for title in ("chain", "length", "boxes", "slots", "link power", "lowest"):
        table.add_column(title)
    for chain in chains:
        table.add_row(*(Text(cell) for cell in chain_cells(rig, chain)))
    return table
