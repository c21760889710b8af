"""The card of a cable, or of the one end of it that was scanned."""

from collections.abc import Iterator, Sequence

from checkapp.review.summary import counted
from checkapp.rig.codes import DESK
from checkapp.rig.connections import Connection
from checkapp.rig.model import Cable
from checkapp.rig.rig import Rig
from checkapp.show.card import Card, Connector, Section, sockets
from checkapp.show.card_run import box_run, line_run
from checkapp.show.card_sockets import end_connections, end_sockets, hint_of
from checkapp.show.card_words import joined, lines_rows, lines_through, phantom_of, tags_of
from checkapp.show.views import RunItem

_ENDS = {"A": "end A, nearer the desk", "B": "end B, farther from the desk"}
_OTHER = {"A": "B", "B": "A"}


def cable_card(rig: Rig, code: str, end: str) -> Card:
    """The card of a cable; with ``end`` that end's: its own sockets first."""
    cable, kind = rig.cables[code], rig.items[code]
    ends = {one: tuple(end_sockets(rig, code, one)) for one in "AB"}
    lines = lines_through(rig, code)
    named = lines[0] if len(lines) == 1 else None
    what = joined(_sort(rig, cable), cable.kind, cable.length)
    caution = phantom_of(lines)
    return Card(
        item=code,
        kind=kind,
        title=joined(what, f"end {end}" if end else ""),
        tags=tags_of(rig, code, end),
        sections=tuple(_sections(rig, code, end, ends)),
        cautions=(caution,) if caution else (),
        end=end,
        code=joined(code, end, by=" "),
        what=what,
        goes=_goes(rig, code, end),
        hint=_hint(rig, code, end),
        number=ends["A"][0].number if named and ends["A"] else "",
        name=named.name if named else "",
        run=_run(rig, code),
    )


def _sort(rig: Rig, cable: Cable) -> str:
    if cable.spare:
        return "spare cable"
    if any(box.cable == cable.code for box in rig.boxes.values()):
        passive = any(rig.box_kind(box).passive for box in rig.boxes.values() if box.cable == cable.code)
        return "multicore" if passive else "hop cable"
    return "cable"


def _sections(rig: Rig, code: str, end: str, ends: dict[str, tuple[Connector, ...]]) -> Iterator[Section]:
    if not ends["A"]:
        yield Section("goes", ((_nowhere(rig, code),),), "drawn")
        return
    lines = lines_through(rig, code)
    for one in (end, _OTHER[end]) if end else "AB":
        yield sockets(_ENDS[one], ends[one], "end", note=_place(rig, code, one))
    if lines and not any(connector.line for connector in ends["A"]):
        yield Section("lines through it", lines_rows(lines), caution=phantom_of(lines))


def _nowhere(rig: Rig, code: str) -> str:
    return "spare: plugs into nothing" if rig.cables[code].spare else "nothing uses it"


def _place(rig: Rig, code: str, end: str) -> str:
    """Where on stage an end goes."""
    return ", ".join(dict.fromkeys(one.place for one in end_connections(rig, code, end)))


def _goes(rig: Rig, code: str, end: str) -> str:
    """Where it goes, read from afar: for one end its socket, for the whole cable from where to where."""
    near = end_connections(rig, code, "A")
    if not near:
        return _nowhere(rig, code)
    own = end_connections(rig, code, end or "A")
    lines = [line for one in own for line in one.lines]
    if len(lines) > 1:
        return _names(rig, own) if end != "B" else _place(rig, code, "B")
    if end or lines:
        return own[0].into
    return f"{_names(rig, end_connections(rig, code, 'B'))} to {_names(rig, near)}"


def _names(rig: Rig, these: Sequence[Connection]) -> str:
    """What an end goes to, without its sockets."""
    named = (one.at if one.at in rig.boxes else "the desk" if one.at == DESK else one.into for one in these)
    return " and ".join(dict.fromkeys(named))


def _hint(rig: Rig, code: str, end: str) -> str:
    """Which socket that is of two alike, where it stands, how many lines it carries; of a spare what it is."""
    cable = rig.cables[code]
    if cable.spare:
        return joined(cable.kind, cable.length)
    own = end_connections(rig, code, end or "A")
    lines = [line for one in own for line in one.lines]
    socket = hint_of(own[0].into) if end and own else ""
    words = (socket and f"the socket {socket}", counted(len(lines), "line") if len(lines) > 1 else "")
    place = _place(rig, code, end) if end else ""
    return joined(*words, place if place != _goes(rig, code, end) else "")


def _run(rig: Rig, code: str) -> tuple[RunItem, ...]:
    """The chain of a hop, the way of a multicore, the path of a single line."""
    for box in rig.boxes.values():
        if box.cable == code:
            return box_run(rig, box, code)
    lines = lines_through(rig, code)
    return line_run(rig, lines[0], code) if len(lines) == 1 else ()
