"""False alarms among many tests: against another implementation, and by chance."""

from random import Random

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.stats import false_discovery_control

from checkapp.history.false_alarms import told


@pytest.mark.independent
@given(st.lists(st.floats(0, 1), min_size=1, max_size=40), st.sampled_from([0.01, 0.05, 0.1, 0.5]))
@example([0.049, 0.05], 0.05)
@example([0.0, 1.0], 0.05)
def test_as_the_adjusted_values_of_scipy(probabilities, level):
    adjusted = false_discovery_control(probabilities)
    found = told(probabilities, level)
    for one, by_scipy in zip(found, adjusted, strict=True):
        assert one == (by_scipy <= level) or by_scipy == pytest.approx(level, rel=1e-12)


def test_of_no_test_nothing_is_told():
    assert told([], 0.1) == []


@pytest.mark.parametrize("wrong", [[-0.1], [1.1], [float("nan")]])
def test_what_is_no_probability_is_refused(wrong):
    with pytest.raises(ValueError, match="from 0 to 1"):
        told(wrong, 0.1)


def test_where_nothing_is_to_be_found_it_seldom_tells_anything():
    """With 1,000 tests of nothing, in at most one run in ten anything at all: 200 runs, 3.3 standard errors."""
    chance = Random(5)
    runs = sum(any(told([chance.random() for _ in range(1000)], 0.1)) for _ in range(200))
    assert runs / 200 <= 0.1 + 3.3 * (0.1 * 0.9 / 200) ** 0.5
