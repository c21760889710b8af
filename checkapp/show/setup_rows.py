"""The set-up of a rig as a list by place: boxes to place, what to set on them, ends to connect; how far it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from checkapp.journal.setup_state import Made, SetupState
from checkapp.rig.connections import Connection, shown_place
from checkapp.rig.hookup import goes
from checkapp.rig.model import Box
from checkapp.rig.rig import Rig
from checkapp.show.cautions import MUTE_PHANTOM
from checkapp.show.setup_checking import has_phantom, into_words, place_words
from checkapp.show.setup_views import SetUpPlace, SetUpRow
from checkapp.show.views import Status
from checkapp.tongue import shown_word, tr, trn
from checkapp.tongue.numbers import clock


@dataclass(frozen=True, slots=True)
class Standing:
    """The rig as it runs, its connections, what was done of them, and the ids of entries that are not saved yet."""

    rig: Rig
    planned: tuple[Connection, ...]
    state: SetupState
    unsaved: frozenset[str] = frozenset()

    def waits(self, made: Made | None) -> bool:
        """Whether what was done is not on the disk yet."""
        return made is not None and made.entry_id in self.unsaved

    def made(self, connection: Connection) -> tuple[Made, ...]:
        """What was logged of a connection: one fact a port, those of ports that nobody has been at left out."""
        by_port = self.state.connected.get(connection.subject, {})
        return tuple(by_port[port] for port in connection.ports if port in by_port)

    def is_connected(self, connection: Connection) -> bool:
        """Whether all its plugs are in, and its end was not found anywhere else since."""
        return all(self.state.is_in(connection.subject, port) for port in connection.ports)

    def astray(self, connection: Connection) -> tuple[str, Made] | None:
        """Where its end was found that it does not belong, and who found it."""
        found = self.state.connected.get(connection.subject, {})
        return next(((port, made) for port, made in found.items() if made.verdict == "wrong"), None)

    @property
    def done(self) -> frozenset[str]:
        """The subjects of ends of which everything is connected."""
        still = {one.subject for one in self.planned if not self.is_connected(one)}
        return frozenset(one.subject for one in self.planned if one.subject not in still)

    def unset(self, box: Box) -> tuple[str, ...]:
        """What is still to be set on a box."""
        return tuple(name for name in box.settings if name not in self.state.settings.get(box.code, {}))


def places_of(standing: Standing) -> tuple[SetUpPlace, ...]:
    """The list: the desk's end of things first, then place by place as the boxes follow, then other areas."""
    rows: dict[str, list[SetUpRow]] = {}
    rig = standing.rig
    for connection in standing.planned:
        if connection.at.startswith("chain "):
            rows.setdefault(connection.place, [])
    for box in in_order(rig):
        rows.setdefault(box.place or box.code, []).extend(_box_rows(standing, box))
    for connection in standing.planned:
        rows.setdefault(connection.place, []).append(_end_row(standing, connection))
    return tuple(_place(name, these) for name, these in rows.items() if these)


def in_order(rig: Rig) -> tuple[Box, ...]:
    """The boxes chain by chain from the desk, each followed by the passive ones that hang on it; then what is left."""
    found: dict[str, Box] = {}
    for code in rig.chains:
        for box in rig.boxes_on(code):
            found[box.code] = box
            hanging = (one for one in rig.boxes.values() if one.code != box.code and rig.fed_box(one.code) is box)
            found.update({one.code: one for one in hanging if rig.box_kind(one).passive})
    return (*found.values(), *(box for code, box in rig.boxes.items() if code not in found))


def next_row(places: Sequence[SetUpPlace], here: str) -> SetUpRow | None:
    """The next thing to do: what is astray, then at the box where one stands, then boxes, then ends, as listed."""
    rows = [row for place in places for row in place.rows if row.status not in ("ok", "look")]
    wrong = [row for row in rows if row.status == "faulty"]
    near = [row for row in rows if here and here in (row.item, row.port.split(" link ")[0].rsplit(" ", 2)[0])]
    boxes = [row for row in rows if not row.end]
    return next(iter((*wrong, *near, *boxes, *rows)), None)


def to_do_words(standing: Standing, row: SetUpRow | None) -> str:
    """What is to do, as one sentence that can be read out."""
    if row is None:
        return tr("Everything is placed and connected. The line check is next.")
    if not row.end:
        box = standing.rig.boxes[row.item]
        if box.place:
            return tr("Put {box} at {place}, then scan it.", box=box.code, place=box.place)
        return tr("Place {box}, then scan it.", box=box.code)
    if row.end == row.item:
        return tr("On {box}: {setting}.", box=row.item, setting=row.detail)
    plugs = [one for one in standing.planned if one.subject == row.end and row.port in one.ports]
    caution = f" {shown_word(MUTE_PHANTOM)}" if any(has_phantom(standing.rig, one) for one in plugs) else ""
    astray = next((found for one in plugs if (found := standing.astray(one))), None)
    into = row.detail.split(";")[0]
    if astray:
        told = {"end": row.title, "wrong": place_words(astray[0]), "into": into}
        return tr("Pull {end} out of {wrong}, then plug it {into}.", **told) + caution
    return tr("Plug {end} {into}.", end=row.title, into=into) + caution


def progress_words(standing: Standing) -> str:
    """How far it is: ``3 of 8 boxes placed, 12 of 120 ends connected``."""
    placed, _, connected, _ = counts(standing)
    boxes, ends = len(standing.rig.boxes), len(standing.planned)
    words = [
        trn("{placed} of {count} box placed", "{placed} of {count} boxes placed", boxes, placed=placed),
        trn("{done} of {count} end connected", "{done} of {count} ends connected", ends, done=connected),
    ]
    waiting = [tr("{count} not saved yet", count=len(standing.unsaved))] if standing.unsaved else []
    return ", ".join([*words, *waiting])


def counts(standing: Standing) -> tuple[int, int, int, int]:
    """Boxes placed, boxes, ends connected, ends; what is not saved yet does not count."""
    saved = (one for one in standing.planned if not any(map(standing.waits, standing.made(one))))
    connected = sum(map(standing.is_connected, saved))
    return len(_placed(standing)), len(standing.rig.boxes), connected, len(standing.planned)


def _placed(standing: Standing) -> list[str]:
    placed = standing.state.placed
    return [code for code in standing.rig.boxes if code in placed and not standing.waits(placed[code])]


def _place(name: str, rows: list[SetUpRow]) -> SetUpPlace:
    return SetUpPlace(shown_place(name), sum(row.status == "ok" for row in rows), len(rows), tuple(rows))


def _box_rows(standing: Standing, box: Box) -> Iterator[SetUpRow]:
    made = standing.state.placed.get(box.code)
    ways = next(iter(goes(standing.rig, box)), "")
    status: Status = "look" if standing.waits(made) else "ok" if made else "open"
    yield SetUpRow(box.code, "", "", box.code, f"{box.kind}; {ways}", status, _said(standing, made))
    for name, value in box.settings.items():
        was = standing.state.settings.get(box.code, {}).get(name)
        status = "look" if standing.waits(was) else "ok" if was else "open"
        yield SetUpRow(
            box.code, box.code, name, tr("set {box}", box=box.code), f"{name}: {value}", status, _said(standing, was)
        )


def _end_row(standing: Standing, connection: Connection) -> SetUpRow:
    names = ", ".join(standing.rig.line(line).name for line in connection.lines[:3])
    far = connection.end == "B" and connection.lines
    detail = into_words(connection) + (f"; {names}" if names and not (far and names in connection.into) else "")
    if has_phantom(standing.rig, connection):
        detail += f"; {tr('phantom')}"
    astray = standing.astray(connection)
    made = standing.made(connection)
    status: Status = "faulty" if astray else "ok" if standing.is_connected(connection) else "open"
    if status == "ok" and any(map(standing.waits, made)):
        status = "look"
    said = _said(standing, made[-1] if made else None)
    if astray:
        said = tr("found at {socket}, {who}", socket=astray[0], who=_said(standing, astray[1]))
    item, end, port = connection.cable, connection.subject, connection.ports[0]
    return SetUpRow(item, end, port, connection.subject, detail, status, said)


def _said(standing: Standing, made: Made | None) -> str:
    if made is None:
        return ""
    waits = tr("not saved yet") if standing.waits(made) else ""
    words = [waits, made.by or "", clock(made.at), tr("by hand") if made.verdict == "ticked" else ""]
    return ", ".join(word for word in words if word)
