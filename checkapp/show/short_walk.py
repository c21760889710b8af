"""A short walk through places: the shortest where they are few, one that no small change makes shorter elsewhere."""

import math
from collections.abc import Iterator, Sequence

from checkapp.review.order import Point, shortest_order

EXACT = 12
"""So many places are walked on the shortest way; it is found in a twentieth of a second."""
_LONGEST_LEG = 3
_MOST_ROUNDS = 40
_GAIN_M = 1e-9

Ways = Sequence[Sequence[float]]


def short_walk(start: Point, places: Sequence[Point]) -> tuple[int, ...]:
    """The order in which a walk from ``start`` visits every place once; it ends where it likes.

    Up to `EXACT` places it is the shortest. Beyond that, from each place to the nearest one left, and then as long as
    that makes it shorter, stretches turned round (2-opt) and up to three places in a row put elsewhere (Or-opt), both
    from memory. The same places in the same order give the same walk.
    """
    if len(places) <= EXACT:
        return shortest_order(start, places)
    points = (start, *places)
    ways = [[math.dist(one, other) for other in points] for one in points]
    walk = _nearest_first(ways)
    for _ in range(_MOST_ROUNDS):
        if not _shorten(ways, walk):
            break
    return tuple(place - 1 for place in walk[1:])


def _nearest_first(ways: Ways) -> list[int]:
    """From the start, which is place 0, to the nearest place left each time."""
    walk, left = [0], list(range(1, len(ways)))
    while left:
        way = ways[walk[-1]]
        nearest = min(left, key=way.__getitem__)
        left.remove(nearest)
        walk.append(nearest)
    return walk


def _shorten(ways: Ways, walk: list[int]) -> bool:
    """One round over the walk; whether anything became shorter."""
    better = False
    for first in range(1, len(walk)):
        for last in range(first + 1, len(walk)):
            if _turned(ways, walk, first, last) > _GAIN_M:
                walk[first : last + 1] = walk[first : last + 1][::-1]
                better = True
    for leg in range(1, _LONGEST_LEG + 1):
        for first in range(1, len(walk) - leg + 1):
            better = _put_elsewhere(ways, walk, first, leg) or better
    return better


def _way(ways: Ways, walk: Sequence[int], one: int, other: int) -> float:
    """Metres between two places of the walk; past its end there is nothing to walk."""
    return ways[walk[one]][walk[other]] if max(one, other) < len(walk) else 0.0


def _turned(ways: Ways, walk: Sequence[int], first: int, last: int) -> float:
    """Metres that turning a stretch round saves."""
    before = _way(ways, walk, first - 1, first) + _way(ways, walk, last, last + 1)
    return before - _way(ways, walk, first - 1, last) - _way(ways, walk, first, last + 1)


def _put_elsewhere(ways: Ways, walk: list[int], first: int, leg: int) -> bool:
    """Take a few places in a row out and put them where they cost least; whether that is shorter."""
    piece, rest = walk[first : first + leg], walk[:first] + walk[first + leg :]
    stays = _cost(ways, rest, piece, first)
    cost, at, turned = min(_choices(ways, rest, piece))
    if stays - cost <= _GAIN_M:
        return False
    walk[:] = rest[:at] + (piece[::-1] if turned else piece) + rest[at:]
    return True


def _choices(ways: Ways, rest: Sequence[int], piece: Sequence[int]) -> Iterator[tuple[float, int, bool]]:
    for at in range(1, len(rest) + 1):
        yield _cost(ways, rest, piece, at), at, False
        yield _cost(ways, rest, piece[::-1], at), at, True


def _cost(ways: Ways, rest: Sequence[int], piece: Sequence[int], at: int) -> float:
    """Metres that a piece costs more in front of the place ``at`` of the rest."""
    to_piece = ways[rest[at - 1]][piece[0]]
    if at == len(rest):
        return to_piece
    return to_piece + ways[piece[-1]][rest[at]] - ways[rest[at - 1]][rest[at]]
