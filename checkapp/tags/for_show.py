"""What a show tag says: what this plan does with a thing. From, to, place, and which plan of which rig it is."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cached_property
from itertools import groupby

from checkapp.rig.codes import DESK, Port, Tag, read_port
from checkapp.rig.connections import Connection, connections, shown_place
from checkapp.rig.ends import Plug, plugs, source_words
from checkapp.rig.model import Box, Cable, Input, Line
from checkapp.rig.rig import Rig
from checkapp.tags.lasting import Said, kind_words, owner_words
from checkapp.tongue import later, shown_names, shown_word, tr

_OTHER = {"A": "B", "B": "A"}
MUTE_PHANTOM = later("phantom: mute before you plug")
"""On the ends of cables that carry phantom power."""


class ForShow:
    """What a rig's plan says of each of its things, in the order in which a stagehand asks."""

    def __init__(self, rig: Rig) -> None:
        self._rig = rig
        version = [tr("version {version}", version=rig.version)] if rig.version is not None else []
        plan = [tr("plan {mark}", mark=rig.mark), *version]
        self._plan = Said(f"{', '.join(plan)}, {rig.name}", "small")

    def said(self, tag: Tag) -> tuple[Said, ...]:
        """The lines of one tag of the rig, without those that would be empty."""
        what = Said(f"{kind_words(self._rig, tag.code)}, {owner_words(tag)}", "small")
        return tuple(said for said in (*self._goes(tag), self._plan, what) if said.text)

    def _goes(self, tag: Tag) -> Iterator[Said]:
        code, rig = tag.code, self._rig
        if code in rig.boxes:
            return self._box(rig.boxes[code])
        if code in rig.cables:
            return self._cable_end(tag, rig.cables[code])
        if code in rig.chains:
            return self._chain(code)
        return self._supply(code) if code in rig.supplies else self._source(code)

    def _box(self, box: Box) -> Iterator[Said]:
        after = shown_names(f"chain {box.fed_from}") if box.fed_from in self._rig.chains else box.fed_from
        yield Said(box.place or "", "strong")
        yield Said(tr("from {was}", was=_by(after, box.cable)), exact=True)
        yield _to(self._after.get(box.code, ()))

    def _chain(self, code: str) -> Iterator[Said]:
        chain = self._rig.chains[code]
        start = tr("{box} outlet", box=chain.start) if chain.start else _desk(chain.desk)
        yield Said(tr("from {was}", was=start), "strong")
        yield _to(_by(box.code, box.cable) for box in self._rig.boxes_on(code)[:1])

    def _supply(self, code: str) -> Iterator[Said]:
        boxes = [box for box in self._rig.boxes.values() if box.supply == code]
        phase = self._rig.supplies[code].phase
        yield Said(tr("phase {phase}", phase=phase) if phase else "", "strong")
        yield _to(box.code for box in boxes)

    def _source(self, code: str) -> Iterator[Said]:
        lines = self._lines_by_source.get(code, [])
        yield Said(_names(lines), "strong")
        yield _to(_by(line.port, line.cable) for line in lines)
        yield Said(_zones(lines), "small")

    def _cable_end(self, tag: Tag, cable: Cable) -> Iterator[Said]:
        """Where this end goes, largest, and where on stage that is; then the line, and small the other end."""
        here = self._plugs.get((tag.code, tag.end), ())
        lines = [self._rig.line(plug.line) for plug in here if plug.line]
        if not here:
            yield Said(tr("spare") if cable.spare else tr("not in use"), "strong")
            return
        into, other = self._into(tag, lines), replace(tag, end=_OTHER[tag.end])
        place = _unless_said(self._place(tag, lines), into)
        yield Said(tr("into {socket}", socket=into), "strong", exact=True)
        yield Said(place)
        yield Said(_unless_said(_names(lines), into))
        far = self._into(other, lines) if tag.end == "B" or self._all_coded(lines) else ""
        there = ", ".join(filter(None, (far, _unless_said(self._place(other, lines), far or place))))
        yield Said(_way(tag.end, lines, there) if there else "", "small", exact=True)
        if self._has_phantom(tag.code):
            yield Said(shown_word(MUTE_PHANTOM), "small", if_room=True)

    def _into(self, tag: Tag, lines: list[Line]) -> str:
        """What a cable's end goes into: ports and sockets, or what stands at the far end of its lines."""
        if not lines or tag.end == "A":
            return sockets(plug.into for plug in self._plugs.get((tag.code, tag.end), ()))
        if self._all_coded(lines):
            return ", ".join(dict.fromkeys(source_words(self._rig, line) for line in lines))
        return _names(lines)

    def _place(self, tag: Tag, lines: list[Line]) -> str:
        """Where on stage an end goes, as far as the plan tells."""
        if lines and tag.end == "B":
            return _zones(lines)
        found = self._connections.get((tag.code, tag.end), ())
        return ", ".join(dict.fromkeys(shown_place(one.place) for one in found if one.place not in self._rig.boxes))

    def _has_phantom(self, cable: str) -> bool:
        """Whether phantom power may stand on a cable: one of a line that needs it, not a link cable."""
        box = self._box_by_cable.get(cable)
        if box is not None and not self._rig.box_kind(box).passive:
            return False
        return cable in self._phantom_cables

    @staticmethod
    def _all_coded(lines: list[Line]) -> bool:
        """Whether sources with a code of their own stand at the far end of all lines, or there is none."""
        return all(isinstance(line, Input) and line.source for line in lines)

    @cached_property
    def _after(self) -> dict[str, list[str]]:
        """What each box feeds, in words: the next box, drop boxes, chains that start at it."""
        found: dict[str, list[str]] = {}
        for box in self._rig.boxes.values():
            if box.fed_from not in self._rig.chains:
                found.setdefault(box.fed_from.split()[0], []).append(_by(box.code, box.cable))
        for chain in self._rig.chains.values():
            if chain.start:
                found.setdefault(chain.start, []).append(shown_names(f"chain {chain.code}"))
        return found

    @cached_property
    def _plugs(self) -> dict[tuple[str, str], tuple[Plug, ...]]:
        return plugs(self._rig)

    @cached_property
    def _connections(self) -> dict[tuple[str, str], list[Connection]]:
        found: dict[tuple[str, str], list[Connection]] = {}
        for one in connections(self._rig):
            found.setdefault((one.cable, one.end), []).append(one)
        return found

    @cached_property
    def _phantom_cables(self) -> frozenset[str]:
        """The items on the paths of the lines that need phantom power."""
        needing = (line.line for line in self._rig.lines if isinstance(line, Input) and line.phantom)
        return frozenset(item.name for line in needing for item in self._rig.path(line))

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


def _to(targets: Iterable[str]) -> Said:
    words = ", ".join(targets)
    return Said(tr("to {becomes}", becomes=words) if words else "", exact=True)


def _by(there: str, cable: str | None) -> str:
    return tr("{socket} by {cable}", socket=there, cable=cable) if cable else there


def _desk(name: str | None) -> str:
    return tr("{name} desk", name=name) if name else tr("desk")


def _names(lines: list[Line]) -> str:
    if len(lines) < 3:
        return ", ".join(line.name for line in lines)
    return tr("{names} and {count} more", names=lines[0].name, count=len(lines) - 1)


def _way(end: str, lines: list[Line], there: str) -> str:
    """The word for the other end: inputs and hops come from end B to end A; signal of outputs goes the other way."""
    if not lines:
        return _to_or_from(there, to=end == "A")
    inputs = {isinstance(line, Input) for line in lines}
    if len(inputs) == 2:
        return tr("other end {where}", where=there)
    return _to_or_from(there, to=(end == "A") != inputs.pop())


def _to_or_from(there: str, *, to: bool) -> str:
    return tr("to {becomes}", becomes=there) if to else tr("from {was}", was=there)


def _unless_said(text: str, said: str) -> str:
    """The text, unless it stands in what is said already."""
    return "" if f" {text} ".lower() in f" {said} ".lower() else text


def _zones(lines: list[Line]) -> str:
    return ", ".join(dict.fromkeys(line.zone for line in lines if line.zone))


def sockets(into: Iterable[str]) -> str:
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
        port = f"{first.direction} {first.number}"
        if length == 2:
            port = tr("{first} and {last}", first=port, last=last.number)
        elif length > 2:
            port = tr("{first} to {last}", first=port, last=last.number)
        yield port
        ports = ports[length:]
