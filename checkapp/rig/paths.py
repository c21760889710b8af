"""The path of a line: the items that its signal needs, in order from source (or an output's load) to desk."""

from collections.abc import Iterator

from checkapp.rig.codes import DESK, Port, known_port
from checkapp.rig.model import Input, Item, Line
from checkapp.rig.wiring import Wiring


def path_of(wiring: Wiring, line: Line) -> tuple[Item, ...]:
    """The items of ``line``'s path; each counts once, at its first place."""
    return tuple(dict.fromkeys(_items(wiring, line)))


def _items(wiring: Wiring, line: Line) -> Iterator[Item]:
    yield source_of(line)
    if line.cable is not None:
        yield Item(line.cable, "cable")
    yield from port_way(wiring, known_port(line.port))
    if isinstance(line, Input):
        for insert in wiring.plan.insert:
            if insert.input == line.number and not insert.parallel:
                yield from port_way(wiring, known_port(insert.send))
                yield from port_way(wiring, known_port(insert.back))
    yield Item(f"desk {line.line}", "desk")


def source_of(line: Line) -> Item:
    """The first item of a path: a source of its own, the line's source, or an output's load."""
    if isinstance(line, Input):
        return Item(line.source or f"source {line.line}", "source")
    return Item(f"load {line.line}", "source")


def port_way(wiring: Wiring, port: Port) -> Iterator[Item]:
    """The port, then each box from there to the desk with its own supply and its cable, then the chain, and so on."""
    code: str | None = None
    while True:
        yield Item(str(port), "port")
        if port.code == DESK:
            return
        code = port.code
        box = wiring.boxes[code]
        if not wiring.box_kind(box).passive:
            break
        yield from _box(wiring, code)
        port = wiring.fed_port(port)
    while code is not None:
        yield from _box(wiring, code)
        code = wiring.boxes[code].fed_from
        if code in wiring.chains:
            yield Item(f"chain {code}", "chain")
            code = wiring.chains[code].start


def _box(wiring: Wiring, code: str) -> Iterator[Item]:
    box = wiring.boxes[code]
    yield Item(code, "box")
    if box.supply is not None:
        yield Item(box.supply, "supply")
    if box.cable is not None:
        yield Item(box.cable, "hop")
