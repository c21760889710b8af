"""Every connection that set-up makes: which end of which cable goes into which ports of what, desk outwards."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from checkapp.rig.codes import Port, known_port
from checkapp.rig.ends import socket_before, source_words, span
from checkapp.rig.model import Box, Line
from checkapp.rig.paths import source_of
from checkapp.rig.rig import Rig
from checkapp.tongue import later, shown_word, tr
from checkapp.tongue.numbers import both

Thing = TypeVar("Thing")
DESK_PLACE = later("Desk")
"""Where the desk stands, when the plan gives it no name."""


@dataclass(frozen=True, slots=True)
class Connection:
    """An end of a cable and what all its plugs at one place go into.

    ``at`` names what is scanned or typed there: a box, ``DESK``, ``chain FRONT``, a source, or ``source in 7`` and
    ``load out 2``, which have no tag. ``ports`` are the ports, sockets or items that the plugs go into, ``into`` the
    same in words. ``also`` are further names that stand for what is there: the box that a chain starts at, the lines of
    a source. ``place`` is where on stage that is, as far as the plan tells.
    """

    cable: str
    end: str
    at: str
    ports: tuple[str, ...]
    into: str
    lines: tuple[str, ...] = ()
    place: str = ""
    also: tuple[str, ...] = ()

    def goes(self, there: str) -> bool:
        """Whether the end goes there: into what is scanned or typed so, or into that port."""
        return there == self.at or there in self.ports or there in self.also

    @property
    def subject(self) -> str:
        """The cable's end as it is printed large on its tag and written in the log: ``HP01 A``."""
        return f"{self.cable} {self.end}"


def shown_place(place: str) -> str:
    """A place on stage as it is shown: that of a desk without a name is said in the language spoken now."""
    return shown_word(place) if place == DESK_PLACE else place


def connections(rig: Rig) -> tuple[Connection, ...]:
    """All connections of a rig: chain by chain from the desk outwards the hops, then boxes' multicores, then lines."""
    return (*_hops(rig), *_multicores(rig), *_lines(rig))


def _hops(rig: Rig) -> Iterator[Connection]:
    for code in rig.chains:
        for box in rig.boxes_on(code):
            yield _near_end(rig, box)
            socket = f"{box.code} link in"
            yield Connection(box.cable or "", "B", box.code, (socket,), socket, place=_place(rig, box.code))


def _near_end(rig: Rig, box: Box) -> Connection:
    """End A of a box's hop: at the desk, at an outlet, or at the box before."""
    into, cable = socket_before(rig, box), box.cable or ""
    chain = rig.chains.get(box.fed_from)
    if chain is None:
        return Connection(cable, "A", box.fed_from, (into,), into, place=_place(rig, box.fed_from))
    name = f"chain {chain.code}"
    if chain.start is None:
        return Connection(cable, "A", name, (name,), into, place=chain.desk or DESK_PLACE)
    return Connection(cable, "A", name, (name,), into, place=_place(rig, chain.start), also=(chain.start,))


def _multicores(rig: Rig) -> Iterator[Connection]:
    for box in rig.boxes.values():
        kind = rig.box_kind(box)
        if not kind.passive or box.cable is None:
            continue
        spans = ((box.fed_from, kind.inputs), (box.outputs_from, kind.outputs))
        runs = [(known_port(first), count) for first, count in spans if first and count]
        for code, group in _by(runs, lambda run: run[0].code):
            ports = tuple(str(port.plus(way)) for port, count in group for way in range(count))
            into = both([span(port, count) for port, count in group])
            yield Connection(box.cable, "A", code, ports, into, place=_place(rig, code))
        yield Connection(box.cable, "B", box.code, (box.code,), box.code, place=_place(rig, box.code))


def _lines(rig: Rig) -> Iterator[Connection]:
    by_cable = _by([line for line in rig.lines if line.cable is not None], lambda line: line.cable or "")
    for cable, lines in by_cable:
        for code, near in _by(lines, lambda line: known_port(line.port).code):
            ports = tuple(line.port for line in near)
            yield Connection(cable, "A", code, ports, _into(near), _named(near), _place(rig, code))
        for at, far in _by(lines, lambda line: source_of(line).name):
            place = next((line.zone for line in far if line.zone), _place(rig, known_port(far[0].port).code))
            into = _from(rig, far)
            yield Connection(cable, "B", at, (at,), into, _named(far), place, _named(far))


def _into(lines: Sequence[Line]) -> str:
    """The ports of lines on one cable at one box, in the order of its ways: ``DRUM in 1 to 4, in 6 to 7``."""
    ports = [known_port(line.port) for line in sorted(lines, key=lambda line: line.way)]
    runs: list[list[Port]] = []
    for port in ports:
        if runs and runs[-1][-1].plus(1) == port:
            runs[-1].append(port)
        else:
            runs.append([port])
    words = [span(run[0], len(run)) for run in runs]
    return ", ".join([words[0], *(one.removeprefix(f"{ports[0].code} ") for one in words[1:])])


def _from(rig: Rig, lines: Sequence[Line]) -> str:
    """What is at the far end of lines on one cable, with their ways likewise."""
    words = source_words(rig, lines[0])
    ways = ", ".join(str(line.way) for line in lines)
    return f"{words}, {tr('way {way}', way=ways)}" if _has_ways(rig, lines[0]) else words


def _has_ways(rig: Rig, line: Line) -> bool:
    return line.cable is not None and rig.cable_kind(rig.cables[line.cable]).ways > 1


def _named(lines: Sequence[Line]) -> tuple[str, ...]:
    return tuple(line.line for line in lines)


def _place(rig: Rig, code: str) -> str:
    box = rig.boxes.get(code)
    if box is None:
        return next((chain.desk for chain in rig.chains.values() if chain.desk), DESK_PLACE)
    return box.place or code


def _by(things: Iterable[Thing], key: Callable[[Thing], str]) -> list[tuple[str, list[Thing]]]:
    """The things in groups of one key each, groups and things in the order in which they come."""
    found: dict[str, list[Thing]] = {}
    for thing in things:
        found.setdefault(key(thing), []).append(thing)
    return list(found.items())
