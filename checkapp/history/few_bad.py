"""Which items are not like their kind: nearly all are much alike, and a few are bad.

`checkapp.history.rates` says how large rates are and takes all spreads of them for possible. To say who is bad, and
whom to suspect, that is too open: one item with two faults by chance is soon taken for one that fails often. Here an
item's rate is gamma about the mean of its kind with a relative spread of 0.35, 0.5 or 0.7, each as likely; one item in
twenty is bad, and its rate gamma with shape 2 about 5 times as much. All of these numbers are choices, no source.

The mean of the kind is not known either. Where a prior is told, the ratio to it is spread about 1 on a logarithmic
scale as Student's t with 2 degrees of freedom and scale 0.1: a kind stays near its prior by little evidence, and leaves
it by much, for the tails of a t are heavy (Dawid, "Posterior expectations for large observations", Biometrika 60, 1973;
from memory). Where none is told, it is log-normal by a factor of 7 about all faults over all exposures, as in
`checkapp.history.rates.weak`. Mean, spread and item are integrated over together.

In drills after tours with no bad item, in kinds that are just as their priors say, there is nothing to learn. With the
pool of `checkapp.history.rates` the first suspect was right in 3.2 of 100 drills fewer than without any history (7200
drills, standard error 0.5); with this in 0.1 more (9000 drills, standard error 0.3), and the gain with bad items grew.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import betainc, gammaln

from checkapp.history.rates import Count

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Reals = NDArray[np.float64]

SPREADS = (0.35, 0.5, 0.7)
"""The standard deviation of the rates of items that are not bad, over their mean."""
BAD = 0.05
"""So many items of a kind are bad."""
TIMES = 5.0
"""A bad item fails so many times as often as others, on average."""
BAD_SHAPE = 2.0
FREEDOM, SCALE = 2.0, 0.1
MEAN_SD = 2.0
_FURTHEST, _POINTS = math.log(30.0), 61
_DROPPED = 18.0
_SHAPES = np.array([1 / spread**2 for spread in SPREADS])[:, None]


class FewBad:
    """The items of a kind, whose chance of being faulty at a check is ``prior`` before anything was seen.

    None for ``prior``: nothing is known of it. ``stated``: the kind's chance is that, and only its items differ.
    """

    def __init__(self, counts: Iterable[Count], prior: float | None = None, *, stated: bool = False) -> None:
        """ValueError: the prior is not above 0 and below 1, or there is none and no item was exposed."""
        if prior is not None and not 0 < prior < 1:
            raise ValueError("the prior must be above 0 and below 1")
        known = Counter(one for one in counts if one.exposures > 0)
        if prior is None and not known:
            raise ValueError("no item was exposed and there is no prior")
        self._told, middle = prior is not None, _middle(known, prior)
        self._many = np.array(list(known.values()), float)
        self._seen = _columns(list(known))
        box = (-_FURTHEST, _FURTHEST) if not stated else (0.0, 0.0)
        for _ in range(0 if stated else 2):
            box = self._narrowed(middle, box)
        ratios = np.linspace(*box, 1 if stated else _POINTS)
        logs = self._logs(middle, ratios)
        weights = np.exp(logs - logs.max())
        self._means, self._weights = middle * np.exp(ratios), weights / weights.sum()  # (ratio), (spread, ratio)

    def chances(self, counts: Sequence[Count]) -> list[float]:
        """That an item with such a history is faulty at a check; `Count` of 0 in 0: one of which nothing is known."""
        faults, exposures = _columns(counts)
        good, bad = self._both(faults, exposures, self._means)
        is_bad = np.exp(bad - np.logaddexp(good, bad))
        rates = (1 - is_bad) * (_SHAPES + faults) / (_SHAPES / self._means + exposures)
        rates = rates + is_bad * (BAD_SHAPE + faults) / (BAD_SHAPE / (TIMES * self._means) + exposures)
        return [float(one) for one in -np.expm1(-self._averaged(rates))]

    def odds(self, counts: Sequence[Count]) -> list[float]:
        """The probability that one of the kind that is not bad has at least so many faults in so many exposures."""
        faults, exposures = _columns(counts)
        parts = exposures / (_SHAPES / self._means + exposures)
        tails = np.where((faults > 0) & (exposures > 0), betainc(np.maximum(faults, 1.0), _SHAPES, parts), 1.0)
        return [float(one) for one in self._averaged(tails)]

    def _averaged(self, values: Reals) -> Reals:
        averaged: Reals = np.einsum("isr,sr->i", values, self._weights)
        return averaged

    def _narrowed(self, middle: float, box: tuple[float, float]) -> tuple[float, float]:
        """The part of the box in which there is weight, and a step more on both sides."""
        ratios = np.linspace(*box, _POINTS)
        logs = self._logs(middle, ratios)
        at = np.flatnonzero((logs > logs.max() - _DROPPED).any(axis=0))
        return float(ratios[max(0, at[0] - 1)]), float(ratios[min(_POINTS - 1, at[-1] + 1)])

    def _logs(self, middle: float, ratios: Reals) -> Reals:
        """The logarithm of the density of spread and ratio given what was seen, but for a constant."""
        if self._told:
            density = -0.5 * (FREEDOM + 1) * np.log1p((ratios / SCALE) ** 2 / FREEDOM)
        else:
            density = -0.5 * (ratios / MEAN_SD) ** 2
        each = np.logaddexp(*self._both(*self._seen, middle * np.exp(ratios)))
        logs: Reals = density + np.einsum("isr,i->sr", each, self._many)
        return logs

    def _both(self, faults: Reals, exposures: Reals, means: Reals) -> tuple[Reals, Reals]:
        """The logarithms of the chance of a history together with the item's being good, and bad."""
        good = math.log1p(-BAD) + _log_chance(faults, exposures, _SHAPES, means)
        return good, math.log(BAD) + _log_chance(faults, exposures, np.full((1, 1), BAD_SHAPE), TIMES * means)


def _middle(known: Counter[Count], prior: float | None) -> float:
    """The mean rate of an item that is not bad, as it was told, or as all of them together had it."""
    if prior is not None:
        return -math.log1p(-prior) / (1 - BAD + BAD * TIMES)
    faults = sum(one.faults * many for one, many in known.items())
    return (faults + 0.5) / sum(one.exposures * many for one, many in known.items())


def _columns(counts: Sequence[Count]) -> tuple[Reals, Reals]:
    """Faults and exposures along the first of three axes; spread and ratio are the others."""
    faults, exposures = np.array([one.faults for one in counts], float), np.array([one.exposures for one in counts])
    return faults[:, None, None], exposures[:, None, None]


def _log_chance(faults: Reals, exposures: Reals, shapes: Reals, means: Reals) -> Reals:
    """Of so many faults where the rate is gamma, but for what does not depend on the gamma: negative binomial."""
    rates = shapes / means
    constant = gammaln(shapes + faults) - gammaln(shapes)
    found: Reals = constant + shapes * np.log(rates) - (shapes + faults) * np.log(rates + exposures)
    return found
