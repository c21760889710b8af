"""On simulated tours intervals hold the true rates, bad items are named and good ones are not."""

from random import Random

import pytest
from scipy.stats import binom
from tour_figures import Figures, figures
from tours import KindOf, Tour, least_mean, poisson, reach, toured

TOURS = range(11, 31)
OFTEN = Tour(kinds={"source": KindOf(20, 0.06, bad=1), "cable": KindOf(40, 0.08, bad=2), "box": KindOf(8, 0.01)})


@pytest.fixture(scope="module")
def found() -> dict[str, Figures]:
    return figures(OFTEN, TOURS)


@pytest.mark.independent
def test_intervals_of_ninety_per_cent_hold_the_true_rate_nine_times_in_ten(found: dict[str, Figures]) -> None:
    # exact binomial bounds at 1e-3 on each side, for a quarter of the items: those of a tour are not independent
    number = found["all"].items // 4
    low, high = binom.ppf(1e-3, number, 0.9) / number, binom.ppf(1 - 1e-3, number, 0.9) / number
    assert low <= found["all"].coverage <= high


@pytest.mark.independent
def test_bad_cables_are_named_where_that_can_be_done_and_good_items_are_not(found: dict[str, Figures]) -> None:
    cables, every = found["cable"], found["all"]
    assert binom.cdf(cables.bad_named, cables.bad, 0.8) > 1e-3
    assert binom.sf(every.good_named - 1, every.good, 0.02) > 1e-3
    assert cables.retired[True] > cables.retired[False]


@pytest.mark.independent
def test_intervals_are_right_where_kinds_are_what_the_program_takes_for_likely() -> None:
    """Kinds drawn from the prior itself: on average over tours 90 % of the intervals hold the true rate, exactly."""
    kinds = {"source": KindOf(12, 0.01), "cable": KindOf(16, 0.01), "desk": KindOf(1, 0.01)}
    found = figures(Tour(kinds=kinds, drawn=True), range(300, 325))["all"]
    assert abs(found.coverage - 0.9) < 3.3 * found.tour_error < 0.12


def test_no_advice_names_more_of_the_bad_than_the_best_test(found: dict[str, Figures]) -> None:
    best = reach(0.08 * found["cable"].exposures / found["cable"].items, false=0.05, shape=4.0)
    assert binom.sf(found["cable"].bad_named - 1, found["cable"].bad, best) > 1e-3


@pytest.mark.closed_form
def test_the_best_test_at_known_rates() -> None:
    # all of P(6 or more) and a part of P(5) of a Poisson mean of 2: 0.016563608 + part * 0.036089409 is 0.02
    part = (0.02 - 0.016563608) / 0.036089409
    assert reach(2.0) == pytest.approx(0.932914037 + part * 0.037833275, abs=1e-6)
    assert reach(least_mean()) == pytest.approx(0.8, abs=1e-6)


def test_a_tour_is_the_same_for_the_same_seed_and_keeps_its_rules() -> None:
    one, again, other = toured(Tour(), 3), toured(Tour(), 3), toured(Tour(), 4)
    assert one == again
    assert one != other
    assert sum(of.bad for of in Tour().kinds.values()) == len(one.bad)
    for life in one.tally.lives:
        assert all(1 <= fault <= life.exposures for fault in life.faults)
        assert not life.pulled_at_last or life.pulled_at is not None
    assert {True, False} == {life.pulled_at is not None for life in one.tally.lives if life.faults}


def test_counts_by_chance_have_their_mean() -> None:
    chance = Random(5)
    counts = [poisson(0.7, chance) for _ in range(4000)]
    assert sum(counts) / 4000 == pytest.approx(0.7, abs=0.06)
