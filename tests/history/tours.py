"""Simulated tours with known truth: every item has its own rate, some are planted bad, some are pulled for a while.

Rates are drawn as the model has them: a gamma of known shape per kind. Faults come by chance at that rate in every
check that the item is in. The figures are invented, to be like those of a touring rig: no source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from random import Random
from types import MappingProxyType
from typing import TYPE_CHECKING

from checkapp.diagnose.chances import PRIOR
from checkapp.history.lives import Life, Tally
from checkapp.history.rates import NEAR_SD, SPREAD

if TYPE_CHECKING:
    from checkapp.rig.words import ItemKind

TIMES = 5.0
"""A planted bad item fails so many times as often as the mean of its kind."""


@dataclass(frozen=True, slots=True)
class KindOf:
    """So many items of a kind, the mean of their faults per check, and the shape of the gamma of their rates."""

    items: int
    rate: float
    shape: float = 4.0
    bad: int = 0


KINDS: Mapping[ItemKind, KindOf] = MappingProxyType(
    {
        "source": KindOf(30, 0.015, bad=1),
        "cable": KindOf(60, 0.02, bad=3),
        "hop": KindOf(8, 0.01),
        "port": KindOf(96, 0.003, bad=1),
        "box": KindOf(8, 0.004),
        "desk": KindOf(30, 0.002),
    }
)
"""A tour as they are: about three faults in every check."""


@dataclass(frozen=True, slots=True)
class Tour:
    """What is simulated. ``missed``: chance that a check marks no line through an item; ``pulled``: that a fault has
    it pulled, for one to ``out`` shows. ``checks`` of a show mark every line once each. ``benched``: what is out at the
    end of the tour was on the bench by then, and passed (a fault that comes and goes is seldom there on the bench).
    ``drawn``: the mean and the shape of each kind are drawn for each tour, from what the program takes for likely.
    """

    kinds: Mapping[ItemKind, KindOf] = field(default_factory=lambda: KINDS)
    shows: int = 30
    checks: int = 1
    missed: float = 0.05
    pulled: float = 0.3
    out: int = 4
    benched: bool = True
    drawn: bool = False


@dataclass(frozen=True, slots=True)
class Toured:
    """What history is told, the true rate of every item, and which were planted bad."""

    tally: Tally
    rates: Mapping[str, float]
    bad: frozenset[str]


def toured(tour: Tour, seed: int) -> Toured:
    """One tour. The same seed gives the same tour."""
    chance = Random(seed)
    lives: list[Life] = []
    rates: dict[str, float] = {}
    bad: set[str] = set()
    for kind, told in tour.kinds.items():
        of = drawn_kind(kind, told, chance) if tour.drawn else told
        planted = set(chance.sample(range(of.items), of.bad))
        for number in range(of.items):
            item = f"SIM.{kind.upper()}{number:03d}"
            rates[item] = of.rate * (TIMES if number in planted else chance.gammavariate(of.shape, 1 / of.shape))
            lives.append(_lived(tour, item, kind, rates[item], chance))
            if number in planted:
                bad.add(item)
    return Toured(Tally(tuple(sorted(lives, key=lambda life: life.item))), rates, frozenset(bad))


def drawn_kind(kind: ItemKind, of: KindOf, chance: Random) -> KindOf:
    """A kind as `checkapp.history.rates.near` has it: the mean log-normal, the spread by the inverse of its part.

    Spreads lie between 0.03 and 10, as far as the quadrature reaches.
    """
    rate = PRIOR[kind] * math.exp(NEAR_SD * chance.gauss(0.0, 1.0))
    spread = SPREAD * math.sqrt((1 - chance.uniform(0.002, 0.95)) ** -2 - 1)
    return replace(of, rate=rate, shape=1 / spread**2)


def _lived(tour: Tour, item: str, kind: ItemKind, rate: float, chance: Random) -> Life:
    exposures, out, pulled_at, last = 0, 0, None, False
    faults: list[int] = []
    for show in range(tour.shows):
        if out > 0:
            out -= 1
            continue
        pulled_at, last = None, False
        for _ in range(tour.checks):
            if chance.random() < tour.missed:
                continue
            exposures += 1
            found = poisson(rate, chance)
            faults += [exposures] * found
            if found and chance.random() < tour.pulled:
                out, pulled_at, last = chance.randint(1, tour.out), _at(show), True
                break
    bench = True if tour.benched and pulled_at is not None else None
    return Life(item, kind, exposures, tuple(faults), _at(0), _at(tour.shows - 1), pulled_at, last, bench)


def poisson(mean: float, chance: Random) -> int:
    """A count with that mean, by chance: how many unit-rate arrivals fit before it."""
    count, left = 0, mean - chance.expovariate(1.0)
    while left > 0:
        count, left = count + 1, left - chance.expovariate(1.0)
    return count


def _at(show: int) -> str:
    return f"2031-{3 + show // 15:02d}-{1 + show % 15:02d}T15:00:00Z"


# -- how well anything at all could do


def reach(mean: float, times: float = TIMES, false: float = 0.02, shape: float | None = None) -> float:
    """How many of the bad ones the best test names that names that part of the good ones.

    ``mean`` faults of a good item in all its checks, ``times`` that of a bad one; a good item's rate is known, or
    drawn from a gamma of ``shape``. The test knows both rates; between two counts it tosses a coin (the lemma of
    Neyman and Pearson: no test of the same size has more power).
    """
    named_good = named_bad = 0.0
    good, bad = (
        [_negative_binomial(n, mean, shape) for n in range(200)],
        [_poisson(n, times * mean) for n in range(200)],
    )
    for count in reversed(range(200)):
        if named_good + good[count] > false:
            return named_bad + bad[count] * (false - named_good) / good[count]
        named_good, named_bad = named_good + good[count], named_bad + bad[count]
    return named_bad


def likelihood_ratio(life: Life, of: KindOf, times: float = TIMES) -> float:
    """How much likelier its faults are for a bad item than for a good one, in logarithms, rounded to compare."""
    if life.exposures == 0:
        return 0.0
    count, mean = len(life.faults), of.rate * life.exposures
    good, bad = _negative_binomial(count, mean, of.shape), _poisson(count, times * mean)
    return round(math.log(max(bad, 1e-300)) - math.log(max(good, 1e-300)), 9)


def least_mean(goal: float = 0.8, shape: float | None = None) -> float:
    """The fewest faults per good item at which that many of the bad ones can be named; by halves."""
    low, high = 0.01, 20.0
    for _ in range(40):
        middle = math.sqrt(low * high)
        low, high = (low, middle) if reach(middle, shape=shape) >= goal else (middle, high)
    return high


def _poisson(count: int, mean: float) -> float:
    return math.exp(count * math.log(mean) - mean - math.lgamma(count + 1))


def _negative_binomial(count: int, mean: float, shape: float | None) -> float:
    if shape is None:
        return _poisson(count, mean)
    part = mean / (mean + shape)
    logs = math.lgamma(shape + count) - math.lgamma(shape) - math.lgamma(count + 1)
    return math.exp(logs + shape * math.log1p(-part) + count * math.log(part))
