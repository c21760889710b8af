"""How many spares to carry: the smallest count that is enough with the level that is asked for.

Each item's faults in the next leg are Poisson with a gamma rate, so a negative binomial; those of a kind add up. Their
sum is worked out exactly, one count after the other, and averaged over what is known of the kind. Items with the same
rate add up to one gamma whose shape is the sum of theirs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.history.rates import Count, Pool

    Reals = NDArray[np.float64]

MOST = 10_000
"""More spares than this are not worked out."""
_LEFT_OUT = 0.002
"""So much of the weight of what is known of a kind is left out: far less than the level is sure of itself."""
_LARGEST = 1e250
_AT_ONCE = 2**17


class _Mixture(NamedTuple):
    """What may be, with ``weights``: for each the items' shapes and q = horizon/(rate + horizon), along two axes."""

    weights: Reals
    shapes: Reals
    parts: Reals


def enough(shapes: Sequence[float], rates: Sequence[float], horizon: float, level: float) -> int:
    """Spares for items whose rates are gamma with these shapes and rates, independent, over ``horizon`` exposures.

    ``level``: the probability, above 0 and below 1, that they are enough. ValueError: more than `MOST` would be needed.
    """
    of_rate = _added(zip(rates, shapes, strict=True))
    parts = horizon / (np.array([list(of_rate)]) + horizon)
    return _smallest(_Mixture(np.ones(1), np.array([list(of_rate.values())]), parts), level)


def spares(pool: Pool, counts: Sequence[Count], horizon: float, level: float) -> int:
    """Spares for the items with these histories over ``horizon`` exposures each; otherwise as `enough`."""
    faults = _added((one.exposures, one.faults) for one in counts)
    items = _added((one.exposures, 1) for one in counts)
    heaviest = _heaviest(pool.weights)
    shapes = np.outer(pool.shapes[heaviest], list(items.values())) + list(faults.values())
    rates = pool.rates[heaviest][:, None] + list(items)
    return _smallest(_Mixture(pool.weights[heaviest], shapes, horizon / (rates + horizon)), level)


def _added(pairs: Iterable[tuple[float, float]]) -> dict[float, float]:
    """The sum of the second numbers for each first one."""
    found: dict[float, float] = {}
    for key, number in pairs:
        found[key] = found.get(key, 0.0) + number
    return found


def _heaviest(weights: Reals) -> NDArray[np.intp]:
    """The points of the mixture that make up all of it but `_LEFT_OUT`."""
    order = np.argsort(-weights)
    many = int(np.searchsorted(np.cumsum(weights[order]), 1 - _LEFT_OUT)) + 1
    heaviest: NDArray[np.intp] = order[:many]
    return heaviest


def _smallest(mixture: _Mixture, level: float) -> int:
    weights, shapes, parts = mixture
    size, whole = 32, float(weights.sum())
    mean = float(weights @ (shapes * parts / (1 - parts)).sum(axis=1)) / whole
    while size < min(mean, MOST):
        size *= 2
    while size <= 2 * MOST:
        total, step = np.zeros(size), 1 + _AT_ONCE // max(size, shapes.shape[1])
        for at in range(0, len(weights), step):
            some = slice(at, at + step)
            total += weights[some] @ _demand(shapes[some], parts[some], size)
        reached = np.flatnonzero(np.cumsum(total) >= level * whole * (1 - 1e-12))
        if len(reached):
            return int(reached[0])
        size *= 2
    raise ValueError(f"more than {MOST} spares would be needed")


def _demand(shapes: Reals, parts: Reals, size: int) -> Reals:
    """The chances of a demand of 0, 1, ... below ``size``, along the second axis, for each row of items.

    The logarithm of an item's generating function is shape (log(1 - q) - log(1 - q z)). Its derivative gives
    n P(n) = sum over j of s(j) P(n - j), where s(j) is the sum of shape q ** j over the items (the recursion for
    compound distributions; Panjer, ASTIN Bulletin 12, 1981).
    """
    sums, power = np.empty((len(shapes), size)), shapes
    for step in range(size):
        power = power * parts
        sums[:, step] = power.sum(axis=1)
    chances, scale = np.zeros((len(shapes), size)), (shapes * np.log1p(-parts)).sum(axis=1)
    chances[:, 0] = 1.0
    for number in range(1, size):
        earlier = chances[:, number - 1 :: -1][:, :number]
        chances[:, number] = np.einsum("ij,ij->i", sums[:, :number], earlier) / number
        large = chances[:, number] > _LARGEST
        if large.any():
            chances[large] /= _LARGEST
            scale[large] += math.log(_LARGEST)
    with np.errstate(divide="ignore"):
        logs = np.log(chances) + scale[:, None]
    found: Reals = np.exp(logs)
    return found
