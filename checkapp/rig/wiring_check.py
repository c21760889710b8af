"""Across tables: is every port, cable, way and socket used once, and do the ways of passive boxes fit."""

from bisect import bisect_right
from dataclasses import dataclass, field
from typing import Any

from checkapp.rig.codes import DESK, Port, read_port
from checkapp.rig.draft import Draft
from checkapp.rig.locate import Path
from checkapp.rig.names_check import has_ports, known_port
from checkapp.tongue import later, tr, trn

_DEEPEST = 20
Taken = tuple[int, int, Path]


@dataclass
class _Used:
    """What is taken so far, and where that is written; ports as sorted ranges that do not overlap."""

    ports: dict[tuple[str, str], list[Taken]] = field(default_factory=dict)
    ways: dict[tuple[str, int], Path] = field(default_factory=dict)
    cables: dict[str, Path] = field(default_factory=dict)
    sockets: dict[str, Path] = field(default_factory=dict)

    def take(self, port: Port, count: int, path: Path) -> Taken | None:
        """Take ``count`` ports from ``port`` on; what had taken one of them, or None."""
        ranges = self.ports.setdefault((port.code, port.direction), [])
        at = bisect_right(ranges, port.number, key=lambda taken: taken[0])
        last = port.number + count - 1
        if at and ranges[at - 1][1] >= port.number:
            return ranges[at - 1]
        if at < len(ranges) and ranges[at][0] <= last:
            return ranges[at]
        ranges.insert(at, (port.number, last, path))
        return None


def check_wiring(draft: Draft) -> None:
    """Add a fault for each second use of a port, cable, way or socket, and for ways that do not fit."""
    used = _Used()
    for index, box in draft.each("box"):
        _check_box(draft, used, index, box)
    for table, direction in (("input", "in"), ("output", "out")):
        for index, line in draft.each(table):
            port = known_port(draft, table, index, "port", line.port, (direction,))
            if port:
                _take_port(draft, used, table, index, "port", port)
                _leads_somewhere(draft, table, index, "port", port)
            _check_way(draft, used, table, index, line)
    for index, insert in draft.each("insert"):
        for name, text, direction in (("send", insert.send, "out"), ("return", insert.back, "in")):
            if port := known_port(draft, "insert", index, name, text, (direction,)):
                _take_port(draft, used, "insert", index, name, port)
                _leads_somewhere(draft, "insert", index, name, port)
    _check_multicores(draft)


def _check_box(draft: Draft, used: _Used, index: int, box: Any) -> None:
    if isinstance(box.cable, str):
        if box.cable in used.cables:
            wrong = tr(
                '"{name}" is already used on line {line}', name=box.cable, line=draft.line(used.cables[box.cable])
            )
            draft.say("box", index, "cable", wrong, later("one cable feeds one box"))
        used.cables.setdefault(box.cable, ("box", index, "cable"))
    kind = draft.kind_of("box_kind", box)
    if kind is None or kind.passive is None:
        return
    if kind.passive:
        _passive_ports(draft, used, index, box, kind)
    elif isinstance(box.fed_from, str) and read_port(box.fed_from) is None:
        if box.fed_from in used.sockets:
            wrong = tr(
                '"{name}" already feeds the box on line {line}',
                name=box.fed_from,
                line=draft.line(used.sockets[box.fed_from]),
            )
            draft.say(
                "box",
                index,
                "fed_from",
                wrong,
                later("a chain and a box each feed one box: feed it from the last box of a chain"),
            )
        used.sockets.setdefault(box.fed_from, ("box", index, "fed_from"))


def _passive_ports(draft: Draft, used: _Used, index: int, box: Any, kind: Any) -> None:
    if not (isinstance(box.fed_from, str) and box.fed_from in draft.coded):
        _occupy(
            draft,
            used,
            index,
            "fed_from",
            known_port(draft, "box", index, "fed_from", box.fed_from, ("in",)),
            kind.inputs,
        )
    if box.outputs_from is not None:
        port = known_port(draft, "box", index, "outputs_from", box.outputs_from, ("out",))
        _occupy(draft, used, index, "outputs_from", port, kind.outputs)


def _occupy(draft: Draft, used: _Used, index: int, name: str, first: Port | None, ways: int | None) -> None:
    if first is None or ways is None:
        return
    has = _ports_of(draft, first)
    if has is not None and first.number + ways - 1 > has:
        wrong = tr("{count} ways from {port} on do not fit: {has}", count=ways, port=first, has=has_ports(first, has))
        draft.say(
            "box",
            index,
            name,
            wrong,
            tr("begin at {port} or lower", port=f"{first.code} {first.direction} {max(1, has - ways + 1)}"),
        )
        return
    if ways:
        _take_port(draft, used, "box", index, name, first, ways)


def _ports_of(draft: Draft, port: Port) -> int | None:
    box = draft.find("box", port.code)
    kind = draft.kind_of("box_kind", box)
    count = getattr(kind, "inputs" if port.direction == "in" else "outputs", None)
    return count if isinstance(count, int) else None


def _take_port(draft: Draft, used: _Used, table: str, index: int, name: str, port: Port, count: int = 1) -> None:
    taken = used.take(port, count, (table, index, name))
    if taken:
        both = Port(port.code, port.direction, max(port.number, taken[0]))
        draft.say(
            table,
            index,
            name,
            tr('"{name}" is already used on line {line}', name=both, line=draft.line(taken[2])),
            later("one port takes one line"),
        )


def _leads_somewhere(draft: Draft, table: str, index: int, name: str, first: Port) -> None:
    """Add a fault when an output of a passive box is used and nothing feeds it, or that which feeds it."""
    port: Port | None = first
    seen: set[str] = set()
    while port and port.direction == "out" and port.code != DESK and port.code not in seen:
        seen.add(port.code)
        box = draft.find("box", port.code)
        kind = draft.kind_of("box_kind", box)
        if box and kind and kind.passive and box.outputs_from is None:
            written = draft.coded[port.code][1]
            if "outputs_from" not in draft.sheet.data["box"][written]:
                draft.say(
                    table,
                    index,
                    name,
                    tr("nothing feeds {port}", port=port),
                    tr("give {box} an outputs_from", box=port.code),
                )
            return
        port = _fed_port(draft, port)


def _check_way(draft: Draft, used: _Used, table: str, index: int, line: Any) -> None:
    if not isinstance(line.cable, str):
        if line.way and line.way > 1 and "cable" not in draft.sheet.data[table][index]:
            draft.say(table, index, "way", later("stands without a cable"), later("name the multicore in cable"))
        return
    if line.cable in used.cables:
        wrong = tr(
            '"{name}" is already the cable of the box on line {line}',
            name=line.cable,
            line=draft.line(used.cables[line.cable]),
        )
        draft.say(table, index, "cable", wrong, later("name a cable of its own"))
        return
    cable = draft.find("cable", line.cable)
    kind = draft.kind_of("cable_kind", cable)
    if line.way is None or kind is None or kind.ways is None:
        return
    if line.way > kind.ways:
        no_way = tr("{cable} has no way {way}", cable=line.cable, way=line.way)
        draft.say(table, index, "way", no_way, _has_ways(line.cable, kind.ways))
        return
    taken = used.ways.get((line.cable, line.way))
    if taken:
        at = draft.line(taken)
        one = tr('"{name}" is already used on line {line}', name=line.cable, line=at)
        many = tr("way {way} of {cable} is already used on line {line}", way=line.way, cable=line.cable, line=at)
        draft.say(
            table,
            index,
            "way" if kind.ways > 1 else "cable",
            many if kind.ways > 1 else one,
            later("one way takes one line"),
        )
    used.ways.setdefault((line.cable, line.way), (table, index, "cable"))


def _has_ways(cable: str, count: int) -> str:
    return trn("{cable} has {count} way", "{cable} has {count} ways", count, cable=cable)


def _check_multicores(draft: Draft) -> None:
    through = _lines_through(draft)
    for index, box in draft.each("box"):
        cable = draft.find("cable", box.cable)
        kind = draft.kind_of("box_kind", box)
        cable_kind = draft.kind_of("cable_kind", cable)
        if not (kind and kind.passive and cable_kind and cable_kind.ways):
            continue
        lines = through.get(box.code, 0)
        if lines > cable_kind.ways:
            through_it = tr("{count} lines go through {box}", count=lines, box=box.code)
            wrong = f"{through_it}, {tr('its cable {has}', has=_has_ways(box.cable, cable_kind.ways))}"
            draft.say("box", index, "cable", wrong, later("use a multicore with more ways"))


def _lines_through(draft: Draft) -> dict[str, int]:
    counts: dict[str, int] = {}
    for table in ("input", "output"):
        for _, line in draft.each(table):
            port = read_port(line.port) if isinstance(line.port, str) else None
            seen: set[str] = set()
            while port and port.code != DESK and port.code not in seen and len(seen) < _DEEPEST:
                seen.add(port.code)
                counts[port.code] = counts.get(port.code, 0) + 1
                port = _fed_port(draft, port)
    return counts


def _fed_port(draft: Draft, port: Port) -> Port | None:
    box = draft.find("box", port.code)
    kind = draft.kind_of("box_kind", box)
    if not (box and kind and kind.passive):
        return None
    text = box.fed_from if port.direction == "in" else box.outputs_from
    first = read_port(text) if isinstance(text, str) else None
    return first.plus(port.number - 1) if first else None
