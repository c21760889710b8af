"""The shortest way and the cables for it, against trying everything."""

import math
import random
import time
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.review.order import MOST_PLACES, cables_for, path_m, shortest_order


def tried_m(start, places):
    """The shortest of all orders, each measured from the first hop to the last."""
    count = len(places)
    from_start = [math.dist(start, place) for place in places]
    between = [[math.dist(one, other) for other in places] for one in places]
    best = math.inf
    for order in permutations(range(count)):
        total, last = from_start[order[0]], order[0]
        for k in order[1:]:
            total += between[last][k]
            last = k
        best = min(best, total)
    return best


def scattered(seed, count):
    chance = random.Random(seed)
    return (chance.uniform(-5, 5), -30.0), [(chance.uniform(-20, 20), chance.uniform(0, 15)) for _ in range(count)]


@pytest.mark.independent
@pytest.mark.parametrize("count", range(1, 9))
def test_shortest_of_all_orders(count):
    for seed in range(40):
        start, places = scattered(1000 * count + seed, count)
        order = shortest_order(start, places)
        assert sorted(order) == list(range(count))
        assert path_m(start, [places[k] for k in order]) == pytest.approx(tried_m(start, places), rel=1e-12)


CORNERS = st.tuples(st.integers(-3, 3), st.integers(-3, 3))


@pytest.mark.independent
@given(start=CORNERS, places=st.lists(CORNERS, min_size=1, max_size=6))
def test_shortest_where_many_ways_are_alike_or_places_coincide(start, places):
    order = shortest_order(start, places)
    assert sorted(order) == list(range(len(places)))
    assert path_m(start, [places[k] for k in order]) == pytest.approx(tried_m(start, places), rel=1e-12)


@pytest.mark.closed_form
@pytest.mark.parametrize("seed", range(5))
def test_fifteen_places_along_a_line_and_round_an_arc(seed):
    chance = random.Random(seed)
    steps = sorted(chance.uniform(1, 40) for _ in range(15))
    mixed = chance.sample(range(15), 15)
    line = [(0.6 * steps[k], 0.8 * steps[k]) for k in mixed]
    began = time.process_time()
    order = shortest_order((0.0, 0.0), line)
    assert time.process_time() - began < 2.0
    assert [mixed[k] for k in order] == list(range(15))
    assert path_m((0.0, 0.0), [line[k] for k in order]) == pytest.approx(steps[-1], rel=1e-12)
    arc = [(20 * math.cos(k / 6), 20 * math.sin(k / 6)) for k in mixed]
    order = shortest_order((25.0, -5.0), arc)
    assert [mixed[k] for k in order] == list(range(15))


def test_no_place_one_place_and_one_too_many():
    assert shortest_order((1.0, 2.0), []) == ()
    assert shortest_order((1.0, 2.0), [(1.0, 2.0)]) == (0,)
    assert path_m((1.0, 2.0), []) == 0
    with pytest.raises(ValueError, match="16 places; at most 15"):
        shortest_order((0.0, 0.0), [(float(k), 0.0) for k in range(MOST_PLACES + 1)])


def all_choices(needs, lengths):
    """Every way to give each hop a cable that reaches or none, no cable twice."""
    idle = [None] * len(needs)
    for choice in set(permutations([*range(len(lengths)), *idle], len(needs))):
        if all(k is None or lengths[k] >= need for k, need in zip(choice, needs, strict=True)):
            yield choice


METRES = st.integers(1, 12).map(float)


@pytest.mark.independent
@given(needs=st.lists(METRES, max_size=4), lengths=st.lists(METRES, max_size=5))
def test_cables_are_the_best_of_all_choices(needs, lengths):
    chosen = cables_for(needs, lengths)
    given_out = [k for k in chosen if k is not None]
    assert len(given_out) == len(set(given_out))
    assert chosen in set(all_choices(needs, lengths))

    def worth(choice):
        """Most hops first, of these the longest needs, of these the fewest metres."""
        served = sorted((need for need, k in zip(needs, choice, strict=True) if k is not None), reverse=True)
        return -len(served), [-need for need in served], sum(lengths[k] for k in choice if k is not None)

    assert worth(chosen) == min(map(worth, all_choices(needs, lengths)))


@pytest.mark.independent
def test_cables_of_random_stocks():
    for seed in range(300):
        chance = random.Random(seed)
        needs = [chance.uniform(3, 40) for _ in range(chance.randint(1, 4))]
        lengths = [chance.choice([5.0, 10.0, 15.24, 20.0, 30.0, 45.0]) for _ in range(chance.randint(1, 6))]
        served = [sum(lengths[k] for k in choice) for choice in all_choices(needs, lengths) if None not in choice]
        chosen = cables_for(needs, lengths)
        if served:
            assert sum(lengths[k] for k in chosen) == pytest.approx(min(served), rel=1e-12)
        else:
            assert None in chosen


def test_a_cable_as_long_as_the_need_reaches():
    assert cables_for([12.0], [12.0]) == (0,)
    assert cables_for([12.0], [12.0 - 1e-9]) == (0,)
    assert cables_for([12.0], [12.0 - 1e-6]) == (None,)


def test_of_equal_cables_the_first_goes_first():
    assert cables_for([5.0, 4.0], [6.0, 6.0, 6.0]) == (0, 1)
