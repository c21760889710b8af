"""The order in which a sweep goes through the marks: one that keeps its tables small.

A greedy order is taken where its tables stay small. Otherwise some classes, those on far more groups of marks than the
others, are taken as *hubs*: without them the groups fall into parts, such as the chains of a rig that share a few
supplies, and one part after the other is gone through with the hubs kept in the table. How many hubs is tried out: the
tables that an order would need are reckoned beforehand.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from checkapp.rig.words import ItemKind

Name = int
"""A class of shared items."""
Group = frozenset[Name]
"""The shared classes of a group of marks."""
Numbers = Mapping["ItemKind", int]
"""How many items of each kind a class has."""

SMALL = 2048
"""A greedy order whose tables have no more rows in all is taken at once."""
MOST_HUBS = 24
LEAST_STEP = 1.2
MOST_TRIED = 4


def best_order(groups: Sequence[Group], numbers: Mapping[Name, Numbers]) -> list[int]:
    """The groups, by place, in the order that needs the fewest rows of those tried out."""
    sizes = {name: round(1e6 * math.log(_settings(kinds))) for name, kinds in numbers.items()}
    best = greedy(groups, sizes)
    least = rows_of([groups[at] for at in best], numbers)
    if least <= SMALL:
        return best
    on = dict.fromkeys(numbers, 0)
    for group in groups:
        for name in group:
            on[name] += 1
    widest = sorted((name for name, number in on.items() if number > 2), key=lambda name: -on[name])
    for hubs in _hubs(widest, on):
        parts = _parts([group - hubs for group in groups])
        if sum(len(part) > 1 for part in parts) < 2:
            continue
        order = _by_parts(groups, parts, sizes, hubs)
        rows = rows_of([groups[at] for at in order], numbers)
        if rows < least:
            best, least = order, rows
    return best


def _hubs(widest: Sequence[Name], on: Mapping[Name, int]) -> Iterator[Group]:
    """The widest classes, up to where the next one is on far fewer groups: the clearest few such steps."""
    steps = []
    for at in range(min(MOST_HUBS, len(widest))):
        following = on[widest[at + 1]] if at + 1 < len(widest) else 1
        steps.append((on[widest[at]] / following, at + 1))
    for step, most in sorted(steps, reverse=True)[:MOST_TRIED]:
        if step >= LEAST_STEP:
            yield frozenset(widest[:most])


def rows_of(order: Sequence[Group], numbers: Mapping[Name, Numbers]) -> float:
    """The rows of all tables of a sweep in this order, added up."""
    last = {name: at for at, group in enumerate(order) for name in group}
    stops: dict[Name, int] = dict.fromkeys(numbers, 0)
    for at, group in enumerate(order):
        for name in group:
            stops[name] |= 1 << at
    columns: dict[int, dict[ItemKind, int]] = {}
    met: set[Name] = set()
    rows, total = 1.0, 0.0
    for at, group in enumerate(order):
        fresh = [name for name in group if name not in met]
        met.update(fresh)
        total += rows * math.prod(_settings(numbers[name]) for name in fresh)
        left: dict[int, dict[ItemKind, int]] = {}
        entries = [*columns.items(), *((stops[name] >> at, numbers[name]) for name in fresh if last[name] > at)]
        for mask, kinds in entries:
            if mask >> 1:
                into = left.setdefault(mask >> 1, {})
                for kind, number in kinds.items():
                    into[kind] = into.get(kind, 0) + number
        columns = left
        rows = math.prod(_settings(kinds) for kinds in columns.values())
    return total


def _settings(kinds: Numbers) -> int:
    return math.prod(number + 1 for number in kinds.values())


def _by_parts(
    groups: Sequence[Group], parts: Sequence[Sequence[int]], sizes: Mapping[Name, int], hubs: Group
) -> list[int]:
    """One part after the other that the groups fall into without the hubs, each in a greedy order."""
    seams = [frozenset().union(*(groups[at] & hubs for at in part)) for part in parts]
    order: list[int] = []
    for number in greedy(seams, {name: sizes[name] for name in hubs}):
        part = parts[number]
        inner = [groups[at] - hubs for at in part]
        order += [part[at] for at in greedy(inner, {name: sizes[name] for group in inner for name in group})]
    return order


def _parts(groups: Sequence[Group]) -> list[list[int]]:
    """The groups (by place) that hang together by their classes; those without any are a part each."""
    above = list(range(len(groups)))

    def top(place: int) -> int:
        while above[place] != place:
            above[place] = above[above[place]]
            place = above[place]
        return place

    first: dict[Name, int] = {}
    for place, group in enumerate(groups):
        for name in group:
            above[top(first.setdefault(name, place))] = top(place)
    parts: dict[int, list[int]] = {}
    for place in range(len(groups)):
        parts.setdefault(top(place), []).append(place)
    return list(parts.values())


def greedy(groups: Sequence[Group], sizes: Mapping[Name, int]) -> list[int]:
    """The groups, by place: next always the one that grows the table least.

    ``sizes`` are how much each class grows the table, whole numbers so that equal growth is seen as such.
    """
    on: dict[Name, list[int]] = {}
    for place, group in enumerate(groups):
        for name in group:
            on.setdefault(name, []).append(place)
    fresh = [sum(sizes[name] for name in group) for group in groups]
    known = [0] * len(groups)
    closed = [sum(sizes[name] for name in group if len(on[name]) == 1) for group in groups]
    left = set(range(len(groups)))
    open_on = {name: set(places) for name, places in on.items()}
    met: set[Name] = set()
    order = []
    while left:
        best = min(left, key=lambda at: (fresh[at] - closed[at], fresh[at], -known[at], at))
        left.remove(best)
        order.append(best)
        for name in groups[best]:
            still = open_on[name]
            still.remove(best)
            if name not in met:
                met.add(name)
                for place in still:
                    fresh[place] -= sizes[name]
                    known[place] += sizes[name]
            if len(still) == 1:
                closed[next(iter(still))] += sizes[name]
    return order
