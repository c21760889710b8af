"""Does this end of a cable go into what was scanned: the answer in words, with what belongs where."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from checkapp.rig.codes import DESK, known_port, read_port
from checkapp.rig.connections import Connection, shown_place
from checkapp.rig.model import Input
from checkapp.rig.rig import Rig
from checkapp.show.cautions import MUTE_PHANTOM
from checkapp.show.setup_views import Answer
from checkapp.tongue import shown_word, tr

_MOST_NAMED = 3
OTHER_END = {"A": "B", "B": "A"}


@dataclass(frozen=True, slots=True)
class Checked:
    """What came of checking an end against a place: the ports for the log, whether it is right, what is said."""

    end: str
    ports: tuple[str, ...]
    right: bool
    answer: Answer


def check_end(rig: Rig, planned: Sequence[Connection], end: str, there: str, done: Collection[str] = ()) -> Checked:
    """Check the end ``HP02 B`` against what was scanned or typed: an item's name, a port, a line.

    A box that was scanned proves the box, not the port: the words tell which of the two is known. ``done`` are the
    subjects of ends that are connected already: they are not named as still open.
    """
    own = [connection for connection in planned if connection.subject == end]
    fit = [connection for connection in own if connection.goes(there)]
    if fit:
        ports = (there,) if there in fit[0].ports else fit[0].ports
        sure = there in fit[0].ports or there not in rig.boxes
        told = {"end": end, "into": into_words(fit[0])}
        words = tr("Correct. {end} {into}", **told) if sure else tr("Correct box. {end} goes {into}", **told)
        return Checked(end, ports, True, Answer("ok", words, why(rig, fit[0])))
    cable, _, letter = end.rpartition(" ")
    turned = [one for one in planned if one.subject == f"{cable} {OTHER_END[letter]}" and one.goes(there)]
    expected = _expected(planned, own, there, done)
    belongs = _belongs(rig, cable, own)
    if turned:
        told = {"end": turned[0].subject, "into": into_words(turned[0]), "letter": letter}
        words = tr("Wrong end. {end} goes {into}; this is end {letter}", **told)
        return Checked(end, (there,), False, Answer("faulty", words, belongs))
    more = " ".join([belongs, *expected])
    wrong = tr("Wrong. {end} does not go into {place}", end=end, place=place_words(there))
    said = Answer("faulty", wrong, more, belongs)
    return Checked(end, (there,), False, said)


def into_words(connection: Connection) -> str:
    """Where an end goes, as it follows its name: ``into LEFT link in``, ``to DI04, active DI``."""
    far = connection.end == "B" and connection.lines
    return tr("to {source}", source=connection.into) if far else tr("into {socket}", socket=connection.into)


def why(rig: Rig, connection: Connection) -> str:
    """What there is to know of a right connection: which of the two link sockets that is, or which lines it carries."""
    if connection.lines:
        named = ", ".join(f"{name} {rig.line(name).name}" for name in connection.lines[:_MOST_NAMED])
        return f"{named}. {shown_word(MUTE_PHANTOM)}" if has_phantom(rig, connection) else named
    if connection.into.endswith(" link in"):
        return tr(
            "Link in is the socket towards the desk. In the other one {box} and all behind it is silent.",
            box=connection.at,
        )
    if connection.into.endswith(" link out"):
        after = next((box.code for box in rig.boxes.values() if box.fed_from == connection.at), "")
        return tr("Link out is the socket to the next box, {box}.", box=after)
    return ""


def has_phantom(rig: Rig, connection: Connection) -> bool:
    """Whether a line needs phantom power through this end of its cable, or of its passive box's multicore."""
    fed = {box.code for box in rig.boxes.values() if box.cable == connection.cable and rig.box_kind(box).passive}
    on_box = [line.line for line in rig.lines if known_port(line.port).code in fed] if fed else []
    lines = (rig.line(name) for name in (*connection.lines, *on_box))
    return any(isinstance(line, Input) and line.phantom for line in lines)


def place_words(there: str) -> str:
    """What was scanned or typed, as it is spoken of."""
    return tr("the desk") + there.removeprefix(DESK) if there.split()[0] == DESK else there


def _belongs(rig: Rig, cable: str, own: Sequence[Connection]) -> str:
    if own:
        where = f", {shown_place(own[0].place)}" if own[0].place else ""
        return tr("{end} goes {into}.", end=own[0].subject, into=f"{into_words(own[0])}{where}")
    entry = rig.cables.get(cable)
    if entry is None:
        return tr("{cable} is not of this rig.", cable=cable)
    if entry.spare:
        return tr("{cable} is a spare: the plan plugs it nowhere.", cable=cable)
    return tr("The plan plugs {cable} nowhere.", cable=cable)


def _expected(
    planned: Sequence[Connection], own: Sequence[Connection], there: str, done: Collection[str]
) -> Iterator[str]:
    """What was expected there: on the very port that was named, or what is still open on the box."""
    if read_port(there) or " link " in there:
        these = [one for one in planned if there in one.ports]
        if these:
            yield tr("{socket} takes {end}.", socket=place_words(there), end=these[0].subject)
        else:
            yield tr("The plan has nothing on {socket}.", socket=there)
        return
    hop = bool(own) and not own[0].lines
    here = [one for one in planned if one.at == there and bool(one.lines) != hop and one.subject not in done]
    if here:
        named = ", ".join(f"{one.subject} {into_words(one)}" for one in here[:_MOST_NAMED])
        if len(here) > _MOST_NAMED:
            named = tr("{names} and {count} more", names=named, count=len(here) - _MOST_NAMED)
        yield tr("Still open at {place}: {ends}.", place=place_words(there), ends=named)
