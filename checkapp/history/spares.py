"""How many spares to carry: the smallest count that is enough with the level that is asked for.

Each item's faults in the next leg are Poisson with a gamma rate, so a negative binomial; those of a kind add up. Their
sum is worked out exactly, one count after the other, and averaged over what is known of the kind.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.history.rates import Count, Pool

    Reals = NDArray[np.float64]

MOST = 10_000
"""More spares than this are not worked out."""
_LEFT_OUT = 0.002
"""So much of the weight of what is known of a kind is left out: far less than the level is sure of itself."""


def enough(shapes: Sequence[float], rates: Sequence[float], horizon: float, level: float) -> int:
    """Spares for items whose rates are gamma with these shapes and rates, independent, over ``horizon`` exposures.

    ``level``: the probability, above 0 and below 1, that they are enough. ValueError: more than `MOST` would be needed.
    """
    return _smallest([(1.0, Counter(zip(shapes, rates, strict=True)))], horizon, level)


def spares(pool: Pool, counts: Sequence[Count], horizon: float, level: float) -> int:
    """Spares for the items with these histories over ``horizon`` exposures each; otherwise as `enough`."""
    known = Counter(counts)
    mixture = []
    for at in _heaviest(pool.weights):
        shape, rate, weight = pool.shapes[at], pool.rates[at], pool.weights[at]
        gammas: Counter[tuple[float, float]] = Counter()
        for one, many in known.items():
            gammas[float(shape) + one.faults, float(rate) + one.exposures] += many
        mixture.append((float(weight), gammas))
    return _smallest(mixture, horizon, level)


def _heaviest(weights: Reals) -> NDArray[np.intp]:
    """The points of the mixture that make up all of it but `_LEFT_OUT`."""
    order = np.argsort(-weights)
    many = int(np.searchsorted(np.cumsum(weights[order]), 1 - _LEFT_OUT)) + 1
    heaviest: NDArray[np.intp] = order[:many]
    return heaviest


def _smallest(mixture: list[tuple[float, Counter[tuple[float, float]]]], horizon: float, level: float) -> int:
    size, whole = 32, sum(weight for weight, _ in mixture)
    while size <= 2 * MOST:
        total = np.zeros(size)
        for weight, gammas in mixture:
            total += weight * _demand(gammas, horizon, size)
        reached = np.flatnonzero(np.cumsum(total) >= level * whole * (1 - 1e-12))
        if len(reached):
            return int(reached[0])
        size *= 2
    raise ValueError(f"more than {MOST} spares would be needed")


def _demand(gammas: Counter[tuple[float, float]], horizon: float, size: int) -> Reals:
    """The chances of a demand of 0, 1, ... below ``size``.

    With q = horizon/(rate + horizon) the logarithm of an item's generating function is
    shape (log(1 - q) - log(1 - q z)). Its derivative gives n P(n) = sum over j of s(j) P(n - j), where s(j) is the sum
    of shape q ** j over the items (the recursion for compound distributions; Panjer, ASTIN Bulletin 12, 1981).
    """
    shapes = np.array([shape * many for (shape, _), many in gammas.items()])
    parts = np.array([horizon / (rate + horizon) for _, rate in gammas])
    sums = np.empty(size)
    power = shapes.copy()
    for step in range(size):
        power = power * parts
        sums[step] = power.sum()
    chances = np.zeros(size)
    first = float((shapes * np.log1p(-parts)).sum())
    logs = np.zeros(size)
    chances[0], scale = 1.0, first
    for number in range(1, size):
        chances[number] = float(sums[:number] @ chances[number - 1 :: -1][:number]) / number
        if chances[number] > 1e250:
            chances[: number + 1] /= 1e250
            scale += 250 * math.log(10)
    with np.errstate(divide="ignore"):
        logs = np.log(chances) + scale
    return np.exp(logs)
