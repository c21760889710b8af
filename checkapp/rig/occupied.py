"""What is taken in a checked plan and what is free: ports, cables, the ways of multicores."""

from collections import Counter
from collections.abc import Iterator

from checkapp.rig.codes import DESK, Direction, Port, known_port
from checkapp.rig.model import Box, Cable
from checkapp.rig.rig import Rig


def ports_used(rig: Rig) -> set[Port]:
    """Every port that a line, an insert or a way of a passive box takes, the desk's among them."""
    used = {known_port(line.port) for line in rig.lines}
    for insert in rig.plan.insert:
        used |= {known_port(insert.send), known_port(insert.back)}
    for box in rig.boxes.values():
        if rig.box_kind(box).passive:
            used.update(_ways_of(rig, box))
    return used


def free_ports(rig: Rig, box: Box, direction: Direction, used: set[Port]) -> Iterator[Port]:
    """The ports of a box, by number, that are not among ``used``."""
    for number in range(1, rig.box_kind(box).ports(direction) + 1):
        port = Port(box.code, direction, number)
        if port not in used:
            yield port


def free_cables(rig: Rig) -> tuple[Cable, ...]:
    """The cables that no box and no line uses, spares or not, in the plan's order."""
    used = cables_used(rig)
    return tuple(cable for cable in rig.cables.values() if cable.code not in used)


def cables_used(rig: Rig) -> set[str]:
    """The cables that a box or a line uses."""
    users = (*rig.boxes.values(), *rig.lines)
    return {user.cable for user in users if user.cable is not None}


def passive_way(rig: Rig, port: Port) -> Iterator[Port]:
    """The port and what it goes on to, as long as that is on a passive box; ends at a stage box or the desk."""
    while port.code != DESK and rig.box_kind(rig.boxes[port.code]).passive:
        yield port
        port = rig.fed_port(port)


def lines_through(rig: Rig) -> Counter[str]:
    """How many lines go through each passive box."""
    return Counter(port.code for line in rig.lines for port in passive_way(rig, known_port(line.port)))


def _ways_of(rig: Rig, box: Box) -> Iterator[Port]:
    kind = rig.box_kind(box)
    for first, count in ((box.fed_from, kind.inputs), (box.outputs_from, kind.outputs)):
        if first is not None:
            yield from (known_port(first).plus(more) for more in range(count))
