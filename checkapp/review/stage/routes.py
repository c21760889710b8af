"""Hops on the stage plan: round the blocks that stand in their way, and their labels where nothing else is.

Pure geometry in the size of a code (see `stage_blocks`).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise

from checkapp.page.rect import Crowd, Point, Rect

CLEAR = 0.45
"""White between a hop and a block that it passes."""
_BEND = 1.5
_ALONG = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)
_STROKE_SEEN = 2.4
_TURNS = 16
_RINGS = 120

Path = tuple[Point, ...]


def route(start: Point, goal: Point, blocks: Sequence[Rect]) -> Path:
    """A short way from one point to another round the blocks, straight where it can be; each bend counts a little.

    ``blocks`` are those that it may not touch: neither the one where it starts nor the one where it ends. Where there
    is no way at all it is straight. (A* over the corners of the blocks that stand in the way; whether a stretch is
    free is looked at only when it would be walked.)
    """
    walls = Crowd(block.grown(CLEAR) for block in blocks)
    first = walls.crossed_by(start, goal)
    if first is None:
        return start, goal
    search = _Search(goal, walls)
    search.reach(start, start, 0.0)
    search.know(first)
    while search.heap:
        _, gone, here, came = heappop(search.heap)
        if here in search.before:
            continue
        wall = walls.crossed_by(came, here)
        if wall is not None:
            search.know(wall)
            continue
        if here == goal:
            search.before[here] = came
            return _back(search.before, start, goal)
        search.reach(here, came, gone)
    return start, goal


class _Search:
    """The state of a search: what was reached from where, how far along, and the corners that are known by now.

    A wall's corners become known when it is first run into, so that only those near the way are ever looked at.
    """

    def __init__(self, goal: Point, walls: Crowd) -> None:
        self.goal = goal
        self.walls = walls
        self.nodes = [goal]
        self.before: dict[Point, Point] = {}
        self.gone: dict[Point, float] = {}
        self.heap: list[tuple[float, float, Point, Point]] = []
        self._known: set[Rect] = set()

    def reach(self, here: Point, came: Point, gone: float) -> None:
        """A node is reached; from it all others may be."""
        self.before[here] = came
        self.gone[here] = gone
        for there in self.nodes:
            self._try(here, there)

    def know(self, wall: Rect) -> None:
        """A wall stands in the way: its corners may be gone round, from everything that was reached."""
        if wall in self._known:
            return
        self._known.add(wall)
        for corner in wall.grown(0.05).corners:
            if not self.walls.touches(Rect(*corner, *corner)):
                self.nodes.append(corner)
                for here in list(self.before):
                    self._try(here, corner)

    def _try(self, here: Point, there: Point) -> None:
        if there not in self.before:
            far = self.gone[here] + math.dist(here, there) + _BEND
            heappush(self.heap, (far + math.dist(there, self.goal), far, there, here))


def _back(before: dict[Point, Point], start: Point, goal: Point) -> Path:
    path = [goal]
    while path[-1] != start:
        path.append(before[path[-1]])
    return tuple(reversed(path))


def outside(path: Path, first: Rect | None, last: Rect | None) -> Path:
    """The part of a path that lies outside of the plate where it starts and of the one where it ends."""
    points = list(path)
    if first is not None:
        points[0] = _leaving(points[1], points[0], first)
    if last is not None:
        points[-1] = _leaving(points[-2], points[-1], last)
    return tuple(points)


def _leaving(outer: Point, inner: Point, plate: Rect) -> Point:
    """Where the line from a point within a plate to one outside crosses its edge."""
    by = (outer[0] - inner[0], outer[1] - inner[1])
    edges = ((plate.right, plate.left), (plate.top, plate.bottom))
    share = 1.0
    for axis in (0, 1):
        if abs(by[axis]) > 1e-9:
            edge = edges[axis][0] if by[axis] > 0 else edges[axis][1]
            share = min(share, max(0.0, (edge - inner[axis]) / by[axis]))
    return inner[0] + share * by[0], inner[1] + share * by[1]


def length(path: Path) -> float:
    """Length of a path."""
    return sum(math.dist(start, end) for start, end in pairwise(path))


def point_at(path: Path, along: float) -> tuple[Point, Point]:
    """The point so far along a path, 0 its beginning and 1 its end, and the direction there."""
    left = along * length(path)
    for start, end in pairwise(path):
        part = math.dist(start, end)
        if part and left <= part * (1 + 1e-9):
            way = ((end[0] - start[0]) / part, (end[1] - start[1]) / part)
            return (start[0] + way[0] * left, start[1] + way[1] * left), way
        left -= part
    return path[-1], (1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Spare:
    """A place for a label and how good it is: 0 best. ``away`` says that it stands clear of its stroke."""

    middle: Point
    cost: float
    away: bool = False


def label_place(label: Rect, path: Path, taken: Crowd, others: Sequence[Path]) -> Spare:
    """The best free place for a label (about the origin) of a path: on its stroke, beside it, or near it.

    ``taken`` is where it may not stand; other paths' strokes are crossed only where there is nothing better.
    """
    best: Spare | None = None
    for spare in (*_on(label, path), *_beside(label, path)):
        best = _better(best, spare, label, taken, others)
    middle, _ = point_at(path, 0.5)
    for ring in range(1, _RINGS):
        if best is not None and best.cost <= 4.0 + ring:
            break
        for turn in range(_TURNS):
            angle = 2 * math.pi * turn / _TURNS
            place = (middle[0] + ring * math.cos(angle), middle[1] + 0.6 * ring * math.sin(angle))
            best = _better(best, Spare(place, 4.0 + ring, away=True), label, taken, others)
    return best or Spare((middle[0], taken.top + label.height), 0.0, away=True)


def best_way(ways: Sequence[Rect], taken: Sequence[Rect], paths: Sequence[Path]) -> int:
    """Which of several rooms is free and crossed by the fewest strokes; the first if none is free."""
    costs: dict[int, int] = {}
    for number, room in enumerate(ways):
        if not any(room.grown(0.1).overlaps(rect) for rect in taken):
            costs[number] = sum(room.crossed_by(*edge) for path in paths for edge in pairwise(path))
    return min(costs, key=lambda number: (costs[number], number), default=0)


def _better(best: Spare | None, spare: Spare, label: Rect, taken: Crowd, others: Sequence[Path]) -> Spare | None:
    if best is not None and best.cost <= spare.cost:
        return best
    room = label.shifted(*spare.middle).grown(0.15)
    if taken.touches(room):
        return best
    cost = spare.cost
    for other in others:
        if best is not None and cost >= best.cost:
            return best
        cost += 3.0 * sum(room.crossed_by(*edge) for edge in pairwise(other))
    return Spare(spare.middle, cost, spare.away) if best is None or cost < best.cost else best


def _on(label: Rect, path: Path) -> Iterator[Spare]:
    """On the stroke, if enough of the stroke is still to be seen."""
    whole = length(path)
    for along in _ALONG:
        at, way = point_at(path, along)
        hidden = min(label.width / max(abs(way[0]), 1e-9), label.height / max(abs(way[1]), 1e-9))
        if whole - hidden >= _STROKE_SEEN:
            yield Spare(at, 2 * abs(along - 0.5))


def _beside(label: Rect, path: Path) -> Iterator[Spare]:
    for along in _ALONG:
        at, way = point_at(path, along)
        reach = (abs(way[1]) * label.width + abs(way[0]) * label.height) / 2 + 0.3
        for side in (1.0, -1.0):
            place = (at[0] - side * way[1] * reach, at[1] + side * way[0] * reach)
            yield Spare(place, 2.5 + 2 * abs(along - 0.5) + (0.1 if side < 0 else 0.0))
