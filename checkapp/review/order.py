"""The shortest way through places, exactly, and cables for its hops so that their metres are least.

Nothing here knows a rig: points and lengths in, order and choice out.
"""

import math
from collections.abc import Sequence
from operator import add

from checkapp.review.limits import is_below

Point = tuple[float, float]
MOST_PLACES = 15
"""With each further place the work more than doubles: fifteen take a third of a second, twenty would take half a
minute."""


def path_m(start: Point, places: Sequence[Point]) -> float:
    """Metres from ``start`` through the places as they stand."""
    return math.fsum(map(math.dist, (start, *places), places))


def shortest_order(start: Point, places: Sequence[Point]) -> tuple[int, ...]:
    """The order in which a path from ``start`` visits every place once and is shortest; it ends where it likes.

    Exact. ``best[visited][last]`` is the shortest way that visits a set of places, each bit of ``visited`` one of
    them, and ends at ``last``: dynamic programming over sets (Held and Karp, "A dynamic programming approach to
    sequencing problems", J. SIAM 10, 1962; from memory). Of several shortest orders it gives the same one each time.
    ValueError: more than `MOST_PLACES` places.
    """
    count = len(places)
    if count > MOST_PLACES:
        raise ValueError(f"{count} places; at most {MOST_PLACES}")
    between = [[math.dist(one, other) for other in places] for one in places]
    best = [[math.inf] * count for _ in range(1 << count)]
    for last, place in enumerate(places):
        best[1 << last][last] = math.dist(start, place)
    for visited in range(1 << count):
        for last in range(count):
            before = visited ^ (1 << last)
            if visited >> last & 1 and before:
                best[visited][last] = min(map(add, best[before], between[last]))
    return _read_back(best, between)


def _read_back(best: Sequence[Sequence[float]], between: Sequence[Sequence[float]]) -> tuple[int, ...]:
    visited = len(best) - 1
    ways = best[visited]
    order: list[int] = []
    while visited:
        last = min(range(len(ways)), key=ways.__getitem__)
        order.append(last)
        visited ^= 1 << last
        ways = list(map(add, best[visited], between[last]))
    return tuple(reversed(order))


def cables_for(needs_m: Sequence[float], lengths_m: Sequence[float]) -> tuple[int | None, ...]:
    """For each hop the cable that it gets, as its place in ``lengths_m``; None where no cable is left that reaches.

    A cable as long as the need reaches (to 1e-9). As many hops as possible get a cable, the longer needs first, and
    the metres of the cables given out are least. Of cables of one length the first in the list goes first.

    From the longest need down, each hop takes the shortest cable left that reaches. Why that is least: what reaches
    the longest need reaches every other too. Let c be the shortest cable that reaches the longest need, and take any
    best choice, in which that hop has cable x, which is no shorter than c. If c lies idle, give it to that hop: the
    metres do not grow. If another hop has c, let the two hops change cables: x reaches the other hop's need as well,
    and the metres stay. So some best choice gives c to the longest need, and what remains is the same question with
    one hop and one cable less. When nothing reaches a need, no choice serves it beside the longer ones.
    """
    left = sorted(range(len(lengths_m)), key=lengths_m.__getitem__)
    found: list[int | None] = [None] * len(needs_m)
    for hop in sorted(range(len(needs_m)), key=lambda one: -needs_m[one]):
        fitting = next((cable for cable in left if not is_below(lengths_m[cable], needs_m[hop])), None)
        if fitting is not None:
            left.remove(fitting)
            found[hop] = fitting
    return tuple(found)
