"""What each end of each cable plugs into. End A is the one nearer the desk, end B the one farther from it."""

from collections.abc import Iterator
from dataclasses import dataclass

from checkapp.rig.codes import Port, known_port
from checkapp.rig.model import Box, Input, Line
from checkapp.rig.rig import Rig
from checkapp.tongue import tr


@dataclass(frozen=True, slots=True)
class Plug:
    """One connection of a cable's end: ``into`` is a port, socket or source in words, ``line`` a line of the show."""

    cable: str
    end: str
    into: str
    way: int = 1
    line: str = ""


def plugs(rig: Rig) -> dict[tuple[str, str], tuple[Plug, ...]]:
    """The connections of every cable's end, by code and end; an end that plugs into nothing is not in it."""
    found: dict[tuple[str, str], list[Plug]] = {}
    for plug in _all(rig):
        found.setdefault((plug.cable, plug.end), []).append(plug)
    return {key: tuple(sorted(these, key=lambda plug: plug.way)) for key, these in found.items()}


def _all(rig: Rig) -> Iterator[Plug]:
    for box in rig.boxes.values():
        if box.cable is not None:
            yield from _of_multicore(rig, box, box.cable) if rig.box_kind(box).passive else _of_hop(rig, box, box.cable)
    for line in rig.lines:
        if line.cable is not None:
            yield Plug(line.cable, "A", line.port, line.way, line.line)
            yield Plug(line.cable, "B", source_words(rig, line), line.way, line.line)


def _of_hop(rig: Rig, box: Box, cable: str) -> Iterator[Plug]:
    yield Plug(cable, "A", socket_before(rig, box))
    yield Plug(cable, "B", f"{box.code} link in")


def socket_before(rig: Rig, box: Box) -> str:
    """The socket that a box's hop comes from: the desk's, an outlet, or ``link out`` of the box before it."""
    chain = rig.chains.get(box.fed_from)
    if chain is None:
        return f"{box.fed_from} link out"
    if chain.start is not None:
        return f"{chain.start} outlet for chain {chain.code}"
    return f"{chain.desk or 'desk'} chain {chain.code}"


def chain_start(rig: Rig, code: str) -> str:
    """What a chain starts at, in the language spoken now: the outlet of a box, or a desk by its name."""
    chain = rig.chains[code]
    return tr("{box} outlet", box=chain.start) if chain.start is not None else chain.desk or tr("desk")


def _of_multicore(rig: Rig, box: Box, cable: str) -> Iterator[Plug]:
    kind = rig.box_kind(box)
    if kind.inputs:
        yield Plug(cable, "A", span(known_port(box.fed_from), kind.inputs))
    if kind.outputs and box.outputs_from is not None:
        yield Plug(cable, "A", span(known_port(box.outputs_from), kind.outputs))
    yield Plug(cable, "B", box.code)


def span(first: Port, count: int) -> str:
    """``SB2 in 1 to 8``, or the port alone when it is one."""
    return str(first) if count == 1 else tr("{first} to {last}", first=first, last=first.number + count - 1)


def source_words(rig: Rig, line: Line) -> str:
    """What stands at the far end of a line: its source's code and kind, or the line's name."""
    if isinstance(line, Input) and line.source is not None:
        kind = rig.sources[line.source].kind
        return f"{line.source}, {kind}" if kind else line.source
    return line.name
