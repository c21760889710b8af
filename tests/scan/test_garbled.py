"""Distances between what was sent and what came: against plain searches through all that can happen."""

from functools import cache
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.scan.garbled import can_give, key_errors, once, within

short = st.text("ABC", max_size=6)


def searched_errors(sent, seen, most):
    """The least number of keys dropped or repeated from ``sent`` to ``seen``, by trying them all."""
    best = None
    for counts in product(range(most + 2), repeat=len(sent)):
        if "".join(key * count for key, count in zip(sent, counts, strict=True)) == seen:
            cost = sum(abs(count - 1) for count in counts)
            best = cost if best is None else min(best, cost)
    return best


@pytest.mark.independent
@given(st.text("AB", max_size=5), st.text("AB", max_size=5))
def test_key_errors_are_the_fewest_there_can_be(sent, seen):
    assert key_errors(sent, seen) == searched_errors(sent, seen, len(seen))
    assert can_give(sent, once(seen)) == (key_errors(sent, seen) is not None)


@pytest.mark.independent
@given(short, short, st.integers(0, 4))
def test_mistakes_are_counted_as_the_recursion_that_defines_them_does(one, other, most):
    @cache
    def distance(i, j):
        if not i or not j:
            return i + j
        least = min(
            distance(i - 1, j) + 1, distance(i, j - 1) + 1, distance(i - 1, j - 1) + (one[i - 1] != other[j - 1])
        )
        if i > 1 and j > 1 and (one[i - 1], one[i - 2]) == (other[j - 2], other[j - 1]):
            least = min(least, distance(i - 2, j - 2) + 1)
        return least

    assert within(one, other, most) == (distance(len(one), len(other)) <= most)


@pytest.mark.closed_form
def test_distances_that_are_known():
    assert key_errors("QNLD12AK", "QNLD12AK") == 0
    assert key_errors("QNLD12AK", "QNLD2AK") == 1
    assert key_errors("QNLD12AK", "QQNLD122AKK") == 3
    assert key_errors("XL11", "XL1") == key_errors("XL1", "XL11") == 1
    assert key_errors("XL1", "XL2") is None
    assert key_errors("", "") == 0
    assert key_errors("", "A") is None
    assert within("AB", "BA", 1)
    assert not within("AB", "CD", 1)
    assert not within("ABC", "CA", 2)  # a swap and then a letter between the two: three by this measure


def test_runs_are_cut_to_one():
    assert once("") == ""
    assert once("AABBBA1") == "ABA1"
