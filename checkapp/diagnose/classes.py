"""Shared items in classes: those on exactly the same faulty marks, and how many of each kind are faulty in each.

A mark depends on its shared items only through how many of each kind are faulty. Those numbers are kept as one whole
number, the *key*: the keys of two classes add up to that of both.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from checkapp.diagnose.case import log_chance
from checkapp.diagnose.private import Shared

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.case import Odds
    from checkapp.diagnose.private import Asked, Hearing
    from checkapp.rig.model import Item
    from checkapp.rig.words import ItemKind

    Reals = NDArray[np.float64]
    Keys = NDArray[np.int64]

_LARGEST_KEY = 2**62
MOST_SETTINGS = 4096
"""A class with more settings of its numbers than this is cut to the heaviest of them."""


class Counting:
    """How many of each kind are faulty, as one whole number."""

    def __init__(self, kinds: Iterable[ItemKind]) -> None:
        numbers = Counter(kinds)
        self.kinds: tuple[ItemKind, ...] = tuple(sorted(numbers))
        self._sizes = [numbers[kind] + 1 for kind in self.kinds]
        self.steps: dict[ItemKind, int] = {}
        step = 1
        for kind, size in zip(self.kinds, self._sizes, strict=True):
            self.steps[kind] = step
            step *= size
        self.dtype = np.dtype(np.int64 if step < _LARGEST_KEY else object)
        self._steps_of = np.array([self.steps[kind] for kind in self.kinds], self.dtype)
        self._sizes_of = np.array(self._sizes, self.dtype)
        self._hear: dict[Asked, Reals] = {}
        self.likeness = (self.kinds, tuple(self._sizes))
        self._misses: Reals | None = None

    def shared(self, keys: Keys, hearing: Hearing, asked: Asked) -> Shared:
        """What the faulty shared items of each key do to a mark."""
        counts = (keys[:, None] // self._steps_of % self._sizes_of).astype(float)
        if self._misses is None:
            self._misses = np.array([math.log(hearing.chances.miss[kind]) for kind in self.kinds])
        miss = np.exp((counts * self._misses).sum(axis=1))
        if asked not in self._hear:
            rows = [hearing.row(kind, asked) for kind in self.kinds]
            self._hear[asked] = np.array(rows).reshape(len(self.kinds), len(asked))
        return Shared(miss, 1.0 - miss, counts.sum(axis=1), np.einsum("rk,ks->rs", counts, self._hear[asked]))


class Settings(NamedTuple):
    """How many items of each kind of a class may be faulty: the logarithm of the weight of each setting.

    ``counts`` has the numbers of each kind, ``given`` for each item of the kind the chance that it is faulty when so
    many are. ``lost`` is the logarithm of the weight of the settings that were cut off.
    """

    kinds: tuple[ItemKind, ...]
    logs: Reals
    counts: tuple[NDArray[np.intp], ...]
    given: tuple[list[Reals], ...]
    lost: float


def settings_of(members: Sequence[tuple[ItemKind, tuple[float, ...]]]) -> Settings:
    """The settings of a class, given the log odds of its items of each kind."""
    logs = np.zeros(1)
    counts: list[NDArray[np.intp]] = []
    for _, odds in members:
        logs_of = _numbers(odds)
        here = np.arange(len(logs_of))
        counts = [np.repeat(count, len(here)) for count in counts]
        counts.append(np.tile(here, len(logs)))
        logs = (logs[:, None] + logs_of[None, :]).ravel()
    lost = -math.inf
    if len(logs) > MOST_SETTINGS:
        order = np.argsort(-logs, kind="stable")
        lost = float(np.logaddexp.reduce(logs[order[MOST_SETTINGS:]]))
        kept = order[:MOST_SETTINGS]
        logs, counts = logs[kept], [count[kept] for count in counts]
    given = tuple(_given_number(odds) for _, odds in members)
    return Settings(tuple(kind for kind, _ in members), logs, tuple(counts), given, lost)


class ItemClass:
    """Items on exactly the same faulty marks: their settings (keys), the weight of each, and back to the items.

    ``lost`` is the logarithm of the weight of the settings that were cut off. ``known`` keeps what was worked out
    before, by the kinds and odds of the items.
    """

    def __init__(
        self,
        items: Sequence[Item],
        odds: Odds,
        counting: Counting,
        known: dict[tuple[tuple[ItemKind, tuple[float, ...]], ...], Settings],
    ) -> None:
        by_kind: dict[ItemKind, list[Item]] = {}
        for item in items:
            by_kind.setdefault(item.kind, []).append(item)
        alike = tuple((kind, tuple(odds[item] for item in members)) for kind, members in by_kind.items())
        if alike not in known:
            known[alike] = settings_of(alike)
        self._settings = known[alike]
        self.logs, self.lost = self._settings.logs, self._settings.lost
        self._members = list(by_kind.values())
        self.keys = np.zeros(len(self.logs), counting.dtype)
        for kind, count in zip(self._settings.kinds, self._settings.counts, strict=True):
            self.keys = self.keys + (count * counting.steps[kind]).astype(counting.dtype)

    def chances(self, settings: Reals) -> dict[Item, Reals]:
        """The chance of each item from those of the settings (setting, outcome)."""
        found: dict[Item, Reals] = {}
        for members, given, count in zip(self._members, self._settings.given, self._settings.counts, strict=True):
            for item, shares in zip(members, given, strict=True):
                found[item] = shares[count] @ settings
        return found


def _numbers(odds: Sequence[float]) -> Reals:
    """The logarithm of the chance that 0, 1, 2, ... of independent items are faulty."""
    if len(odds) == 1:
        return np.array([log_chance(-odds[0]), log_chance(odds[0])])
    logs = np.full(len(odds) + 1, -np.inf)
    logs[0] = 0.0
    for one in odds:
        good = logs + log_chance(-one)
        good[1:] = np.logaddexp(good[1:], logs[:-1] + log_chance(one))
        logs = good
    return logs


def _given_number(odds: Sequence[float]) -> list[Reals]:
    """For each item the chance that it is faulty when 0, 1, 2, ... of all of them are."""
    size = len(odds)
    if len(set(odds)) == 1:
        return [np.arange(size + 1) / size] * size
    known: dict[float, Reals] = {}
    numbers = _numbers(odds)
    for place, one in enumerate(odds):
        if one not in known:
            others = _numbers([*odds[:place], *odds[place + 1 :]])
            known[one] = np.zeros(size + 1)
            with np.errstate(invalid="ignore"):
                known[one][1:] = np.nan_to_num(np.exp(others + log_chance(one) - numbers[1:]), nan=0.0)
    return [known[one] for one in odds]
