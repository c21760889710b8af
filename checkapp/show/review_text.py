"""The plan review as text for a terminal: findings worst first, then the chains in figures."""

from collections.abc import Iterator

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from checkapp.review.report import ChainReview
from checkapp.rig.errors import printable
from checkapp.rig.rig import Rig
from checkapp.show.reviewing import Reviewed, cautions_of, detail_of, summary_of

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
    for words in cautions_of(found.rig):
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


def chain_cells(rig: Rig, chain: ChainReview) -> tuple[str, ...]:
    """A chain in figures, each against its limit where the plan gives one."""
    limits = rig.link_kind(rig.chains[chain.code])
    power: str = chain.power.state
    first = next((source for source in chain.power.sources if source.flow), None)
    if first is not None and first.flow is not None:
        power = f"{power}, {first.flow.source_amps:.2f} of {limits.max_amps:g} A"
    volts = [box.volts for box in chain.power.boxes if box.volts is not None]
    return (
        chain.code,
        f"{chain.length_m:.4g} of {limits.max_length_m:g} m",
        _of(chain.boxes, limits.max_boxes),
        _of(chain.channels_used, limits.max_channels),
        power,
        f"{min(volts):.2f} V" if volts else "",
    )


def _of(value: int, limit: int | None) -> str:
    return f"{value} of {limit}" if limit is not None else str(value)
