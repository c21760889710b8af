"""The exact posterior of faulty marks that hang together: a sweep over the marks and back.

The sweep goes from mark to mark and keeps a table: a row for each setting of the classes of shared items met so far
that are on marks still to come, with its weight. Classes whose marks still to come are the same are merged (only the
sum of their numbers matters from there on), and those with none left are summed out. Along a chain of boxes this is
the recursion that carries how many items of each kind are faulty upstream; items that cross chains just stay in the
table longer. On the way back every row learns what the later marks say of it, and so every item its posterior.
Weights are kept as logarithms and only added up, never subtracted, so that nothing underflows or cancels. A table
beyond its limit of rows is cut to the heaviest; a bound on what the others could have weighed is kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from checkapp.diagnose.alike import alike
from checkapp.diagnose.bound import most_likely
from checkapp.diagnose.classes import Counting, ItemClass
from checkapp.diagnose.plan import plan_of
from checkapp.diagnose.rows import gathered, logs_added, merged

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.alike import Alike
    from checkapp.diagnose.case import AnyMark, Odds
    from checkapp.diagnose.plan import Plan
    from checkapp.diagnose.private import Hearing
    from checkapp.diagnose.said import Said
    from checkapp.rig.model import Item

    Reals = NDArray[np.float64]
    Keys = NDArray[np.int64]
    Places = NDArray[np.intp]

MOST_ROWS = 150_000
"""The largest table of a sweep, in rows."""
FREE_ROWS = 100_000
FEW_SHARED = 16
QUICK_ROWS = 256
"""The tables of a quick sweep that tells, in larger cases, which rows are negligible."""
TRIMMED_ROWS = 2048
"""In larger cases a table of more rows is searched for negligible ones."""


class Limits(NamedTuple):
    """How large the tables of a sweep may grow.

    No table has more than ``most`` rows: the heaviest are kept. A sweep that needs no more than ``free`` rows in all
    its tables together is cut by that alone. In larger cases rows are cut as well that cannot make up more than the
    part ``negligible`` of the whole. ``quick``: only the former, with no bound on what is cut (infinite), and nothing
    where no more than `FEW_SHARED` items are shared.
    """

    most: int = MOST_ROWS
    free: int = FREE_ROWS
    negligible: float = 1e-18
    quick: bool = False


FULL = Limits()


class Swept(NamedTuple):
    """What a sweep found: the logarithm of the weight of each outcome, each item's chance in each, what was cut off.

    One outcome, unless an open mark is among the marks: then ok and the eight symptoms. ``cut`` is the logarithm of a
    bound on the weight that was cut off, -inf when nothing was.
    """

    logs: Reals
    chances: dict[Item, Reals]
    cut: float


@dataclass(slots=True)
class _Stop:
    """Marks on exactly the same shared classes: one stop of the sweep. The rest is what the way back needs."""

    marks: list[int]
    alike: list[Alike] = field(default_factory=list)
    fresh: list[ItemClass] = field(default_factory=list)
    settings: list[Places] = field(default_factory=list)
    fresh_logs: Reals = field(default_factory=lambda: np.zeros(1))
    rows_before: int = 1
    joined: bool = False
    said: Said | None = None
    weights: Reals = field(default_factory=lambda: np.zeros((1, 1)))
    kept: Places | None = None
    into: Places | None = None


class Sweep:
    """Faulty marks that hang together by their items, at most one of them open."""

    def __init__(
        self,
        marks: Sequence[AnyMark],
        odds: Odds,
        hearing: Hearing,
        limits: Limits = FULL,
        plan: Plan | None = None,
    ) -> None:
        self._marks, self._odds, self._hearing, self._limits = marks, odds, hearing, limits
        self._plan = plan or plan_of([mark.items for mark in marks], odds)
        self._counting = Counting(item.kind for items in self._plan.classes for item in items)
        self._classes = [ItemClass(items, odds, self._counting, hearing.settings) for items in self._plan.classes]
        self._stops = [_Stop(stop) for stop in self._plan.stops]
        for stop in self._stops:
            stop.alike = alike(stop.marks, marks, self._plan.private, odds, hearing)
        self._columns: dict[int, Keys] = {}
        self._table = np.zeros((1, 1))
        self.cut = self._floor = -math.inf

    def run(self) -> Swept:
        """Sweep there and back."""
        self.there()
        return self._back()

    def there(self) -> Reals:
        """Only the way there: the logarithm of the weight of each outcome."""
        most = self._limits.most
        if self._limits.quick:
            few = sum(map(len, self._plan.classes)) <= FEW_SHARED
            self._go(MOST_ROWS if few else most)
        else:
            if self._plan.rows > self._limits.free:
                self._go(min(QUICK_ROWS, most))
                self._floor = float(np.logaddexp.reduce(self._table, axis=None)) + math.log(self._limits.negligible)
            self._go(most)
        weights: Reals = self._table[0]
        return weights

    def _go(self, most: int) -> None:
        """One way there with tables of at most so many rows."""
        self._columns, self._table = {}, np.zeros((1, 1))
        self.cut = -math.inf
        trimmed = most if self._floor == -math.inf else TRIMMED_ROWS
        for one in self._classes:
            if one.lost > -math.inf:
                self.cut = float(np.logaddexp(self.cut, one.lost + self._ahead[0]))
        for place, stop in enumerate(self._stops):
            fresh = [(self._classes[name], mask) for name, mask in self._plan.met[place]]
            many = math.prod(len(one.logs) for one, _ in fresh)
            stop.rows_before, stop.kept = len(self._table), None
            if fresh and stop.rows_before * many > min(most, trimmed):
                self._cut_rows(place, stop, max(1, most // many))
            self._bring_in(fresh, stop)
            self._hear(stop)
            self._close(stop)

    # --- the way there

    @cached_property
    def _ahead(self) -> list[float]:
        """For each stop the logarithm of a bound on the chance of its marks and all later ones, whatever is faulty."""
        ahead = [0.0]
        for stop in reversed(self._stops):
            ahead.append(ahead[-1] + self._bound(stop))
        return ahead[::-1]

    def _bound(self, stop: _Stop) -> float:
        groups = [(like, {item.kind for item in self._plan.private[like.marks[0][0]]}) for like in stop.alike]
        return most_likely(groups, self._plan.kinds_at(stop.marks[0]), self._hearing)

    def _bring_in(self, fresh: list[tuple[ItemClass, int]], stop: _Stop) -> None:
        """Put the classes that are first met here into the table: each row once for each of their settings."""
        stop.fresh, stop.joined = [one for one, _ in fresh], False
        if not fresh:
            return
        sizes = [len(one.logs) for one in stop.fresh]
        many = math.prod(sizes)
        rows = len(self._table)
        stop.settings = [at.ravel() for at in np.indices(sizes)]
        stop.fresh_logs = sum((one.logs[at] for one, at in zip(stop.fresh, stop.settings, strict=True)), np.zeros(many))
        self._columns = {mask: np.repeat(column, many) for mask, column in self._columns.items()}
        stop.joined = len({*self._columns, *(mask for _, mask in fresh)}) < len(self._columns) + len(fresh)
        for (one, mask), at in zip(fresh, stop.settings, strict=True):
            column = np.tile(one.keys[at], rows)
            self._columns[mask] = self._columns[mask] + column if mask in self._columns else column
        self._table = (self._table[:, None, :] + stop.fresh_logs[None, :, None]).reshape(rows * many, -1)

    def _cut_rows(self, place: int, stop: _Stop, most: int) -> None:
        """Keep the heaviest rows, and the bound on what the others could have weighed."""
        heaviness = self._table.max(axis=1)
        if not self._limits.quick:
            most = min(most, int(np.count_nonzero(heaviness + self._ahead[place] >= self._floor)))
        if most >= len(self._table):
            return
        order = np.argsort(-heaviness, kind="stable")
        most = max(1, most)
        if self._limits.quick:
            self.cut = math.inf
        else:
            lost = float(np.logaddexp.reduce(self._table[order[most:]], axis=None))
            self.cut = float(np.logaddexp(self.cut, lost + self._ahead[place]))
        stop.kept = np.sort(order[:most])
        self._columns = {mask: column[stop.kept] for mask, column in self._columns.items()}
        self._table = self._table[stop.kept]

    def _hear(self, stop: _Stop) -> None:
        """Weigh every row by the chance of the marks at this stop."""
        total = np.zeros(len(self._table), self._counting.dtype)
        for mask, column in self._columns.items():
            if mask & 1:
                total = total + column
        stop.said = self._hearing.sayings.of(total, self._counting, stop.alike, self._hearing)
        self._table = self._table + stop.said.logs[stop.said.row_of_key]
        stop.weights = self._table

    def _close(self, stop: _Stop) -> None:
        """Merge what cannot be told apart by the marks still to come, and sum out what is on none of them."""
        columns: dict[int, Keys] = {}
        for mask, column in self._columns.items():
            left = mask >> 1
            if left:
                columns[left] = columns[left] + column if left in columns else column
        if len(columns) == len(self._columns) and not stop.joined:
            self._columns, stop.into = columns, None
            return
        stop.into, first, self._table = merged(list(columns.values()), self._table)
        self._columns = {mask: column[first] for mask, column in columns.items()}

    # --- the way back

    def _back(self) -> Swept:
        total = self._table[0]
        whole = np.where(total == -np.inf, 0.0, total)
        found: dict[Item, Reals] = {}
        later = np.zeros((1, len(total)))
        for stop in reversed(self._stops):
            later = self._learn(stop, later, whole, found)
        return Swept(total, found, self.cut)

    def _learn(self, stop: _Stop, later: Reals, total: Reals, found: dict[Item, Reals]) -> Reals:
        """What the marks from this stop on say of each row before it; puts the chances of the items met here down."""
        after = later if stop.into is None else later[stop.into]
        chances = np.exp(stop.weights + after - total)  # (row, outcome)
        before = after
        if (said := stop.said) is not None:
            by_key = gathered(chances, said.row_of_key, said.keys)
            for at, like in enumerate(stop.alike):
                private = like.private(said.full(at), by_key)
                for place, column in like.marks:
                    for number, item in enumerate(self._plan.private[place]):
                        found[item] = private[number, column]
            before = said.logs[said.row_of_key] + after
        if stop.fresh:
            settings = chances.reshape(-1, len(stop.fresh_logs), chances.shape[1]).sum(axis=0)
            for one, setting in zip(stop.fresh, stop.settings, strict=True):
                found.update(one.chances(gathered(settings, setting, len(one.logs))))
            spread = before.reshape(-1, len(stop.fresh_logs), before.shape[1])
            before = logs_added(spread + stop.fresh_logs[None, :, None])
        if stop.kept is not None:
            whole = np.full((stop.rows_before, before.shape[1]), -np.inf)
            whole[stop.kept] = before
            before = whole
        return before
