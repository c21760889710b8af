"""The card of a cable, or of the one end of it that was scanned."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from checkapp.review.summary import counted
from checkapp.rig.codes import DESK
from checkapp.rig.connections import Connection, connections
from checkapp.rig.measures import length_of
from checkapp.rig.model import Cable, Line
from checkapp.rig.rig import Rig
from checkapp.show.card import Card, Connector, Section, sockets
from checkapp.show.card_run import box_run, line_run
from checkapp.show.card_sockets import end_sockets, hint_of
from checkapp.show.card_words import caution_of, joined, lines_rows, lines_through, tags_of
from checkapp.show.views import RunItem
from checkapp.show.walk import number_of
from checkapp.tongue import later, shown_word, tr
from checkapp.tongue.numbers import both

_ENDS = {"A": later("end A, nearer the desk"), "B": later("end B, farther from the desk")}
_OTHER = {"A": "B", "B": "A"}


@dataclass(frozen=True, slots=True)
class _Ends:
    """A cable and where its ends go: the connections of each, as set-up checks them; none for one that goes nowhere."""

    rig: Rig
    cable: Cable
    planned: dict[str, tuple[Connection, ...]]

    def sockets(self, end: str) -> tuple[Connector, ...]:
        """What an end goes into."""
        return tuple(end_sockets(self.rig, self.planned[end], self.planned[_OTHER[end]]))

    def place(self, end: str) -> str:
        """Where on stage an end goes."""
        return ", ".join(dict.fromkeys(one.place for one in self.planned[end]))

    def names(self, end: str) -> str:
        """What an end goes to, without its sockets."""
        boxes = self.rig.boxes
        named = (
            one.at if one.at in boxes else tr("the desk") if one.at == DESK else one.into for one in self.planned[end]
        )
        return both(tuple(dict.fromkeys(named)))

    def lines(self, end: str) -> int:
        """How many lines plug in there."""
        return sum(len(one.lines) for one in self.planned[end])


def cable_card(rig: Rig, code: str, end: str) -> Card:
    """The card of a cable; with ``end`` that end's: its own sockets first."""
    planned = [one for one in connections(rig) if one.cable == code]
    ends = _Ends(rig, rig.cables[code], {letter: tuple(one for one in planned if one.end == letter) for letter in "AB"})
    lines = lines_through(rig, code)
    named = lines[0] if len(lines) == 1 and planned else None
    what = joined(_sort(rig, ends.cable), ends.cable.kind, length_of(ends.cable))
    caution = caution_of(lines)
    goes = _goes(ends, end)
    return Card(
        item=code,
        kind=rig.items[code],
        title=joined(what, tr("end {end}", end=end) if end else ""),
        tags=tags_of(rig, code, end),
        sections=tuple(_sections(ends, end, lines)),
        cautions=(caution,) if caution else (),
        end=end,
        code=joined(code, end, by=" "),
        what=what,
        goes=goes,
        hint=_hint(ends, end, goes),
        number=number_of(named) if named else "",
        name=named.name if named else "",
        run=_run(rig, code, lines),
    )


def _sort(rig: Rig, cable: Cable) -> str:
    if cable.spare:
        return tr("spare cable")
    fed = [rig.box_kind(box).passive for box in rig.boxes.values() if box.cable == cable.code]
    return (tr("multicore") if any(fed) else tr("hop cable")) if fed else tr("cable")


def _sections(ends: _Ends, end: str, lines: Sequence[Line]) -> Iterator[Section]:
    if not ends.planned["A"]:
        yield Section(tr("goes"), ((_nowhere(ends.cable),),), "drawn")
        return
    sides = [(letter, ends.sockets(letter)) for letter in ((end, _OTHER[end]) if end else "AB")]
    for letter, these in sides:
        yield sockets(shown_word(_ENDS[letter]), these, "end", note=ends.place(letter))
    if lines and not any(one.line for _, these in sides for one in these):
        yield Section(tr("lines through it"), lines_rows(lines), caution=caution_of(lines))


def _nowhere(cable: Cable) -> str:
    return tr("spare: plugs into nothing") if cable.spare else tr("nothing uses it")


def _goes(ends: _Ends, end: str) -> str:
    """Where it goes, read from afar: for one end its socket, for the whole cable from where to where."""
    if not ends.planned["A"]:
        return _nowhere(ends.cable)
    lines = ends.lines(end or "A")
    if lines > 1:
        return ends.place("B") if end == "B" else ends.names("A")
    if end or lines:
        return ends.planned[end or "A"][0].into
    return tr("{start} to {end}", start=ends.names("B"), end=ends.names("A"))


def _hint(ends: _Ends, end: str, goes: str) -> str:
    """Which socket that is of two alike, where it stands, how many lines it carries; of one in no use what it is."""
    if not ends.planned["A"]:
        return joined(ends.cable.kind, length_of(ends.cable))
    own, lines = ends.planned[end or "A"], ends.lines(end or "A")
    socket = hint_of(own[0].into) if end and own else ""
    place = ends.place(end) if end else ""
    said = counted(lines, "line") if lines > 1 else ""
    return joined(socket and tr("the socket {which}", which=socket), said, place if place != goes else "")


def _run(rig: Rig, code: str, lines: Sequence[Line]) -> tuple[RunItem, ...]:
    """The chain of a hop, the way of a multicore, the path of a single line."""
    for box in rig.boxes.values():
        if box.cable == code:
            return box_run(rig, box, code)
    return line_run(rig, lines[0], code) if len(lines) == 1 else ()
