"""Rates, trends, growth, spares against published data and tables; the source stands beside each.

Values marked "recomputed" are those of a source's own formula on its data, worked out apart from this program.
"""

import math

import pytest
from scipy import stats

from checkapp.history.false_alarms import told
from checkapp.history.growth import growth
from checkapp.history.rates import Count, Pool
from checkapp.history.spares import enough
from checkapp.history.trend import laplace

PUMPS = [
    Count(faults, time)
    for faults, time in zip(
        (5, 1, 5, 14, 3, 19, 1, 1, 4, 22),
        (94.3, 15.7, 62.9, 126.0, 5.24, 31.4, 1.05, 1.05, 2.1, 10.5),
        strict=True,
    )
]


def exponential_and_gamma(log_shape, log_mean, _counts):
    """Shape ~ Exp(1), rate ~ Gamma(0.1, 1), as densities of the logarithms."""
    import numpy as np

    shape = np.exp(log_shape)
    log_rate = log_shape - log_mean
    return -shape + log_shape + 0.1 * log_rate - np.exp(log_rate)


@pytest.mark.published
def test_ten_pumps():
    """Gaver and O'Muircheartaigh, Technometrics 29 (1987); prior and posterior means of George, Makov and Smith, Scand.
    J. Statist. 20 (1993), exact by quadrature: published simulation figures agree to about 2 %."""
    pool = Pool(PUMPS, exponential_and_gamma)
    found = [pool.rate(one).mean for one in PUMPS]
    wanted = [0.0598, 0.1018, 0.0892, 0.1158, 0.6013, 0.6094, 0.8925, 0.8925, 1.586, 1.990]
    assert found == pytest.approx(wanted, rel=1e-3)
    assert float(pool.weights @ pool.shapes) == pytest.approx(0.697, abs=1e-3)
    assert float(pool.weights @ pool.rates) == pytest.approx(0.927, abs=1e-3)


REPAIRED = [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478]


@pytest.mark.published
def test_laplace_of_one_repairable_system():
    """NIST/SEMATECH e-Handbook 8.2.3.4: failures of a system watched for 1500 hours; z recomputed."""
    assert laplace(REPAIRED, 1500.0) == pytest.approx(-1.32695, abs=5e-6)


@pytest.mark.published
def test_power_law_of_one_repairable_system():
    """NIST/SEMATECH e-Handbook 8.4.5.2: b (modified) 0.4835, a 0.2913; MIL-HDBK-189 statistic 37.2281 (recomputed)."""
    found = growth(REPAIRED, 1500.0)
    assert found.unbiased == pytest.approx(0.483506, abs=5e-7)
    assert len(REPAIRED) / 1500.0**found.unbiased == pytest.approx(0.2913, abs=5e-5)
    assert 2 * len(REPAIRED) / found.shape == pytest.approx(37.2281, abs=5e-5)


@pytest.mark.published
def test_power_law_of_the_handbook():
    """MIL-HDBK-189 (1981), appendix C: 27 failures in 300 hours, shape 0.716, scale 0.454."""
    times = [
        *(2.6, 16.5, 16.5, 17.0, 21.4, 29.1, 33.3, 56.5, 63.1, 70.6, 73.0, 77.7, 93.9, 95.5, 98.1, 101.1, 132.0),
        *(142.2, 147.7, 149.0, 167.2, 190.7, 193.0, 198.7, 251.9, 282.5, 286.1),
    ]
    found = growth(times, 300.0)
    assert found.shape == pytest.approx(0.716339, abs=5e-7)
    assert found.scale == pytest.approx(0.453842, abs=5e-7)


@pytest.mark.published
@pytest.mark.parametrize(
    ("events", "low", "high"), [(0, 0.0, 3.689), (1, 0.025, 5.572), (3, 0.619, 8.767), (10, 4.795, 18.390)]
)
def test_exact_poisson_limits(events, low, high):
    """Garwood, Biometrika 28 (1936), 95 % (recomputed): a gamma rate with shape x or x + 1 has these as its quantiles.

    The gamma quantiles of a single item with an all but flat prior must lie within them.
    """
    from scipy.special import gammaincinv

    assert (float(gammaincinv(events, 0.025)) if events else 0.0) == pytest.approx(low, abs=5e-4)
    assert float(gammaincinv(events + 1, 0.975)) == pytest.approx(high, abs=5e-4)


@pytest.mark.published
@pytest.mark.parametrize(("mean", "wanted"), [(2.0, 5), (5.0, 9), (10.0, 15)])
def test_spares_for_a_known_rate(mean, wanted):
    """Poisson spares table at 95 % (closed form): a rate that is all but known."""
    sure = 1e9
    assert enough([mean * sure], [sure], 1.0, 0.95) == wanted
    assert int(stats.poisson.ppf(0.95, mean)) == wanted


@pytest.mark.published
def test_spares_for_an_uncertain_rate():
    """Negative binomial, closed form: shape 5, rate 100, horizon 50 needs 6 at 95 %; the mean rate says 5."""
    assert enough([5.0], [100.0], 50.0, 0.95) == 6
    assert int(stats.nbinom.ppf(0.95, 5, 100 / 150)) == 6
    assert int(stats.poisson.ppf(0.95, 5 / 100 * 50)) == 5


@pytest.mark.independent
def test_spares_of_many_items_against_drawn_ones():
    import numpy as np

    rng = np.random.default_rng(3)
    shapes, rates = [0.5, 2.0, 3.5, 0.5, 8.0], [20.0, 40.0, 10.0, 5.0, 90.0]
    drawn = sum(rng.poisson(rng.gamma(a, 1 / b, 200_000) * 12.0) for a, b in zip(shapes, rates, strict=True))
    for level in (0.5, 0.9, 0.95, 0.99):
        found = enough(shapes, rates, 12.0, level)
        assert (drawn <= found).mean() >= level - 4 * math.sqrt(level * (1 - level) / len(drawn))
        assert found == 0 or (drawn <= found - 1).mean() < level + 4 * math.sqrt(level * (1 - level) / len(drawn))


@pytest.mark.published
def test_fifteen_tests_of_one_trial():
    """Benjamini and Hochberg, J. R. Statist. Soc. B 57 (1995), section 3.2: of 15 tests the first four are told at
    0.05, as 0.0095 <= 4/15 x 0.05 = 0.013 is the last under its step; nine would be, each taken by itself."""
    tests = [0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344]
    tests += [0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000]
    assert told(tests, 0.05) == [True] * 4 + [False] * 11
    assert told(tests[::-1], 0.05) == [False] * 11 + [True] * 4
