"""A box as the crew meets it: what is on each port, where its own cables go, how it gets power; in words."""

from collections.abc import Iterator
from dataclasses import dataclass

from checkapp.rig.codes import DESK, read_port
from checkapp.rig.ends import plugs, socket_before, source_words
from checkapp.rig.model import Box, Line
from checkapp.rig.rig import Rig
from checkapp.tongue import tr
from checkapp.tongue.numbers import number


@dataclass(frozen=True, slots=True)
class PortRow:
    """One port of a box or of the desk and what is on it.

    ``line`` is the line that plugs in here, or that comes through the passive box or the insert that ``use`` names;
    both are empty on a free port. ``cable`` is what plugs in, with its way where it has several (what comes back to a
    passive box's outputs is a return); ``far`` what is at its other end, where that is not the line's own name.
    """

    port: str
    line: Line | None = None
    use: str = ""
    cable: str = ""
    far: str = ""

    @property
    def plug(self) -> tuple[str, str]:
        """The end of the cable that goes in here, as its tag says it, and its way or return: ``FN01 A``, ``way 2``."""
        code, _, way = self.cable.partition(" ")
        return (f"{code} A", way) if code else ("", "")


def port_rows(rig: Rig, box: Box) -> tuple[PortRow, ...]:
    """Every port of a box, inputs first, free ones too."""
    on_port = taken_ports(rig)
    return tuple(on_port.get(name, PortRow(name)) for name in rig.ports(box))


def desk_rows(rig: Rig) -> tuple[PortRow, ...]:
    """The ports of the desk that something plugs into, inputs first, by number."""
    rows = [(port, row) for name, row in taken_ports(rig).items() if (port := read_port(name)) and port.code == DESK]
    return tuple(row for _, row in sorted(rows, key=lambda pair: (pair[0].direction, pair[0].number)))


def taken_ports(rig: Rig) -> dict[str, PortRow]:
    """What is on each port of the rig that something is on, the desk's too, by the port's name."""
    direct = {line.port: line for line in rig.lines}
    found = {row.port: row for row in _taken(rig, direct)}
    for line in rig.lines:
        far = source_words(rig, line)
        found[line.port] = PortRow(line.port, line, "", cable_words(rig, line), far if far != line.name else "")
    return found


def _taken(rig: Rig, direct: dict[str, Line]) -> Iterator[PortRow]:
    """Ports that a passive box's multicore or an insert takes."""
    for box in rig.boxes.values():
        kind = rig.box_kind(box)
        ends = (("in", box.fed_from, kind.inputs), ("out", box.outputs_from, kind.outputs))
        for direction, first, count in ends if kind.passive else ():
            port = read_port(first or "")
            for way in range(count if port else 0):
                own = f"{box.code} {direction} {way + 1}"
                tail = tr("way {way}", way=way + 1) if direction == "in" else tr("return {way}", way=way + 1)
                use = f"{box.code} {tail}, {box.cable or tr('no cable')}"
                cable = f"{box.cable} {tail}" if box.cable else ""
                yield PortRow(str(port.plus(way)) if port else "", direct.get(own), use, cable, own)
    for insert in rig.plan.insert:
        line = rig.line(f"in {insert.input}")
        yield PortRow(insert.send, line, tr("send of {insert}", insert=insert.name))
        yield PortRow(insert.back, line, tr("return of {insert}", insert=insert.name))


def cable_words(rig: Rig, line: Line) -> str:
    """A line's cable, with its way where the cable has several; nothing where it has none."""
    if line.cable is None:
        return ""
    ways = rig.cable_kind(rig.cables[line.cable]).ways
    return tr("{cable} way {way}", cable=line.cable, way=line.way) if ways > 1 else line.cable


def goes(rig: Rig, box: Box) -> Iterator[str]:
    """Where a box's own cable comes from and what goes on from it."""
    if rig.box_kind(box).passive:
        for plug in plugs(rig).get((box.cable or "", "A"), ()):
            yield tr("{cable} from {box} into {socket}", cable=box.cable, box=box.code, socket=plug.into)
        if box.cable is None:
            yield tr("straight into {socket}", socket=box.fed_from)
        return
    yield tr(
        "{cable} from {start} into {socket}",
        cable=box.cable,
        start=socket_before(rig, box),
        socket=f"{box.code} link in",
    )
    for after in rig.boxes.values():
        if after.fed_from == box.code:
            yield tr(
                "{cable} from {start} to {socket}",
                cable=after.cable,
                start=f"{box.code} link out",
                socket=f"{after.code} link in",
            )
    for chain in rig.chains.values():
        if chain.start == box.code:
            yield tr("chain {chain} starts at its outlet", chain=chain.code)
    if box.repeats is not None:
        yield tr("its outputs repeat those of {box}", box=box.repeats)


def _link_volts(rig: Rig, box: Box) -> float | None:
    chain = rig.chain_of(box.code)
    return rig.link_kind(rig.chains[chain]).volts if chain else None


def power_words(rig: Rig, box: Box) -> Iterator[str]:
    """How a box gets power, and whether it hands any on."""
    kind = rig.box_kind(box)
    if box.supply is not None:
        supply = rig.supplies[box.supply]
        volts, amps = number(supply.volts), number(supply.breaker_amps)
        words = tr("plug into {supply}: {volts} V, {amps} A", supply=supply.code, volts=volts, amps=amps)
        yield f"{words}, {tr('phase {phase}', phase=supply.phase)}" if supply.phase else words
        if kind.repowers and _link_volts(rig, box) and any(after.fed_from == box.code for after in rig.boxes.values()):
            yield tr("it powers the boxes after it over the link")
    elif kind.draw_w and kind.link_powered and _link_volts(rig, box):
        yield tr("takes {draw} W from the link; no mains", draw=number(kind.draw_w))
    elif kind.draw_w:
        yield tr("needs {draw} W, and the plan gives it none", draw=number(kind.draw_w))
    else:
        yield tr("needs none")
