"""Spares against the plain way: negative binomials by scipy, added up item after item, point after point."""

from collections.abc import Iterable

import numpy as np
import pytest
from scipy.stats import nbinom

from checkapp.history.rates import Count, Pool, near
from checkapp.history.spares import enough, spares

MOST = 400


def plainly(gammas: Iterable[tuple[float, float]], horizon: float) -> np.ndarray:
    """The chances of a demand of 0, 1, ... of items with these gamma shapes and rates."""
    total = np.ones(1)
    for shape, rate in gammas:
        total = np.convolve(total, nbinom.pmf(np.arange(MOST), shape, rate / (rate + horizon)))[:MOST]
    return total


@pytest.mark.independent
@pytest.mark.parametrize("level", [0.05, 0.5, 0.95, 0.999])
def test_items_of_all_rates(level: float) -> None:
    gammas = [(0.3, 5.0), (2.0, 5.0), (1.1, 40.0), (7.5, 12.0), (0.3, 5.0)]
    wanted = int(np.flatnonzero(np.cumsum(plainly(gammas, 12.0)) >= level)[0])
    assert enough(*map(list, zip(*gammas, strict=True)), 12.0, level) == wanted  # type: ignore[arg-type]


@pytest.mark.independent
@pytest.mark.parametrize(("horizon", "level"), [(5.0, 0.5), (20.0, 0.95), (60.0, 0.8)])
def test_averaged_over_what_is_known_of_the_kind(horizon: float, level: float) -> None:
    counts = [Count(faults, 10.0 + times) for faults in (0, 0, 1, 3) for times in (0, 0, 7)]
    pool = Pool(counts, near(0.05))
    heavy = np.argsort(-pool.weights)[:60]
    total = np.zeros(MOST)
    for shape, rate, weight in zip(pool.shapes[heavy], pool.rates[heavy], pool.weights[heavy], strict=True):
        total += weight * plainly(((shape + one.faults, rate + one.exposures) for one in counts), horizon)
    light = 1 - pool.weights[heavy].sum()
    least, most = (int(np.flatnonzero(np.cumsum(total) + rest >= level)[0]) for rest in (light, 0.0))
    assert most - least <= 1 + most // 10
    assert least <= spares(pool, counts, horizon, level) <= most


def test_too_many_are_not_worked_out() -> None:
    with pytest.raises(ValueError, match="more than 10000"):
        enough([1e6], [1.0], 1.0, 0.5)


def test_no_items_need_none() -> None:
    assert enough([], [], 20.0, 0.95) == 0
