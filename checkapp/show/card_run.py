"""Where the scanned thing sits: the run of its line or of its chain, with that thing marked."""

from collections.abc import Iterator
from dataclasses import replace

from checkapp.rig.codes import Port
from checkapp.rig.model import Box, Item, Line
from checkapp.rig.paths import port_way
from checkapp.rig.rig import Rig
from checkapp.show.views import RunItem
from checkapp.show.walk import run_of
from checkapp.tongue import shown_names, tr

Run = tuple[RunItem, ...]


def line_run(rig: Rig, line: Line, here: str = "") -> Run:
    """The path of a line, with the item ``here`` marked."""
    return _marked(run_of(rig, line), here)


def box_run(rig: Rig, box: Box, here: str) -> Run:
    """The whole chain of a box, from its last box to the desk; of a passive box its own way to the desk."""
    if rig.box_kind(box).passive:
        kind = rig.box_kind(box)
        first = Port(box.code, "in" if kind.inputs else "out", 1)
        items = [item for item in port_way(rig, first) if item.name != str(first)]
        return _marked(_drawn(items), here)
    return chain_run(rig, rig.chain_of(box.code) or "", here)


def chain_run(rig: Rig, chain: str, here: str = "") -> Run:
    """A chain from its last box to the desk, and on over the chain at whose box it starts."""
    return _marked(_drawn(_along(rig, chain)), here)


def _along(rig: Rig, chain: str) -> Iterator[Item]:
    for box in reversed(rig.boxes_on(chain)):
        yield Item(box.code, "box")
        if box.supply is not None:
            yield Item(box.supply, "supply")
        yield Item(box.cable or "", "hop")
    yield Item(f"chain {chain}", "chain")
    start = rig.chains[chain].start
    if start is not None:
        yield from [item for item in port_way(rig, Port(start, "in", 1)) if item.kind != "port"]


def _drawn(items: Iterator[Item] | list[Item]) -> Run:
    run = tuple(RunItem(item.name, item.kind, shown_names(item.name)) for item in items)
    return (*run, RunItem("DESK", "desk", tr("desk")))


def _marked(run: Run, here: str) -> Run:
    return tuple(replace(item, status="next") if item.name == here else item for item in run)
