"""What a sweep goes by: which items the faulty marks share, and the order of the marks."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from checkapp.diagnose.order import best_order, rows_of

if TYPE_CHECKING:
    from checkapp.diagnose.case import Odds
    from checkapp.diagnose.order import Numbers
    from checkapp.rig.model import Item
    from checkapp.rig.words import ItemKind


class Plan:
    """Marks, by place, with the items on one alone (``private``) and the classes of those on exactly the same marks.

    ``classes`` are the items of each class, ``on`` the marks that it is on. ``stops`` are the marks on exactly the
    same classes, in the order of the sweep.
    """

    def __init__(
        self,
        private: Sequence[list[Item]],
        classes: Sequence[list[Item]],
        on: Sequence[Sequence[int]],
        stops: Sequence[list[int]] | None = None,
    ) -> None:
        self.private, self.classes, self.on = private, classes, on
        self._of_mark: list[list[int]] = [[] for _ in private]
        for name, marks in enumerate(on):
            for mark in marks:
                self._of_mark[mark].append(name)
        self.stops = self._in_order() if stops is None else stops

    @cached_property
    def rows(self) -> float:
        """The rows of all tables of the sweep, added up."""
        return rows_of([frozenset(self._of_mark[stop[0]]) for stop in self.stops], self._numbers)

    @cached_property
    def _numbers(self) -> dict[int, Numbers]:
        return dict(enumerate(Counter(item.kind for item in items) for items in self.classes))

    @cached_property
    def met(self) -> list[list[tuple[int, int]]]:
        """For each stop the classes first met there, with the stops from there on (bits) that they are on."""
        bits = [0] * len(self.classes)
        first = [0] * len(self.classes)
        for at in range(len(self.stops) - 1, -1, -1):
            for name in self._of_mark[self.stops[at][0]]:
                bits[name] |= 1 << at
                first[name] = at
        met: list[list[tuple[int, int]]] = [[] for _ in self.stops]
        for name, at in enumerate(first):
            met[at].append((name, bits[name] >> at))
        return met

    def kinds_at(self, mark: int) -> list[ItemKind]:
        """The kinds of the shared items on a mark."""
        return sorted({item.kind for name in self._of_mark[mark] for item in self.classes[name]})

    def with_mark(self, items: Iterable[Item], odds: Odds) -> Plan:
        """The plan with one mark more, which comes where the last of its classes has just been met."""
        place = len(self.private)
        fresh = dict.fromkeys(item for item in items if odds[item] > -math.inf)
        private = [list(alone) for alone in self.private]
        classes, on, parted = list(self.classes), [list(marks) for marks in self.on], []
        for name, members in enumerate(self.classes):
            there = [item for item in members if item in fresh]
            if not there:
                continue
            if len(there) < len(members):
                classes[name] = [item for item in members if item not in fresh]
                classes.append(there)
                on.append([*self.on[name], place])
            else:
                on[name].append(place)
            for item in there:
                del fresh[item]
        for mark, alone in enumerate(self.private):
            there = [item for item in alone if item in fresh and odds[item] < math.inf]
            if there:
                private[mark] = [item for item in alone if item not in there]
                classes.append(there)
                on.append([mark, place])
                parted.append(mark)
                for item in there:
                    del fresh[item]
        private.append(list(fresh))
        return Plan(private, classes, on, self._stops_with(place, on, parted))

    def _stops_with(self, place: int, on: Sequence[Sequence[int]], parted: Sequence[int]) -> list[list[int]]:
        """The stops with the new mark; those that now share something with it alone are stops by themselves."""
        stops: list[list[int]] = []
        stop_of: dict[int, int] = {}
        for stop in self.stops:
            together = [mark for mark in stop if mark not in parted]
            for marks in (together, *([mark] for mark in stop if mark in parted)):
                if marks:
                    stop_of.update(dict.fromkeys(marks, len(stops)))
                    stops.append(marks)
        met = [min(stop_of[mark] for mark in marks if mark != place) for marks in on if place in marks[-1:]]
        at = max(met, default=-1) + 1
        return [*stops[:at], [place], *stops[at:]]

    def _in_order(self) -> list[list[int]]:
        groups: dict[frozenset[int], list[int]] = {}
        for mark, names in enumerate(self._of_mark):
            groups.setdefault(frozenset(names), []).append(mark)
        order = best_order(list(groups), self._numbers)
        stops = list(groups.values())
        return [stops[at] for at in order]


def plan_of(marks: Sequence[Sequence[Item]], odds: Odds) -> Plan:
    """The plan of marks, each with its items.

    An item that is certainly faulty couples nothing, so that each mark has it to itself; one that is certainly good
    has no say.
    """
    on: dict[Item, list[int]] = defaultdict(list)
    private: list[list[Item]] = [[] for _ in marks]
    for place, items in enumerate(marks):
        for item in items:
            on[item].append(place)
    shared: dict[tuple[int, ...], list[Item]] = {}
    for item, places in on.items():
        if len(places) == 1 or odds[item] == math.inf:
            if odds[item] > -math.inf:
                for place in places:
                    private[place].append(item)
        elif odds[item] > -math.inf:
            shared.setdefault(tuple(places), []).append(item)
    return Plan(private, list(shared.values()), list(shared))
