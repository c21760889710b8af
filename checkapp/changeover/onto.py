"""A new list of lines put on the boxes of a rig that stands: as few re-plugs as can be.

Every line gets one free port of its direction on a box that takes its level and gives its phantom power; no port gets
two. What is minimised, in this order: lines left without a port, re-plugs, lines on a box where nobody of their zone
is, ports that a line that has gone still sits on, and ports far down the boxes in the plan's order. That is an
assignment problem, solved exactly (Kuhn, Naval Research Logistics Quarterly 2, 1955; from memory) by SciPy. Lines that
it leaves free to change places come in the order of the list.

A line goes on where a line of the same name was; it is re-plugged unless it stays in its port. Every other line is
plugged anew, wherever it goes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from checkapp.changeover.pairing import same_name
from checkapp.rig.codes import DESK, Port, known_port
from checkapp.rig.occupied import ports_used

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from checkapp.rig.codes import Direction
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import Level

    Costs = NDArray[np.float64]


class NewLine(NamedTuple):
    """A line of the new list. ``level`` is None where the list does not say it, and for outputs.

    ``port``: where the list says that it is plugged, if the rig has such a port; taken where it takes the line, and of
    several lines that name it by the first.
    """

    direction: Direction
    number: int
    name: str
    level: Level | None = None
    phantom: bool = False
    zone: str | None = None
    port: Port | None = None


class Placed(NamedTuple):
    """A line of the new list with its port (None: there is none for it), and the old line that goes on as it."""

    wanted: NewLine
    port: Port | None
    old: Line | None

    @property
    def stays(self) -> bool:
        """Whether nothing is plugged for it."""
        return self.old is not None and self.port == known_port(self.old.port)


def placed_onto(rig: Rig, lines: Sequence[NewLine]) -> tuple[Placed, ...]:
    """Each of the lines with its port, in the order given."""
    found: dict[int, Placed] = {}
    for direction in ("in", "out"):
        numbered = [(at, one) for at, one in enumerate(lines) if one.direction == direction]
        placed = _placed(rig, direction, [one for _, one in numbered])
        found.update((at, one) for (at, _), one in zip(numbered, placed, strict=True))
    return tuple(found[at] for at in range(len(lines)))


def replugs(placed: Sequence[Placed]) -> int:
    """How many of the lines have to be plugged."""
    return sum(one.port is not None and not one.stays for one in placed)


def gone(rig: Rig, placed: Sequence[Placed]) -> tuple[Line, ...]:
    """The lines of the rig that do not go on."""
    kept = {one.old.line for one in placed if one.old is not None}
    return tuple(line for line in rig.lines if line.line not in kept)


def _placed(rig: Rig, direction: Direction, lines: Sequence[NewLine]) -> list[Placed]:
    old = _going_on(rig, direction, lines)
    ports = _ports(rig, direction)
    chosen = _assigned(rig, lines, old, ports)
    return [Placed(one, port, before) for one, port, before in zip(lines, chosen, old, strict=True)]


def _going_on(rig: Rig, direction: Direction, lines: Sequence[NewLine]) -> list[Line | None]:
    """For each line the old one of its name; of several the first that is left."""
    by_name: defaultdict[str, list[Line]] = defaultdict(list)
    for line in rig.lines:
        if line.line.startswith(direction):
            by_name[same_name(line.name)].append(line)
    return [by_name[same_name(one.name)].pop(0) if by_name[same_name(one.name)] else None for one in lines]


def _ports(rig: Rig, direction: Direction) -> list[Port]:
    """The ports that lines may have: of boxes, but for those that an insert or a passive box takes, and the desk's that
    lines have now."""
    of_lines = {known_port(line.port) for line in rig.lines}
    taken = ports_used(rig) - of_lines
    found = [port for port in sorted(of_lines, key=str) if port.code == DESK and port.direction == direction]
    for box in rig.boxes.values():
        if direction == "in" or not rig.box_kind(box).passive or box.outputs_from is not None:
            number = rig.box_kind(box).ports(direction)
            ports = (Port(box.code, direction, n) for n in range(1, number + 1))
            found += [port for port in ports if port not in taken]
    return found


def _fits(rig: Rig, one: NewLine, port: Port) -> bool:
    """Whether the box that the port is on, or the one that its passive box feeds, takes the line."""
    box = None if port.code == DESK else rig.fed_box(port.code)
    if one.direction == "out" or box is None:
        return True
    kind = rig.box_kind(box)
    return (one.level is None or one.level in (kind.accepts or ())) and (kind.phantom or not one.phantom)


def _assigned(
    rig: Rig, lines: Sequence[NewLine], old: Sequence[Line | None], ports: Sequence[Port]
) -> list[Port | None]:
    """The port of each line, all costs together as low as can be; then lines that may change places in order."""
    import numpy as np
    from scipy.optimize import linear_sum_assignment

    if not lines:
        return []
    costs = _costs(rig, lines, old, ports)
    _, chosen = linear_sum_assignment(costs)
    columns = np.sort(chosen)
    number, each = len(lines), np.arange(len(lines))
    coarse = np.floor(costs[:, columns] / (number + 1))  # but for the places of the ports
    _, again = linear_sum_assignment(coarse * number**2 - np.outer(each, each))
    return [ports[at] if at < len(ports) else None for at in columns[again].tolist()]


def _costs(rig: Rig, lines: Sequence[NewLine], old: Sequence[Line | None], ports: Sequence[Port]) -> Costs:
    """What it costs to put each line into each port; behind the ports a column a line for having none.

    Of nothing that is to be avoided can there be so many that they outweigh one of the next worse kind.
    """
    import numpy as np

    taken, elsewhere, replug, no_port = (float(len(lines) + 1) ** power for power in (1, 2, 3, 4))
    costs = np.full((len(lines), len(ports) + len(lines)), np.inf)
    costs[:, len(ports) :] = no_port
    zones, left = _zones(rig), _left(rig, old)
    named = _named(rig, lines, ports)
    for row, (one, before) in enumerate(zip(lines, old, strict=True)):
        stays = None if before is None else known_port(before.port)
        for column, port in enumerate(ports):
            if _fits(rig, one, port) and named.get(row, port) == port:
                cost = 0.0 if port == stays else replug
                cost += elsewhere * (one.zone is not None and same_name(one.zone) not in zones.get(port.code, ()))
                cost += taken * (port in left) + column / len(ports)
                costs[row, column] = cost
    return costs


def _named(rig: Rig, lines: Sequence[NewLine], ports: Sequence[Port]) -> dict[int, Port]:
    """The ports that the list itself gives, by the place of the line."""
    found: dict[int, Port] = {}
    for row, one in enumerate(lines):
        if one.port is not None and one.port in ports and one.port not in found.values() and _fits(rig, one, one.port):
            found[row] = one.port
    return found


def _zones(rig: Rig) -> dict[str, set[str]]:
    """The zones of each box: those of the lines on it, and its place."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    for line in rig.lines:
        if line.zone is not None:
            found[known_port(line.port).code].add(same_name(line.zone))
    for box in rig.boxes.values():
        if box.place is not None:
            found[box.code].add(same_name(box.place))
    return found


def _left(rig: Rig, old: Sequence[Line | None]) -> set[Port]:
    """The ports that lines which do not go on still sit on."""
    kept = {line.line for line in old if line is not None}
    return {known_port(line.port) for line in rig.lines if line.line not in kept}
