"""One faulty mark, given the shared items: the items that it shares with no other faulty mark, summed out.

With M the product of the misses of the faulty shared items on the line, n their number and H the sum of their chances
of the symptom heard, and likewise m, k, h for a set of faulty private items, the chance of the mark is the sum over
those sets of weight (1 - (1 - false_alarm) M m) (H + h) / (n + k). It is a sum over k once four sums over the sets of
each size are known; they follow item by item. 1 - (1 - f) M m is written (1 - (1 - f) M) + (1 - f) M (1 - m), so that
only terms that are not negative are added.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from checkapp.rig.words import SYMPTOMS, ItemKind, Symptom

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.chances import Chances

    Reals = NDArray[np.float64]


class Sound(NamedTuple):
    """What a kind of item does to a line: its miss, and its chance of each symptom asked about."""

    miss: float
    hear: tuple[float, ...]


class Private(NamedTuple):
    """An item on this faulty mark alone: its kind, and its chance of being faulty given the ok marks."""

    kind: ItemKind
    chance: float


Asked = tuple["Symptom | None", ...]
"""The symptoms that the columns of a mark's chances are for; None where none was said."""


@dataclass(frozen=True, slots=True)
class Shared:
    """The faulty shared items on a line, a row for each set of them.

    ``miss`` is the product of their misses, ``dull`` one minus it, ``count`` their number, ``hear`` the sums of their
    chances of each symptom (row, symptom).
    """

    miss: Reals
    dull: Reals
    count: Reals
    hear: Reals


class Factor:
    """The chance of one faulty mark given the shared items, and the part of it that is with each private item faulty.

    ``symptoms`` is the number of columns of chances; ``with_ok`` puts a column before them for the outcome ok;
    ``blank`` is the chance of each symptom when no item is at fault.
    """

    def __init__(self, privates: Sequence[tuple[Sound, float]], symptoms: int, blank: float, *, with_ok: bool) -> None:
        self.variants = len(privates) + 1
        self.all_good = math.prod(1 - chance for _, chance in privates)
        self._blank, self._with_ok = blank, with_ok
        sums = _sums(privates, symptoms)
        self._missed = sums.miss.sum(axis=1)
        self._none = sums.plain[:, 0]
        self._symptoms = symptoms
        parts = [sums.plain, sums.dull, *sums.hear, *sums.dull_hear]  # (2 + 2 symptoms) times (variants, sizes)
        self._stacked = np.stack(parts, axis=2).transpose(1, 0, 2).copy()  # (sizes, variants, 2 + 2 symptoms)

    def chances(self, shared: Shared, false_alarm: float, variants: int | None = None) -> Reals:
        """(variant, row, outcome): variant 0 sums over all private items, 1 + j over those sets that hold the j-th.

        The first ``variants`` of them, all if None.
        """
        rows, sizes = len(shared.count), self.variants
        stacked = self._stacked[:, :variants]
        number = shared.count[:, None] + np.arange(sizes)
        share = np.divide(1.0, number, out=np.zeros((rows, sizes)), where=number > 0)
        found = np.einsum("rs,svp->vrp", share, stacked)  # no BLAS: its threads get in each other's way
        heard, dull_heard = found[:, :, 2 : 2 + self._symptoms], found[:, :, 2 + self._symptoms :]
        left = ((1 - false_alarm) * shared.miss)[:, None]
        caught = false_alarm + ((1 - false_alarm) * shared.dull)[:, None]
        chance = caught * (shared.hear * found[:, :, :1] + heard) + left * (shared.hear * found[:, :, 1:2] + dull_heard)
        alone = shared.count == 0
        if alone.any():
            chance[:, alone] += false_alarm * self._blank * self._none[: len(chance), None, None]
        whole: Reals = chance
        if self._with_ok:
            whole = np.concatenate([left * self._missed[: len(chance), None, None], chance], axis=2)
        return whole


class Hearing:
    """What the chances say of marks, worked out once and kept: may serve any number of cases with the same chances."""

    def __init__(self, chances: Chances) -> None:
        self.chances = chances
        self._rows: dict[tuple[ItemKind, Asked], tuple[float, ...]] = {}
        self._factors: dict[tuple[tuple[Private, ...], Asked, bool], Factor] = {}

    def row(self, kind: ItemKind, asked: Asked) -> tuple[float, ...]:
        """Chance of each symptom asked about when one item of the kind is at fault; 1 where none was said."""
        key = (kind, asked)
        if key not in self._rows:
            of_kind = self.chances.hear[kind]
            self._rows[key] = tuple(1.0 if one is None else of_kind.get(one, 0.0) for one in asked)
        return self._rows[key]

    def factor(self, privates: tuple[Private, ...], asked: Asked, *, with_ok: bool) -> Factor:
        """The factor of a mark with these private items."""
        key = (privates, asked, with_ok)
        if key not in self._factors:
            sounds = [(Sound(self.chances.miss[kind], self.row(kind, asked)), chance) for kind, chance in privates]
            self._factors[key] = Factor(sounds, len(asked), blank(asked), with_ok=with_ok)
        return self._factors[key]


def blank(asked: Asked) -> float:
    """The chance of each symptom asked about when no item is at fault."""
    return 1.0 if asked == (None,) else 1 / len(SYMPTOMS)


@dataclass(slots=True)
class _Sums:
    """Sums over sets of private items by their number: of weight, times m, 1 - m, h, m h, (1 - m) h."""

    plain: Reals
    miss: Reals
    dull: Reals
    hear: Reals
    miss_hear: Reals
    dull_hear: Reals


def _sums(privates: Sequence[tuple[Sound, float]], symptoms: int) -> _Sums:
    """The sums over all sets (variant 0), and over those that hold each private item in turn."""
    variants, sizes = len(privates) + 1, len(privates) + 1
    first = np.zeros((variants, sizes))
    first[:, 0] = 1.0
    none = np.zeros((symptoms, variants, sizes))
    sums = _Sums(first, first.copy(), np.zeros_like(first), none, none.copy(), none.copy())
    for place, (sound, chance) in enumerate(privates):
        good = np.full((variants, 1), 1.0 - chance)
        good[1 + place] = 0.0
        sums = _with_item(sums, sound, good, chance)
    return sums


def _with_item(sums: _Sums, sound: Sound, good: Reals, chance: float) -> _Sums:
    miss, dull = sound.miss, 1.0 - sound.miss
    hear = np.array(sound.hear)[:, None, None]
    plain = chance * _up(sums.plain)
    missed = chance * _up(sums.miss)
    dulled = chance * (_up(sums.dull) + dull * _up(sums.miss))
    return _Sums(
        good * sums.plain + plain,
        good * sums.miss + miss * missed,
        good * sums.dull + dulled,
        good * sums.hear + chance * _up(sums.hear) + hear * plain,
        good * sums.miss_hear + miss * (chance * _up(sums.miss_hear) + hear * missed),
        good * sums.dull_hear + chance * (_up(sums.dull_hear) + dull * _up(sums.miss_hear)) + hear * dulled,
    )


def _up(sums: Reals) -> Reals:
    """The sums with one more item in every set."""
    moved = np.zeros_like(sums)
    moved[..., 1:] = sums[..., :-1]
    return moved
