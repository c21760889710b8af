"""Hops on the stage plan: round the blocks that stand in their way, and their labels where nothing else is.

Pure geometry in the size of a code (see `stage_blocks`).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise

from checkapp.page.rect import Point, Rect

CLEAR = 0.45
"""White between a hop and a block that it passes."""
_BEND = 1.5
_ALONG = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)
_STROKE_SEEN = 2.4
_TURNS = 16
_RINGS = 120

Path = tuple[Point, ...]


def route(start: Point, goal: Point, blocks: Sequence[Rect]) -> Path:
    """The shortest way from one point to another round the blocks, straight where it can be; each bend counts a little.

    ``blocks`` are those that it may not touch: neither the one where it starts nor the one where it ends. Where there
    is no way at all it is straight. (A* over the corners of the blocks; whether a stretch is free is looked at only
    when it would be walked.)
    """
    walls = [block.grown(CLEAR) for block in blocks]
    if _free(start, goal, walls):
        return start, goal
    corners = [corner for wall in walls for corner in wall.grown(0.05).corners if not _inside(corner, walls)]
    nodes = [goal, *corners]
    before: dict[Point, Point] = {}
    heap: list[tuple[float, float, Point, Point]] = [(0.0, 0.0, start, start)]
    while heap:
        _, gone, here, came = heappop(heap)
        if here in before or (here != came and not _free(came, here, walls)):
            continue
        before[here] = came
        if here == goal:
            return _back(before, start, goal)
        for there in nodes:
            if there not in before:
                far = gone + math.dist(here, there) + _BEND
                heappush(heap, (far + math.dist(there, goal), far, there, here))
    return start, goal


def _back(before: dict[Point, Point], start: Point, goal: Point) -> Path:
    path = [goal]
    while path[-1] != start:
        path.append(before[path[-1]])
    return tuple(reversed(path))


def _inside(point: Point, walls: Sequence[Rect]) -> bool:
    return any(wall.left < point[0] < wall.right and wall.bottom < point[1] < wall.top for wall in walls)


def _free(start: Point, end: Point, walls: Sequence[Rect]) -> bool:
    return not any(wall.crossed_by(start, end) for wall in walls)


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


def label_place(label: Rect, path: Path, taken: Sequence[Rect], others: Sequence[Path]) -> Spare:
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
    if best is None:
        top = max(rect.top for rect in taken)
        return Spare((middle[0], top + label.height), 0.0, away=True)
    return best


def best_way(ways: Sequence[Rect], taken: Sequence[Rect], paths: Sequence[Path]) -> int:
    """Which of several rooms is free and crossed by the fewest strokes; the first if none is free."""
    costs: dict[int, int] = {}
    for number, room in enumerate(ways):
        if not any(room.grown(0.1).overlaps(rect) for rect in taken):
            costs[number] = sum(room.crossed_by(*edge) for path in paths for edge in pairwise(path))
    return min(costs, key=lambda number: (costs[number], number), default=0)


def _better(
    best: Spare | None, spare: Spare, label: Rect, taken: Sequence[Rect], others: Sequence[Path]
) -> Spare | None:
    if best is not None and best.cost <= spare.cost:
        return best
    room = label.shifted(*spare.middle).grown(0.15)
    if any(room.overlaps(rect) for rect in taken):
        return best
    crossed = sum(room.crossed_by(*edge) for other in others for edge in pairwise(other))
    cost = spare.cost + 3.0 * crossed
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
