"""Growth, trend and rates against a general survival library (surpyval), on random data.

It works out the same four things by code of its own: the power law's maximum likelihood, Laplace's and the handbook's
statistic, exact limits of a Poisson rate. It has no gamma-Poisson pool and no predictive for spares; those are checked
against drawn data and published figures only.
"""

import numpy as np
import pytest
from surpyval.recurrent import CrowAMSAA, mil_hdbk_189c
from surpyval.recurrent import laplace as laplace_test
from surpyval.test_planning import demonstrated_mtbf

from checkapp.history.growth import growth
from checkapp.history.many import rates_of
from checkapp.history.rates import Count, Pool
from checkapp.history.trend import laplace, trend

pytestmark = pytest.mark.independent

SETS = 150


def drawn(seed):
    """Times of 3 to 40 faults and the end of the watch, of a power law of shape 0.3 to 3."""
    rng = np.random.default_rng(seed)
    end, shape = float(rng.uniform(5, 2000)), rng.uniform(0.3, 3.0)
    return sorted(float(end * part ** (1 / shape)) for part in rng.uniform(size=rng.integers(3, 41))), end


@pytest.mark.parametrize("first", range(0, SETS, 50))
def test_power_law(first):
    for seed in range(first, first + 50):
        times, end = drawn(seed)
        model = CrowAMSAA.fit([*times, end], c=[0] * len(times) + [1])
        alpha, beta = model.params
        found = growth(times, end)
        assert found.shape == pytest.approx(beta, rel=1e-9)
        assert found.scale == pytest.approx(alpha**-beta, rel=1e-7)
        assert found.rate == pytest.approx(float(model.iif(end)), rel=1e-9)
        assert 2 * len(times) / found.shape == pytest.approx(mil_hdbk_189c(times, T=end).statistic, rel=1e-9)


def test_laplace_and_its_probability():
    for seed in range(SETS):
        times, end = drawn(seed)
        whole, to_last = laplace_test(times, T=end), laplace_test(times)
        assert laplace(times, end) == pytest.approx(whole.statistic, rel=1e-9, abs=1e-12)
        assert laplace(times, None) == pytest.approx(to_last.statistic, rel=1e-9, abs=1e-12)


def test_the_word_for_a_trend_of_an_item_is_that_of_the_library():
    said = {"increasing": "worse", "decreasing": "better", "none": "steady"}
    words = set()
    for seed in range(SETS):
        rng = np.random.default_rng(seed)
        exposures = int(rng.integers(10, 200))
        parts = rng.beta(rng.uniform(0.4, 3), 1, size=rng.integers(3, 12))
        faults = sorted(1 + int(exposures * part * 0.999) for part in parts)
        wanted = laplace_test([at - 0.5 for at in faults], T=float(exposures))
        found = trend(faults, exposures)
        assert (found.word, found.p) == (said[wanted.trend], pytest.approx(wanted.p_value, rel=1e-9))
        words.add(found.word)
    assert words == set(said.values())


def vague(log_shape, log_mean, _counts):
    """Shape all but 1, and a mean of about 20000 faults an exposure: gamma rates that are all but flat."""
    return -0.5 * ((log_shape / 0.02) ** 2 + ((log_mean - 10.0) / 0.02) ** 2)


def test_upper_limits_of_a_rate_of_which_nothing_was_known_are_the_exact_ones():
    """After x faults in time t a flat rate is gamma with shape x + 1: its quantiles are the exact upper limits."""
    rng = np.random.default_rng(8)
    counts = [Count(int(rng.integers(0, 30)), float(rng.uniform(1, 500))) for _ in range(SETS)]
    pool = Pool([Count(3, 0.001)], vague)
    for one, many in zip(counts, rates_of(pool, counts), strict=True):
        wanted = 1 / demonstrated_mtbf(one.exposures, one.faults, alpha_ci=0.05)
        assert pool.rate(one).high == pytest.approx(wanted, rel=0.003)
        assert many.high == pytest.approx(wanted, rel=0.003)
