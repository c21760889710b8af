"""What is printed on each tag of a rig: the code, what the thing is and what it plugs into, in words."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import Literal

from checkapp.rig.codes import DESK, Port, Tag, read_port, read_tags
from checkapp.rig.ends import Plug, plugs, source_words
from checkapp.rig.model import Box, Cable, Input, Line
from checkapp.rig.paths import source_of
from checkapp.rig.rig import Rig

TagKind = Literal["box", "cable", "chain", "supply", "source"]


@dataclass(frozen=True, slots=True)
class Label:
    """One tag as it is printed.

    ``what`` says what the thing is and stays true as long as it lives (kind and length); ``name``
    and ``place`` say what it is for in this plan. Any of the three may be empty.
    """

    tag: Tag
    kind: TagKind
    what: str = ""
    name: str = ""
    place: str = ""

    @property
    def large(self) -> str:
        """What is printed largest: the code, and a cable's end, which tells the two ends apart at arm's length."""
        return f"{self.tag.code} {self.tag.end}" if self.tag.end else self.tag.code

    @property
    def text(self) -> str:
        """What the QR holds and is printed small: owner, code, a cable's end, check character."""
        return self.tag.text


def labels_of(rig: Rig, items: Iterable[str] | None = None) -> tuple[Label, ...]:
    """The labels of every box, both ends of every cable, chain, supply and source, in that order.

    Within a kind in the order of the plan. ``items`` picks some, by code or by tag as people type
    them; a cable named without its end gets both. Errors: `UnknownCode` and `WrongCheckCharacter`
    for a name that the rig does not have, with the nearest that it has.
    """
    tags = rig.tags
    if items is not None:
        wanted = {tag for typed in items for tag in read_tags(typed, tags)}
        tags = [tag for tag in tags if tag in wanted]
    words = _Words(rig)
    return tuple(words.label(tag) for tag in tags)


class _Words:
    """What a rig's plan says of each of its things."""

    def __init__(self, rig: Rig) -> None:
        self._rig = rig

    def label(self, tag: Tag) -> Label:
        """The label of one tag of the rig."""
        code, rig = tag.code, self._rig
        if code in rig.boxes:
            return self._box(tag, rig.boxes[code])
        if code in rig.cables:
            return self._cable_end(tag, rig.cables[code])
        if code in rig.chains:
            return self._chain(tag)
        if code in rig.supplies:
            return self._supply(tag)
        return self._source(tag)

    def _box(self, tag: Tag, box: Box) -> Label:
        cable = f" by {box.cable}" if box.cable else ""
        after = f"chain {box.fed_from}" if box.fed_from in self._rig.chains else box.fed_from
        return Label(tag, "box", box.kind, box.place or "", f"from {after}{cable}")

    def _chain(self, tag: Tag) -> Label:
        chain = self._rig.chains[tag.code]
        start = f"{chain.start} outlet" if chain.start else _desk(chain.desk)
        first = self._rig.boxes_on(tag.code)[:1]
        place = "".join(f"to {box.code}" + (f" by {box.cable}" if box.cable else "") for box in first)
        return Label(tag, "chain", f"chain, {chain.link}", start, place)

    def _supply(self, tag: Tag) -> Label:
        supply = self._rig.supplies[tag.code]
        rating = [f"{supply.volts:g} V", f"{supply.breaker_amps:g} A", supply.phase or ""]
        boxes = [box.code for box in self._rig.boxes.values() if box.supply == tag.code]
        place = f"feeds {', '.join(boxes)}" if boxes else ""
        return Label(tag, "supply", "supply", ", ".join(filter(None, rating)), place)

    def _source(self, tag: Tag) -> Label:
        source = self._rig.sources[tag.code]
        lines = self._lines_by_source.get(tag.code, [])
        ways = [f"by {line.cable}" if line.cable else f"into {line.port}" for line in lines[:1]]
        return Label(tag, "source", source.kind or "source", _names(lines), "".join(ways))

    def _cable_end(self, tag: Tag, cable: Cable) -> Label:
        what = f"end {tag.end}, {cable.kind}, {cable.length}"
        ends = self._plugs.get((tag.code, tag.end), ())
        lines = [self._rig.line(plug.line) for plug in ends if plug.line]
        if lines and tag.end == "B":
            return Label(tag, "cable", what, _names(lines), self._far_end(lines))
        if ends:
            name = _names(lines) if lines else self._hop(self._box_by_cable[tag.code])
            return Label(tag, "cable", what, name, f"into {_sockets(plug.into for plug in ends)}")
        return Label(tag, "cable", what, "spare" if cable.spare else "not in use")

    def _hop(self, box: Box) -> str:
        """The run that a box's own cable makes."""
        chain = self._rig.chains.get(box.fed_from)
        start = box.fed_from.split()[0] if chain is None else chain.start or _desk(chain.desk)
        return f"{start} to {box.code}"

    def _far_end(self, lines: list[Line]) -> str:
        """What the far end of a line's cable plugs into; without a source of its own which end it is."""
        sources = [line for line in lines if isinstance(line, Input) and line.source]
        if len(sources) == len(lines):
            return f"into {', '.join(dict.fromkeys(source_words(self._rig, line) for line in lines))}"
        ends = dict.fromkeys(f"{source_of(line).name.split()[0]} end" for line in lines)
        zones = dict.fromkeys(line.zone for line in lines if line.zone)
        return ", ".join([" and ".join(ends), *zones])

    @cached_property
    def _plugs(self) -> dict[tuple[str, str], tuple[Plug, ...]]:
        return plugs(self._rig)

    @cached_property
    def _box_by_cable(self) -> dict[str, Box]:
        return {box.cable: box for box in self._rig.boxes.values() if box.cable}

    @cached_property
    def _lines_by_source(self) -> dict[str, list[Line]]:
        found: dict[str, list[Line]] = {}
        for line in self._rig.lines:
            if isinstance(line, Input) and line.source:
                found.setdefault(line.source, []).append(line)
        return found


def _desk(name: str | None) -> str:
    return f"{name} desk" if name else "desk"


def _names(lines: list[Line]) -> str:
    if len(lines) < 3:
        return ", ".join(line.name for line in lines)
    return f"{lines[0].name} and {len(lines) - 1} more"


def _sockets(into: Iterable[str]) -> str:
    """What is plugged into in few words: ports of one box run together, the rest as it is."""
    words = list(dict.fromkeys(into))
    ports = [port for word in words if (port := read_port(word))]
    others = [word for word in words if not read_port(word)]
    boxes = groupby(sorted(ports, key=_by_box), key=lambda port: port.code)
    return "; ".join([*(f"{code} {', '.join(_runs(list(group)))}" for code, group in boxes), *others])


def _by_box(port: Port) -> tuple[bool, str, str, int]:
    return port.code == DESK, port.code, port.direction, port.number


def _runs(ports: list[Port]) -> Iterator[str]:
    """Neighbouring ports of one box run together."""
    while ports:
        first = ports[0]
        length = 1
        while length < len(ports) and ports[length] == first.plus(length):
            length += 1
        last = ports[length - 1]
        joint = "and" if length == 2 else "to"
        until = "" if length == 1 else f" {joint} {last.number}"
        yield f"{first.direction} {first.number}{until}"
        ports = ports[length:]
