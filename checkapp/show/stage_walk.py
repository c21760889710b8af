"""Lines in the order of a walk over the stage: from box to box on a short way, within a box port by port."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

from checkapp.rig.codes import DESK, known_port
from checkapp.show.short_walk import short_walk

if TYPE_CHECKING:
    from checkapp.review.order import Point
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig


def stage_walk(rig: Rig, lines: Iterable[str], at: str | None = None) -> tuple[str, ...]:
    """The lines by name, in the order of a walk.

    It starts where the line ``at`` is, without one at the desk's port, and where the plan has no place for that, where
    the first of the lines is. Lines without a place come last.
    """
    places, asked = _Places(rig), set(lines)
    wanted = [line for line in rig.lines if line.line in asked]
    stops: dict[Point, list[Line]] = {}
    nowhere: list[Line] = []
    for line in wanted:
        place = places.of(line)
        (nowhere if place is None else stops.setdefault(place, [])).append(line)
    points = list(stops)
    start = (places.of(rig.line(at)) if at is not None else None) or places.desk or next(iter(points), (0.0, 0.0))
    walked = [line for stop in short_walk(start, points) for line in places.by_port(stops[points[stop]])]
    return tuple(line.line for line in (*walked, *places.by_port(nowhere)))


class _Places:
    """Where the lines of a rig are plugged in on the stage plan."""

    def __init__(self, rig: Rig) -> None:
        self._rig = rig
        self._number = {code: number for number, code in enumerate((DESK, *rig.boxes))}
        self.desk = next((chain.at for chain in rig.chains.values() if chain.start is None and chain.at), None)
        self._named = {box.place: box.at for box in reversed(rig.boxes.values()) if box.place and box.at}
        self._zones: dict[str, Counter[Point]] = {}
        for line in rig.lines:
            place = self._of_box(known_port(line.port).code)
            if line.zone and place is not None:
                self._zones.setdefault(line.zone, Counter())[place] += 1

    def of(self, line: Line) -> Point | None:
        """Its box's place; of a box without one, that of a box at the place of that name, of the box that a passive
        box feeds, or where most lines of the same zone are."""
        place = self._of_box(known_port(line.port).code)
        if place is None and line.zone in self._zones:
            return self._zones[line.zone].most_common(1)[0][0]
        return place

    def _of_box(self, code: str) -> Point | None:
        if code == DESK:
            return self.desk
        box = self._rig.boxes[code]
        place = box.at or self._named.get(box.place or "")
        if place is None and self._rig.box_kind(box).passive:
            return self._of_box(known_port(box.fed_from).code)
        return place

    def by_port(self, lines: Iterable[Line]) -> list[Line]:
        """Box by box as the plan has them, inputs first, by number."""
        return sorted(lines, key=self._port_key)

    def _port_key(self, line: Line) -> tuple[int, str, int]:
        port = known_port(line.port)
        return self._number[port.code], port.direction, port.number
