"""What plugs into each socket of a thing: a box's chain sockets and ports, a cable's ends, the desk."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from checkapp.rig.codes import known_port
from checkapp.rig.connections import Connection, connections
from checkapp.rig.ends import socket_before, source_words, span
from checkapp.rig.hookup import PortRow, cable_words, desk_rows, port_rows, taken_ports
from checkapp.rig.measures import length_of
from checkapp.rig.model import Box, Input, Line
from checkapp.rig.rig import Rig
from checkapp.show.card import Connector
from checkapp.show.walk import number_of
from checkapp.tongue import later, shown_word, tr
from checkapp.tongue.numbers import both

TOWARDS_DESK = later("towards the desk")
TO_NEXT_BOX = later("to the next box")
EMPTY = later("stays empty")


def box_sockets(rig: Rig, box: Box) -> Iterator[Connector]:
    """A box's chain sockets, or its multicore, then the ports that something is on, inputs first."""
    yield from _multicore(rig, box) if rig.box_kind(box).passive else _links(rig, box)
    for row in port_rows(rig, box):
        if row.line is not None or row.use:
            yield port_socket(rig, row, row.port.removeprefix(f"{box.code} "))


def _links(rig: Rig, box: Box) -> Iterator[Connector]:
    """Link in, link out, and the outlets at which further chains start."""
    before = socket_before(rig, box)
    yield Connector(
        f"{box.code} link in", "link in", shown_word(TOWARDS_DESK), f"{box.cable} B", far=before,
        far_hint=hint_of(before), towards_desk=True,
    )  # fmt: skip
    after = next((one for one in rig.boxes.values() if one.fed_from == box.code), None)
    if after is None:
        yield Connector(
            f"{box.code} link out",
            "link out",
            shown_word(TO_NEXT_BOX),
            facts=tr("stays empty, {box} is the last box", box=box.code),
        )
    else:
        yield _to_next(rig, after, "link out", shown_word(TO_NEXT_BOX))
    for chain in rig.chains.values():
        if chain.start == box.code:
            for first in rig.boxes_on(chain.code)[:1]:
                yield _to_next(rig, first, tr("outlet for chain {chain}", chain=chain.code), "")


def _to_next(rig: Rig, after: Box, word: str, hint: str) -> Connector:
    """The socket that a box's hop comes from; those of chains are named for the chain, as set-up logs them."""
    port = f"chain {after.fed_from}" if after.fed_from in rig.chains else socket_before(rig, after)
    return Connector(
        port, word, hint, f"{after.cable} A", far=f"{after.code} link in", far_hint=shown_word(TOWARDS_DESK)
    )


def hint_of(socket: str) -> str:
    """Which of a box's two chain sockets that is; nothing for any other socket."""
    if socket.endswith(" link out"):
        return shown_word(TO_NEXT_BOX)
    return shown_word(TOWARDS_DESK) if socket.endswith(" link in") else ""


def _multicore(rig: Rig, box: Box) -> Iterator[Connector]:
    """The cable of a passive box, or the box itself where it plugs straight in."""
    if box.cable is None:
        far = str(known_port(box.fed_from))
        yield Connector(box.code, tr("its own plug"), shown_word(TOWARDS_DESK), far=far, towards_desk=True)
        return
    far = both([one.into for one in connections(rig) if one.subject == f"{box.cable} A"])
    yield Connector(box.code, tr("multicore"), shown_word(TOWARDS_DESK), f"{box.cable} B", far=far, towards_desk=True)


def port_socket(rig: Rig, row: PortRow, word: str) -> Connector:
    """A port and what is on it; ``word`` is what it is called there."""
    end, way = row.plug
    line = row.line
    if line is None:
        return Connector(row.port, word, end=end, way=way, far=row.far, facts=tr("no line") if row.use else tr("free"))
    if row.use and not row.cable:  # an insert: the line comes through, it does not plug in here
        return Connector(row.port, word, far=f"{row.use}, {line.line}")
    return Connector(
        row.port, word, end=end, way=way, far=row.far, line=line.line, number=number_of(line), name=line.name,
        facts=facts_words(line),
    )  # fmt: skip


def facts_words(line: Line) -> str:
    """What an input needs of its port; an output says all by its name."""
    if not isinstance(line, Input):
        return ""
    level = shown_word(line.level)
    return tr("{level}, phantom", level=level) if line.phantom else level


def free_words(rig: Rig, box: Box) -> str:
    """The ports of a box that nothing is on: ``in 3, in 5 to 8``; empty when there are none."""
    free = [known_port(row.port) for row in port_rows(rig, box) if row.line is None and not row.use]
    runs = (
        list(run) for _, run in groupby(enumerate(free), lambda pair: (pair[1].direction, pair[1].number - pair[0]))
    )
    spans = (span(run[0][1], len(run)) for run in runs)
    return ", ".join(words.removeprefix(f"{box.code} ") for words in spans)


def end_sockets(rig: Rig, own: Sequence[Connection], other: Sequence[Connection]) -> Iterator[Connector]:
    """What an end of a cable goes into, way by way, by the connections of that end and of the other one."""
    on_port = taken_ports(rig)
    for one in own:
        for port in one.ports:
            if port in on_port:
                yield port_socket(rig, on_port[port], port)
            elif one.lines:
                yield from _at_source(rig, one)
            else:
                yield _hop_end(one, other)


def _at_source(rig: Rig, one: Connection) -> Iterator[Connector]:
    """The far end of line cables: at a source, or at what a line is named for."""
    for name in one.lines:
        line = rig.line(name)
        way = cable_words(rig, line).partition(" ")[2]
        word = source_words(rig, line)
        yield Connector(
            one.at, word, end=one.subject, way=way, far=line.port, line=name, number=number_of(line), name=line.name,
            facts=facts_words(line), towards_desk=True,
        )  # fmt: skip


def _hop_end(one: Connection, other: Sequence[Connection]) -> Connector:
    """An end of a hop or of a multicore at its own box."""
    far = both([there.into for there in other])
    return Connector(
        one.ports[0], one.into, hint_of(one.into), one.subject, far=far, far_hint=hint_of(far),
        towards_desk=one.end == "B",
    )  # fmt: skip


def chain_sockets(rig: Rig, chain: str) -> Iterator[Connector]:
    """The hops of a chain from its start outwards: the socket that each comes from, and the box that it goes to."""
    for box in rig.boxes_on(chain):
        before = socket_before(rig, box)
        yield Connector(
            before,
            before,
            hint_of(before),
            box.cable or "",
            length_of(rig.cables[box.cable]) if box.cable else "",
            f"{box.code} link in",
            shown_word(TOWARDS_DESK),
        )


def desk_sockets(rig: Rig) -> Iterator[Connector]:
    """What plugs into the desk: the chains that start there, then the lines that plug straight in."""
    for chain in rig.chains.values():
        if chain.start is None:
            for first in rig.boxes_on(chain.code)[:1]:
                yield _to_next(rig, first, socket_before(rig, first), "")
    for row in desk_rows(rig):
        yield port_socket(rig, row, row.port)
