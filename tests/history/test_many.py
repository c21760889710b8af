"""Rates of many items at once, against the same worked out one by one."""

from __future__ import annotations

import numpy as np
import pytest

from checkapp.history.many import above_of, rates_of
from checkapp.history.rates import Count, Pool


def drawn(items: int, exposures: tuple[int, int], shape: float, mean: float) -> list[Count]:
    chance = np.random.default_rng(3)
    times = chance.integers(*exposures, size=items)
    faults = chance.poisson(chance.gamma(shape, mean / shape, size=items) * times)
    return [Count(int(many), float(time)) for many, time in zip(faults, times, strict=True)]


@pytest.mark.independent
@pytest.mark.parametrize(
    "counts", [drawn(900, (1, 800), 2.0, 0.02), drawn(60, (20, 40), 4.0, 0.02), drawn(200, (300, 800), 0.5, 0.002)]
)
def test_as_one_by_one(counts: list[Count]) -> None:
    """Independent: `Pool.rate` halves intervals with all points of the mixture."""
    pool = Pool(counts)
    rates, above = rates_of(pool, counts), above_of(pool, counts, 2 * pool.mean)
    for place in {counts.index(max(counts)), counts.index(min(counts)), *range(0, len(counts), len(counts) // 8)}:
        assert rates[place] == pytest.approx(pool.rate(counts[place]), rel=1e-4)
        assert above[place] == pytest.approx(pool.above(counts[place], 2 * pool.mean), abs=1e-4)


def test_none_at_all() -> None:
    pool = Pool([Count(1, 5.0)])
    assert (rates_of(pool, []), above_of(pool, [], 0.1)) == ([], [])
