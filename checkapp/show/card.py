"""The card of an item: what a scan of its tag shows, in the order in which a crew asks.

What it is, where it goes, what to set on it, what plugs into it, how it gets power, what the review says of it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from checkapp.rig.codes import Port, read_port
from checkapp.rig.ends import Plug, plugs, socket_before, source_words
from checkapp.rig.model import Box, Input, Line
from checkapp.rig.rig import Rig
from checkapp.rig.words import ItemKind
from checkapp.show.cautions import MAINS, PHANTOM
from checkapp.show.views import FindingRow

_MOST_ROWS = 12
Rows = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Section:
    """One question of a card and its answers, each a row of cells."""

    title: str
    rows: Rows


@dataclass(frozen=True, slots=True)
class Card:
    """What is shown of one item. ``tag`` is empty for what carries no tag (ports, desk strips)."""

    item: str
    kind: ItemKind
    title: str
    tags: tuple[str, ...]
    sections: tuple[Section, ...]
    cautions: tuple[str, ...]
    findings: tuple[FindingRow, ...] = ()
    history: tuple[tuple[str, ...], ...] = ()


def card_of(rig: Rig, item: str) -> Card:
    """The card of an item, by its name as `Rig.resolve` gives it."""
    kind = rig.items[item]
    code = item.removeprefix("chain ")
    sections = [Section(title, rows) for title, rows in _sections(rig, item, kind) if rows]
    tags = tuple(tag.text for tag in rig.tags if tag.code == code) if kind != "port" else ()
    return Card(item, kind, _title(rig, item, kind), tags, tuple(sections), _cautions(rig, item, kind))


def lines_through(rig: Rig, item: str) -> tuple[Line, ...]:
    """The lines whose path holds the item."""
    return tuple(line for line in rig.lines if any(item == on_path.name for on_path in rig.path(line.line)))


def _sections(rig: Rig, item: str, kind: ItemKind) -> Iterator[tuple[str, Rows]]:
    if item in rig.boxes:
        yield from _box(rig, rig.boxes[item])
    elif item in rig.cables:
        yield from _cable(rig, item)
    elif kind == "chain":
        yield from _chain(rig, item.removeprefix("chain "))
    elif item in rig.supplies:
        yield from _supply(rig, item)
    if item not in rig.boxes:
        yield "lines through it", _lines(rig, item)


def _title(rig: Rig, item: str, kind: ItemKind) -> str:
    if item in rig.boxes:
        box = rig.boxes[item]
        words = ["passive box" if rig.box_kind(box).passive else "box", box.kind, box.place or "no place given"]
    elif item in rig.cables:
        cable = rig.cables[item]
        words = ["spare cable" if cable.spare else "hop cable" if kind == "hop" else "cable", cable.kind, cable.length]
    elif item in rig.supplies:
        words = ["supply", rig.supplies[item].phase or ""]
    elif item in rig.sources:
        words = ["source", rig.sources[item].kind or ""]
    else:
        words = [{"desk": "desk strip"}.get(kind, kind)]
    return ", ".join(word for word in words if word)


def _box(rig: Rig, box: Box) -> Iterator[tuple[str, Rows]]:
    yield "goes", tuple(_goes(rig, box))
    yield "set on it", tuple(box.settings.items())
    yield "power", tuple(_power(rig, box))
    yield "ports", tuple(_ports(rig, box))


def _goes(rig: Rig, box: Box) -> Iterator[tuple[str, ...]]:
    ends = plugs(rig)
    if rig.box_kind(box).passive:
        for plug in ends.get((box.cable or "", "A"), ()):
            yield (f"{box.cable} from {box.code} into {plug.into}",)
        if box.cable is None:
            yield (f"straight into {box.fed_from}",)
        return
    yield (f"{box.cable} from {socket_before(rig, box)} into {box.code} link in",)
    for after in rig.boxes.values():
        if after.fed_from == box.code:
            yield (f"{after.cable} from {box.code} link out to {after.code} link in",)
    for chain in rig.chains.values():
        if chain.start == box.code:
            yield (f"chain {chain.code} starts at its outlet",)
    if box.repeats is not None:
        yield (f"its outputs repeat those of {box.repeats}",)


def _power(rig: Rig, box: Box) -> Iterator[tuple[str, ...]]:
    kind = rig.box_kind(box)
    if box.supply is not None:
        supply = rig.supplies[box.supply]
        phase = f", phase {supply.phase}" if supply.phase else ""
        yield (f"plug into {supply.code}: {supply.volts:g} V, {supply.breaker_amps:g} A{phase}",)
        if kind.repowers:
            yield ("it powers the boxes after it over the link",)
    elif kind.draw_w and kind.link_powered:
        yield (f"takes {kind.draw_w:g} W from the link; no mains",)
    elif not kind.draw_w:
        yield ("needs none",)


def _ports(rig: Rig, box: Box) -> Iterator[tuple[str, ...]]:
    at_port = {line.port: line for line in rig.lines}
    taken = dict(_port_uses(rig))
    for name in rig.ports(box):
        if name in at_port:
            yield _port_row(rig, name, at_port[name])
        elif name in taken:
            yield name, "", taken[name], "", ""


def _port_uses(rig: Rig) -> Iterator[tuple[str, str]]:
    for box in rig.boxes.values():
        kind = rig.box_kind(box)
        for first, count in ((box.fed_from, kind.inputs), (box.outputs_from, kind.outputs)):
            port = read_port(first or "")
            for way in range(count if port and kind.passive else 0):
                yield str(_plus(port, way)), f"{box.code} way {way + 1}, {box.cable or 'no cable'}"
    for insert in rig.plan.insert:
        yield insert.send, f"send of {insert.name}"
        yield insert.back, f"return of {insert.name}"


def _plus(port: Port | None, more: int) -> Port | str:
    return port.plus(more) if port else ""


def _port_row(rig: Rig, port: str, line: Line) -> tuple[str, ...]:
    cable = (line.cable or "") + (f" way {line.way}" if line.cable and _ways(rig, line.cable) > 1 else "")
    facts = [line.level, "phantom" if line.phantom else ""] if isinstance(line, Input) else ["output"]
    far = source_words(rig, line)
    return port, f"{line.line} {line.name}", cable, far if far != line.name else "", " ".join(filter(None, facts))


def _ways(rig: Rig, cable: str) -> int:
    return rig.cable_kind(rig.cables[cable]).ways


def _lines(rig: Rig, item: str) -> Rows:
    through = lines_through(rig, item)
    if len(through) > _MOST_ROWS:
        return ((f"{len(through)}: {', '.join(_spans(through))}",),)
    return tuple(_line_row(rig, line) for line in through)


def _spans(lines: tuple[Line, ...]) -> Iterator[str]:
    """Lines in a row as ``in 1 to 23``."""
    for _, run in groupby(enumerate(lines), lambda pair: (isinstance(pair[1], Input), pair[1].number - pair[0])):
        these = [line for _, line in run]
        yield these[0].line + (f" to {these[-1].number}" if len(these) > 1 else "")


def _line_row(rig: Rig, line: Line) -> tuple[str, ...]:
    return (line.line, line.name, line.port, line.zone or "")


def _cable(rig: Rig, code: str) -> Iterator[tuple[str, Rows]]:
    ends = plugs(rig)
    for end, where in (("A", "end A, nearer the desk"), ("B", "end B, farther from the desk")):
        these = ends.get((code, end), ())
        yield where, tuple(_plug_row(plug) for plug in these)
    if (code, "A") not in ends:
        yield "goes", (("spare: plugs into nothing" if rig.cables[code].spare else "nothing uses it",),)


def _plug_row(plug: Plug) -> tuple[str, ...]:
    return (f"way {plug.way}" if plug.line else "plug", plug.into, plug.line)


def _chain(rig: Rig, code: str) -> Iterator[tuple[str, Rows]]:
    boxes = rig.boxes_on(code)
    length_m = sum(rig.cables[box.cable].length_m for box in boxes if box.cable)
    yield "goes", ((f"{len(boxes)} boxes, {length_m:.4g} m in all",),)
    yield "hops", tuple((box.cable or "", f"{socket_before(rig, box)} to {box.code} link in") for box in boxes)


def _supply(rig: Rig, code: str) -> Iterator[tuple[str, Rows]]:
    supply = rig.supplies[code]
    yield "power", ((f"{supply.volts:g} V, breaker {supply.breaker_amps:g} A",),)
    on_it = [box for box in rig.boxes.values() if box.supply == code]
    yield "boxes on it", tuple((box.code, box.place or "") for box in on_it)


def _cautions(rig: Rig, item: str, kind: ItemKind) -> tuple[str, ...]:
    supplied = kind == "supply" or (item in rig.boxes and rig.boxes[item].supply is not None)
    phantom = any(isinstance(line, Input) and line.phantom for line in lines_through(rig, item))
    return tuple(words for words, said in ((MAINS, supplied), (PHANTOM, phantom)) if said)
