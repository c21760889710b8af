"""All settings of the shared items of some faulty marks, written out: one table that serves every test on them.

The sweep folds away what no later mark asks about, and is made anew for every test. Where few shared items matter the
whole table is small, and for one more mark its rows need only be added up by how many faulty items of each kind they
put on that mark. Settings that cannot have more than a negligible part of the weight are left out: no chance of a mark
is above 1, and the heaviest settings alone are a lower bound on the whole weight.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from checkapp.diagnose.alike import alike, private_shares
from checkapp.diagnose.case import log_chance
from checkapp.diagnose.classes import Counting

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.alike import Alike
    from checkapp.diagnose.case import FaultyMark, Odds
    from checkapp.diagnose.plan import Plan
    from checkapp.diagnose.private import Hearing
    from checkapp.diagnose.said import Said
    from checkapp.rig.model import Item
    from checkapp.rig.words import ItemKind

    Reals = NDArray[np.float64]
    Keys = NDArray[np.int64]

NEGLIGIBLE = 1e-14
"""Settings that can have no more than this part of the weight are left out, unless told otherwise."""
FEW_SHARED = 8
"""With no more shared items all settings are kept."""
MOST_SHARED = 24
"""With more shared items the table is not tried."""
MOST_SETTINGS = 8192
"""A table that grows beyond so many rows is given up."""
NARROW = 16
"""Rows of the narrow table that tells which settings are negligible."""
AT_ONCE = 4
"""So many items are brought into the table at once."""


class Group(NamedTuple):
    """Marks alike: what is said of the rows by their number of faulty items (``total``), in which place of it."""

    like: Alike
    said: Said
    at: int
    total: Keys

    def logs(self, without: int | None = None) -> Reals:
        """The logarithm of the chance of these marks for each row, but for the mark ``without``."""
        numbers = self.like.numbers.copy()
        if without is not None:
            numbers[self.like.columns.index(dict(self.like.marks)[without])] -= 1
        there = np.flatnonzero(numbers)
        with np.errstate(divide="ignore"):
            logs = np.log(self.said.full(self.at)[0][:, np.array(self.like.columns)[there]])
        by_key: Reals = (logs * numbers[there]).sum(axis=1)
        return by_key[self.said.row_of_key]


class Stop(NamedTuple):
    """Marks on the same shared items, those that are alike together, and these items."""

    likes: list[Alike]
    shared: list[Item]


class Frame:
    """Faulty marks with their plan; ``column`` numbers the items that they share."""

    def __init__(self, marks: Sequence[FaultyMark], odds: Odds, hearing: Hearing, plan: Plan) -> None:
        self.marks, self.odds, self.hearing, self.plan = marks, odds, hearing, plan
        shared = [item for members in plan.classes for item in members]
        self.column = {item: at for at, item in enumerate(shared)}
        alone: Counter[ItemKind] = Counter()
        for items in plan.private:
            alone |= Counter(item.kind for item in items)
        self.counting = Counting([*(item.kind for item in shared), *alone.elements()])
        self.owner_of = {item: place for place, items in enumerate(plan.private) for item in items}
        self.stops = [self._stop(stop) for stop in plan.stops]

    def _stop(self, places: Sequence[int]) -> Stop:
        likes = alike(places, self.marks, self.plan.private, self.odds, self.hearing)
        return Stop(likes, [item for item in self.marks[places[0]].items if item in self.column])


def joint_of(
    marks: Sequence[FaultyMark], odds: Odds, hearing: Hearing, plan: Plan, negligible: float = NEGLIGIBLE
) -> Joint | None:
    """The table of these marks; None where it would be too large."""
    frame = Frame(marks, odds, hearing, plan)
    if len(frame.column) > MOST_SHARED or frame.counting.dtype != np.int64:
        return None
    floor = -math.inf
    if len(frame.column) > FEW_SHARED and (narrow := _Writing(frame, floor, NARROW).rows()):
        floor = float(np.logaddexp.reduce(narrow[1] + narrow[2])) + math.log(negligible)
    rows = _Writing(frame, floor, None).rows()
    return None if rows is None else Joint(frame, *rows)


class Joint:
    """The table of some faulty marks.

    ``weights`` are those of its settings, adding up to 1. ``rows`` (row, setting) are the chances of items in each
    setting, and ``items`` whose they are: items that are alike in all settings share a row. ``complete``: no setting is
    left out.
    """

    def __init__(self, frame: Frame, masks: Keys, prior: Reals, heard: Reals) -> None:
        self.frame, self._prior = frame, prior
        self.weights = _weights(prior + heard)
        self.complete = len(masks) == 1 << len(frame.column)
        self._bits = (masks[:, None] >> np.arange(len(frame.column))) & 1
        self.group_of: dict[int, Group] = {}
        self.groups = self._grouped()
        self.items: list[tuple[Item, ...]] = [(item,) for item in frame.column]
        self.row_of: dict[Item, int] = dict(frame.column)
        self.rows = self._chances()
        self._asked: Collection[Item] = ()
        self._numbers = np.zeros(len(self.items))

    def numbers(self, asked: Collection[Item]) -> Reals:
        """How many of the items of each row are among those ``asked`` about."""
        if self._asked is not asked:
            self._asked = asked
            self._numbers = np.array([float(sum(item in asked for item in items)) for items in self.items])
        return self._numbers.copy()

    def weights_without(self, mark: int) -> Reals:
        """The weights of the rows had this mark not been heard, but for a common factor."""
        of_mark = self.group_of[mark]
        logs = [group.logs(mark if group is of_mark else None) for group in self.groups]
        return _weights(self._prior + np.sum(logs, axis=0))

    def total(self, items: Sequence[Item]) -> Keys:
        """How many of the items, all shared, are faulty in each row, as a key."""
        return _totals(self._bits[:, [self.frame.column[item] for item in items]], items, self.frame.counting)

    def _grouped(self) -> list[Group]:
        groups, frame = [], self.frame
        for likes, shared in frame.stops:
            total = self.total(shared)
            said = frame.hearing.sayings.of(total, frame.counting, likes, frame.hearing)
            for at, like in enumerate(likes):
                group = Group(like, said, at, total)
                groups.append(group)
                self.group_of.update((place, group) for place, _ in like.marks)
        return groups

    def _chances(self) -> Reals:
        rows = [self._bits.T.astype(float)]
        for like, said, at, _ in self.groups:
            shares = private_shares(said.full(at))
            for column in like.columns:
                places = [place for place, its in like.marks if its == column]
                for items in zip(*(self.frame.plan.private[place] for place in places), strict=True):
                    self.row_of.update(dict.fromkeys(items, len(self.items)))
                    self.items.append(items)
                rows.append(shares[:, said.row_of_key, column])
        return np.concatenate(rows)


def _totals(bits: Keys, items: Sequence[Item], counting: Counting) -> Keys:
    steps = np.array([counting.steps[item.kind] for item in items], np.int64)
    total: Keys = bits @ steps
    return total


def _weights(logs: Reals) -> Reals:
    weights = np.exp(logs - logs.max())
    shares: Reals = weights / weights.sum()
    return shares


class _Writing:
    """A table on the way: after each step rows below ``floor`` are left out, or all but the ``heaviest`` ones."""

    def __init__(self, frame: Frame, floor: float, heaviest: int | None) -> None:
        self._frame, self._floor, self._heaviest = frame, floor, heaviest
        self._masks, self._prior, self._heard = np.zeros(1, np.int64), np.zeros(1), np.zeros(1)

    def rows(self) -> tuple[Keys, Reals, Reals] | None:
        """The settings (bits of a whole number) with their logs before and by what was heard; None for too many."""
        plan = self._frame.plan
        for stop, met in zip(self._frame.stops, plan.met, strict=True):
            fresh = [item for name, _ in met for item in plan.classes[name]]
            for start in range(0, len(fresh), AT_ONCE):
                self._bring_in(fresh[start : start + AT_ONCE])
            self._hear(stop)
            if len(self._masks) > MOST_SETTINGS:
                return None
        return self._masks, self._prior, self._heard

    def _bring_in(self, fresh: Sequence[Item]) -> None:
        frame, settings = self._frame, _settings(len(fresh))
        bad = np.array([log_chance(frame.odds[item]) for item in fresh])
        good = np.array([log_chance(-frame.odds[item]) for item in fresh])
        codes = settings @ np.array([1 << frame.column[item] for item in fresh], np.int64)
        logs = np.where(settings == 1, bad, good).sum(axis=1)
        self._masks = (self._masks[:, None] | codes).ravel()
        self._prior = (self._prior[:, None] + logs).ravel()
        self._heard = np.repeat(self._heard, len(codes))
        self._cut()

    def _hear(self, stop: Stop) -> None:
        frame = self._frame
        bits = (self._masks[:, None] >> np.array([frame.column[item] for item in stop.shared], np.int64)) & 1
        total = _totals(bits, stop.shared, frame.counting)
        said = frame.hearing.sayings.of(total, frame.counting, stop.likes, frame.hearing)
        self._heard = self._heard + said.logs[said.row_of_key, 0]
        self._cut()

    def _cut(self) -> None:
        logs = self._prior + self._heard
        if self._heaviest is None:
            kept = np.flatnonzero(logs >= self._floor)
        else:
            kept = np.argsort(-logs, kind="stable")[: self._heaviest]
        if len(kept) < len(logs):
            self._masks, self._prior, self._heard = self._masks[kept], self._prior[kept], self._heard[kept]


@lru_cache
def _settings(number: int) -> Keys:
    """All settings of so many items, 1 where one is faulty: (setting, item)."""
    return (np.arange(1 << number)[:, None] >> np.arange(number)) & 1
