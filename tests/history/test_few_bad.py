"""Few bad items in a kind: chances and tails against sums over drawn rates, and in the limits."""

import numpy as np
import pytest

from checkapp.history.few_bad import BAD, BAD_SHAPE, FREEDOM, MEAN_SD, SCALE, SPREADS, TIMES, FewBad
from checkapp.history.rates import Count

UNKNOWN = Count(0, 0.0)
SEEN = [Count(0, 30.0)] * 6 + [Count(1, 30.0)] * 2 + [Count(3, 25.0)]
DRAWS = 400_000


@pytest.mark.closed_form
def test_of_nothing_seen_a_stated_kind_has_its_prior():
    assert FewBad([], 0.01, stated=True).chances([UNKNOWN]) == pytest.approx([0.01], rel=1e-12)
    assert FewBad([UNKNOWN], 0.01, stated=True).chances([UNKNOWN]) == pytest.approx([0.01], rel=1e-12)


def test_of_nothing_seen_any_kind_is_near_its_prior():
    assert FewBad([], 0.01).chances([UNKNOWN]) == pytest.approx([0.01], rel=0.1)


def drawn(rng, mean):
    """Rates of items that are not bad, and of items of which some are."""
    shape = 1 / rng.choice(SPREADS, DRAWS) ** 2
    logs = np.zeros(DRAWS)
    rates = {}
    for number, count in enumerate(SEEN):
        good = mean * rng.gamma(shape, 1 / shape)
        bad = mean * TIMES * rng.gamma(BAD_SHAPE, 1 / BAD_SHAPE, DRAWS)
        rate = np.where(rng.random(DRAWS) < BAD, bad, good)
        logs += count.faults * np.log(rate) - rate * count.exposures
        rates[number] = rate
    weights = np.exp(logs - logs.max())
    return mean * rng.gamma(shape, 1 / shape), rates, weights / weights.sum()


@pytest.mark.independent
def test_chances_against_drawn_rates():
    """Drawn from the prior, weighted by how likely they make what was seen."""
    rng = np.random.default_rng(4)
    mean = -np.log1p(-0.01) * np.exp(SCALE * rng.standard_t(FREEDOM, DRAWS)) / (1 - BAD + BAD * TIMES)
    _, rates, weights = drawn(rng, mean)
    wanted = [-np.expm1(-float(weights @ rates[number])) for number in range(len(SEEN))]
    assert FewBad(SEEN, 0.01).chances(SEEN) == pytest.approx(wanted, rel=0.05)


@pytest.mark.independent
def test_odds_against_drawn_rates():
    from scipy.stats import poisson

    rng = np.random.default_rng(5)
    mean = np.exp(np.log(5.5 / 265) + MEAN_SD * rng.standard_normal(DRAWS))
    good, _, weights = drawn(rng, mean)
    asked = [Count(0, 30.0), Count(1, 30.0), Count(3, 25.0), Count(6, 30.0)]
    wanted = [float(weights @ poisson.sf(one.faults - 1, good * one.exposures)) for one in asked]
    assert FewBad(SEEN).odds(asked) == pytest.approx(wanted, rel=0.05)


@pytest.mark.parametrize("prior", [0.0, 1.0])
def test_a_prior_that_is_sure_is_refused(prior):
    with pytest.raises(ValueError, match="above 0 and below 1"):
        FewBad([], prior)


def test_of_nothing_seen_without_a_prior_nothing_is_said():
    with pytest.raises(ValueError, match="no item was exposed"):
        FewBad([UNKNOWN])


def test_one_fault_says_little_and_many_say_much():
    known = FewBad([Count(0, 40.0)] * 36 + [Count(1, 40.0)] * 3 + [Count(8, 40.0)], 0.01)
    none, one, three, eight, unknown = known.chances([*(Count(faults, 40.0) for faults in (0, 1, 3, 8)), UNKNOWN])
    assert none < unknown < one < 2.5 * none
    assert 2 * one < three < eight
    assert eight > 10 * unknown


def test_an_item_as_good_as_its_kind_seldom_has_so_many_faults():
    known = FewBad([Count(0, 40.0)] * 30 + [Count(1, 40.0)] * 9 + [Count(6, 40.0)])
    none, one, two, six = known.odds([Count(faults, 40.0) for faults in (0, 1, 2, 6)])
    assert none == 1.0
    assert 0.1 < one < 0.4
    assert 0.02 < two < 0.1
    assert six < 0.001


@pytest.mark.closed_form
def test_the_mean_of_a_large_kind_is_that_of_its_items():
    """It is known so well that a coarse grid would miss it; one in twenty more, not yet known, is bad."""
    many = FewBad([Count(15 + n % 11, 1000.0) for n in range(4000)])
    assert many.chances([UNKNOWN]) == pytest.approx([1 - np.exp(-0.02 * (1 - BAD + BAD * TIMES))], rel=0.01)
