"""Ordered chains as text for a terminal: each with its hops and cables, or why it stays as it is."""

import math
from collections.abc import Iterator, Sequence

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from checkapp.review.chain_order import SLACK_SHARE, ChainOrder, Hop
from checkapp.review.order import MOST_PLACES
from checkapp.review.slots import slot_table
from checkapp.review.wording import listed
from checkapp.rig.errors import printable
from checkapp.rig.model import Cable
from checkapp.rig.units import feet_from_metres
from checkapp.show.ordering import Ordered
from checkapp.tongue.numbers import number


def print_order(found: Ordered) -> None:
    """Print what ordering came to."""
    Console(highlight=False).print(Group(*_parts(found)))


def _parts(found: Ordered) -> Iterator[RenderableType]:
    yield Text(f"{printable(found.rig.name)}: each chain by the shortest way over the stage", style="bold")
    yield Text(f"A hop needs its distance, {SLACK_SHARE:.0%} more, and {found.slack_m:g} m.")
    for chain in found.chains:
        yield Text()
        yield Text(f"chain {chain.chain}: {_answer(chain)}", style="bold")
        yield from _details(found, chain)
    yield Text()
    yield Text(_end(found))


def _answer(chain: ChainOrder) -> str:
    now = f"{number(chain.now_m)} m"
    if chain.state == "shorter":
        order = "with other cables" if _same_order(chain) else "in another order"
        return f"{number(chain.order_m or 0.0)} m {order}; {now} as planned"
    if chain.state == "cables missing":
        return f"{now} as planned; the stock cannot do the shortest way"
    if chain.state == "new stops":
        return f"{now} as planned; the shortest way would not work"
    if chain.state == "no place":
        return "not ordered; places on the stage plan are missing"
    if chain.state == "too many boxes":
        return f"not ordered; it has {len(chain.boxes)} boxes, and orders of up to {MOST_PLACES} are worked out"
    return f"{now} as planned; the stock gives no shorter chain"


def _details(found: Ordered, chain: ChainOrder) -> Iterator[RenderableType]:
    if chain.state == "no place":
        yield Text(f"Give at = [x, y] to {listed(chain.without_place)}.")
    elif chain.state == "kept":
        yield from map(Text, _too_short(chain))
    elif chain.hops:
        yield Padding(_table(chain), (0, 0, 0, 2))
        yield from map(Text, _missing(chain) if chain.missing else _consequences(found, chain))


def _table(chain: ChainOrder) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
    for title in ("hop", "cable", "length", "needs", "distance"):
        table.add_column(title)
    feet = _in_feet(chain)
    for hop in chain.hops:
        code, length = (hop.cable.code, hop.cable.length) if hop.cable else ("none", "")
        needs = _at_least(hop.needed_m, feet=feet)
        table.add_row(*map(Text, (f"{hop.start} to {hop.box}", code, length, needs, f"{hop.distance_m:.1f} m")))
    return table


def _too_short(chain: ChainOrder) -> Iterator[str]:
    """What a chain that stays as planned has to say: cables that do not reach with the slack that was asked for."""
    for hop in chain.now:
        if hop.cable and not hop.reaches:
            needs = _at_least(hop.needed_m, feet=_in_feet(chain))
            cable = f"{hop.cable.code}, from {hop.start} to {hop.box}, has {hop.cable.length}"
            yield f"{cable}; with the slack it needs {needs}."


def _missing(chain: ChainOrder) -> Iterator[str]:
    for hop in chain.missing:
        needs = _at_least(hop.needed_m, feet=_in_feet(chain))
        yield f"Missing: a cable of {needs} or more from {hop.start} to {hop.box}."


def _consequences(found: Ordered, chain: ChainOrder) -> Iterator[str]:
    """What else the new order brings: findings, cables that change places with spares, slots that move."""
    for finding in chain.findings:
        yield printable(f"{finding.level}: {finding.message}", 2000)
    if chain.state != "shorter":
        return
    now, then = ([hop.cable for hop in hops if hop.cable] for hops in (chain.now, chain.hops))
    used, freed = _codes_apart(then, now), _codes_apart(now, then)
    if used:
        yield f"From the spares: {listed(used)}. Set free: {listed(freed)}."
    if slot_table(found.rig, chain.chain) != slot_table(found.new, chain.chain):
        yield f"Slots move with the boxes: patch the desk anew for chain {chain.chain}."


def _codes_apart(cables: Sequence[Cable], others: Sequence[Cable]) -> list[str]:
    return [cable.code for cable in cables if cable not in others]


def _same_order(chain: ChainOrder) -> bool:
    return [hop.box for hop in chain.hops] == list(chain.boxes)


def _end(found: Ordered) -> str:
    if found.written is not None:
        what = "the plan with these changes" if found.edits else "the plan as it is"
        hint = " Its comments are as they were: some may speak of the old order." if found.edits else ""
        return f"{printable(str(found.written))}: {what}.{hint}"
    return "Nothing written; --out FILE writes the changed plan." if found.edits else "Nothing to write."


def _in_feet(chain: ChainOrder) -> bool:
    """Whether the plan writes some of the chain's cables in feet."""
    hops: tuple[Hop, ...] = (*chain.now, *chain.hops)
    return any(hop.cable is not None and hop.cable.written_ft is not None for hop in hops)


def _at_least(length_m: float, *, feet: bool) -> str:
    """A length rounded up to a tenth, in feet as well where the plan writes feet."""
    metres = f"{_up(length_m):g} m"
    return f"{metres} ({_up(feet_from_metres(length_m)):g} ft)" if feet else metres


def _up(value: float) -> float:
    return math.ceil(round(value * 10, 6)) / 10
