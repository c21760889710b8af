"""The rates of thousands of items at once: the same figures as `checkapp.history.rates.Pool.rate`, to about 1e-5.

Three things make it fast. Of the mixture that stands for what is known of a kind, the points that weigh next to nothing
are left out. The ends of all intervals are found together, by Newton's method. And where items with as many faults have
many different exposures, the ends are worked out at a few exposures only: between them they lie on a smooth curve, a
polynomial through Chebyshev nodes (Trefethen, "Approximation Theory and Approximation Practice", 2013, chapter 5).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import gammainc, gammaincc, gammaincinv, gammaln

from checkapp.history.rates import Rate

if TYPE_CHECKING:
    from checkapp.history.rates import Count, Pool, Reals

_LEFT_OUT = 1e-6
_NODES = 16
_MOST_STEPS = 40
_LONGEST_STEP = 2.0
_NEAR = 1e-8
_HALF = 0.5


def rates_of(pool: Pool, counts: Sequence[Count], level: float = 0.9) -> list[Rate]:
    """The rate of each item with such a history; level above 0 and below 1."""
    if not counts:
        return []
    mix = _Mixture(pool)
    faults, exposures = _columns(counts)
    low, high = (
        np.exp(_smooth(mix, faults, exposures, partial(mix.log_quantiles, part=part)))
        for part in ((1 - level) / 2, (1 + level) / 2)
    )
    means = mix.means(faults, exposures)
    return [Rate(*map(float, row)) for row in zip(means, low, high, strict=True)]


def above_of(pool: Pool, counts: Sequence[Count], rate: float) -> list[float]:
    """The probability of each item with such a history that its rate is above ``rate``."""
    if not counts:
        return []
    mix = _Mixture(pool)
    found = _smooth(mix, *_columns(counts), partial(mix.above, rate=rate))
    return [float(one) for one in np.clip(found, 0.0, 1.0)]


def _columns(counts: Sequence[Count]) -> tuple[Reals, Reals]:
    return np.array([one.faults for one in counts], float), np.array([one.exposures for one in counts], float)


class _Mixture:
    """The points that matter of a pool's mixture; arguments are faults and exposures, one after the other."""

    def __init__(self, pool: Pool) -> None:
        order = np.argsort(pool.weights)
        kept = order[np.cumsum(pool.weights[order]) > _LEFT_OUT]
        self.shapes, self.rates = pool.shapes[kept], pool.rates[kept]
        self.weights = pool.weights[kept] / pool.weights[kept].sum()
        self.scale = float(self.weights @ self.rates)

    def means(self, faults: Reals, exposures: Reals) -> Reals:
        shapes, rates = self._gammas(faults, exposures)
        found: Reals = (shapes / rates) @ self.weights
        return found

    def above(self, faults: Reals, exposures: Reals, rate: float) -> Reals:
        shapes, rates = self._gammas(faults, exposures)
        found: Reals = gammaincc(shapes, rate * rates) @ self.weights
        return found

    def log_quantiles(self, faults: Reals, exposures: Reals, part: float) -> Reals:
        """Logarithms of where that part of the weight lies below, by Newton's method in logarithms of both sides."""
        shapes, rates = self._gammas(faults, exposures)
        tail, wanted = (gammainc, part) if part < _HALF else (gammaincc, 1 - part)
        sign = 1.0 if part < _HALF else -1.0
        logs, constant = self._first(shapes, rates, part), gammaln(shapes)
        low, high = np.full(len(logs), -np.inf), np.full(len(logs), np.inf)
        for _ in range(_MOST_STEPS):
            at = rates * np.exp(logs)[:, None]
            weight = np.maximum(tail(shapes, at) @ self.weights, 1e-300)
            slope = np.exp(shapes * np.log(at) - at - constant) @ self.weights / weight
            off = sign * (np.log(weight) - np.log(wanted))
            low, high = np.where(off < 0, logs, low), np.where(off > 0, logs, high)
            step = np.clip(-off / np.maximum(slope, 1e-300), -_LONGEST_STEP, _LONGEST_STEP)
            following = logs + step
            outside = (following <= low) | (following >= high)
            following = np.where(outside & np.isfinite(low) & np.isfinite(high), (low + high) / 2, following)
            moved, logs = np.abs(following - logs), following
            if moved.max() < _NEAR:
                break
        return logs

    def _first(self, shapes: Reals, rates: Reals, part: float) -> Reals:
        """The same of the gamma distributions with the mixtures' means and variances."""
        means = (shapes / rates) @ self.weights
        squares = (shapes * (shapes + 1) / rates**2) @ self.weights
        spread = squares - means**2
        found: Reals = np.log(np.maximum(gammaincinv(means**2 / spread, part) * spread / means, 1e-300))
        return found

    def _gammas(self, faults: Reals, exposures: Reals) -> tuple[Reals, Reals]:
        return self.shapes + faults[:, None], self.rates + exposures[:, None]


def _smooth(mix: _Mixture, faults: Reals, exposures: Reals, work_out: Callable[[Reals, Reals], Reals]) -> Reals:
    """What ``work_out`` gives for each item; along many different exposures through a few of them."""
    found = np.empty(len(faults))
    for number in np.unique(faults):
        places = np.flatnonzero(faults == number)
        times, back = np.unique(exposures[places], return_inverse=True)
        if len(times) <= 2 * _NODES:
            found[places] = work_out(np.full(len(times), number), times)[back]
            continue
        ends = np.log(mix.scale + times[[0, -1]])
        nodes = np.polynomial.chebyshev.chebpts2(_NODES)
        grid = np.exp((ends[1] - ends[0]) / 2 * nodes + ends.mean()) - mix.scale
        told = work_out(np.full(_NODES, number), np.maximum(grid, 0.0))
        fit = np.polynomial.chebyshev.chebfit(nodes, told, _NODES - 1)
        on = (np.log(mix.scale + times) - ends.mean()) / ((ends[1] - ends[0]) / 2)
        found[places] = np.polynomial.chebyshev.chebval(on, fit)[back]
    return found
