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

from checkapp.diagnose.said import Sayings
from checkapp.rig.words import SYMPTOMS, ItemKind, Symptom

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.classes import Settings

    Reals = NDArray[np.float64]


MOST_FACTORS = 5000
"""So many factors of marks are kept; then all are forgotten."""


class Sound:
    """What a kind of item does to a line: its miss, and its chance of each symptom asked about."""

    def __init__(self, miss: float, hear: Sequence[float]) -> None:
        self.step = _step(miss, hear)


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
        self._missed = sums[1].sum(axis=1)
        self._none = sums[0, :, 0].copy()
        self._symptoms = symptoms
        parts = [0, 2, *range(3, 3 + symptoms), *range(3 + 2 * symptoms, 3 + 3 * symptoms)]
        self._stacked = sums[parts].transpose(2, 1, 0).copy()  # (size, variant, plain, dull, heard, dull and heard)

    def chances(self, shared: Shared, false_alarm: float, variants: int | None = None) -> Reals:
        """(variant, row, outcome): variant 0 sums over all private items, 1 + j over those sets that hold the j-th.

        The first ``variants`` of them, all if None.
        """
        stacked = self._stacked[:, :variants]
        alone = shared.count == 0
        number = shared.count[:, None] + np.arange(self.variants)
        if alone.any():
            number[alone, 0] = np.inf
        share = 1.0 / number
        found = np.einsum("rs,svp->vrp", share, stacked)  # no BLAS: its threads get in each other's way
        heard, dull_heard = found[:, :, 2 : 2 + self._symptoms], found[:, :, 2 + self._symptoms :]
        left = ((1 - false_alarm) * shared.miss)[:, None]
        caught = false_alarm + ((1 - false_alarm) * shared.dull)[:, None]
        chance = caught * (shared.hear * found[:, :, :1] + heard) + left * (shared.hear * found[:, :, 1:2] + dull_heard)
        if alone.any():
            chance[:, alone] += false_alarm * self._blank * self._none[: len(chance), None, None]
        whole: Reals = chance
        if self._with_ok:
            whole = np.concatenate([left * self._missed[: len(chance), None, None], chance], axis=2)
        return whole


class Hearing:
    """What the chances say of marks, worked out once and kept: may serve any number of cases with the same chances.

    May stand in place of the chances wherever suspects or tests are asked for again and again.
    """

    def __init__(self, chances: Chances) -> None:
        self.chances = chances
        self._rows: dict[tuple[ItemKind, Asked], tuple[float, ...]] = {}
        self.settings: dict[tuple[tuple[ItemKind, tuple[float, ...]], ...], Settings] = {}
        self._sounds: dict[tuple[ItemKind, Asked], Sound] = {}
        self._factors: dict[tuple[tuple[Private, ...], Asked, bool], Factor] = {}
        self.sayings = Sayings()

    def row(self, kind: ItemKind, asked: Asked) -> tuple[float, ...]:
        """Chance of each symptom asked about when one item of the kind is at fault; 1 where none was said."""
        key = (kind, asked)
        if key not in self._rows:
            of_kind = self.chances.hear[kind]
            self._rows[key] = tuple(1.0 if one is None else of_kind.get(one, 0.0) for one in asked)
        return self._rows[key]

    def _sound(self, kind: ItemKind, asked: Asked) -> Sound:
        key = (kind, asked)
        if key not in self._sounds:
            self._sounds[key] = Sound(self.chances.miss[kind], self.row(kind, asked))
        return self._sounds[key]

    def factor(self, privates: tuple[Private, ...], asked: Asked, *, with_ok: bool) -> Factor:
        """The factor of a mark with these private items."""
        key = (privates, asked, with_ok)
        if key not in self._factors:
            if len(self._factors) >= MOST_FACTORS:
                self._factors.clear()
            sounds = [(self._sound(kind, asked), chance) for kind, chance in privates]
            self._factors[key] = Factor(sounds, len(asked), blank(asked), with_ok=with_ok)
        return self._factors[key]


def hearing_of(chances: Chances | Hearing) -> Hearing:
    """The hearing of these chances."""
    return chances if isinstance(chances, Hearing) else Hearing(chances)


def blank(asked: Asked) -> float:
    """The chance of each symptom asked about when no item is at fault."""
    return 1.0 if asked == (None,) else 1 / len(SYMPTOMS)


def _sums(privates: Sequence[tuple[Sound, float]], symptoms: int) -> Reals:
    """Sums over sets of private items by their number, (part, variant, size): over all sets (variant 0), and over those
    that hold each private item in turn.

    The parts are the sums of weight, times m, 1 - m, and, for each symptom, times h, m h, (1 - m) h.
    """
    variants = len(privates) + 1
    sums = np.zeros((3 + 3 * symptoms, variants, variants))
    sums[:2, :, 0] = 1.0
    for place, (sound, chance) in enumerate(privates):
        more = (chance * sound.step) @ sums[:, :, : place + 1].reshape(len(sums), -1)
        sums *= 1.0 - chance
        sums[:, 1 + place] = 0.0
        sums[:, :, 1 : place + 2] += more.reshape(len(sums), variants, place + 1)
    return sums


def _step(miss: float, hear: Sequence[float]) -> Reals:
    """How one more faulty item changes the parts of the sums: (new part, old part), no number negative."""
    symptoms, dull = len(hear), 1.0 - miss
    step = np.diag([1.0, miss, 1.0] + [1.0] * symptoms + [miss] * symptoms + [1.0] * symptoms)
    step[2, 1] = dull
    for one, chance in enumerate(hear, 3):
        missed, dulled = one + symptoms, one + 2 * symptoms
        step[one, 0] = chance
        step[missed, 1] = miss * chance
        step[dulled, missed] = dull
        step[dulled, 1], step[dulled, 2] = dull * chance, chance
    return step
