"""The path of a line: the items that its signal needs, in order from source (or an output's load) to desk."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from checkapp.rig.codes import DESK, Port, read_port
from checkapp.rig.model import Input, ItemKind, Line

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig


class Item(NamedTuple):
    """Anything that can fail: its name and what kind of thing it is."""

    name: str
    kind: ItemKind


def path_of(rig: "Rig", line: Line) -> tuple[Item, ...]:
    """The items of ``line``'s path; each counts once, at its first place."""
    return tuple(dict.fromkeys(_items(rig, line)))


def _items(rig: "Rig", line: Line) -> Iterator[Item]:
    yield source_of(line)
    if line.cable is not None:
        yield Item(line.cable, "cable")
    yield from port_way(rig, known_port(line.port))
    if isinstance(line, Input):
        for insert in rig.plan.insert:
            if insert.input == line.number and not insert.parallel:
                yield from port_way(rig, known_port(insert.send))
                yield from port_way(rig, known_port(insert.back))
    yield Item(f"desk {line.line}", "desk")


def source_of(line: Line) -> Item:
    """The first item of a path: a source of its own, the line's source, or an output's load."""
    if isinstance(line, Input):
        return Item(line.source or f"source {line.line}", "source")
    return Item(f"load {line.line}", "source")


def known_port(text: str) -> Port:
    """A port of a checked plan. ValueError: it is no port."""
    port = read_port(text)
    if port is None:
        raise ValueError(text)
    return port


def port_way(rig: "Rig", port: Port) -> Iterator[Item]:
    """The port, then each box from there to the desk with its own supply and its cable, then the chain, and so on."""
    code: str | None = None
    while True:
        yield Item(str(port), "port")
        if port.code == DESK:
            return
        code = port.code
        box = rig.boxes[code]
        if not rig.box_kind(box).passive:
            break
        yield from _box(rig, code)
        port = rig.fed_port(port)
    while code is not None:
        yield from _box(rig, code)
        code = rig.boxes[code].fed_from
        if code in rig.chains:
            yield Item(f"chain {code}", "chain")
            code = rig.chains[code].start


def _box(rig: "Rig", code: str) -> Iterator[Item]:
    box = rig.boxes[code]
    yield Item(code, "box")
    if box.supply is not None:
        yield Item(box.supply, "supply")
    if box.cable is not None:
        yield Item(box.cable, "hop")
