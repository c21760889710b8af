"""Hops round what stands in their way, and where their labels stand."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.page.rect import Crowd, Rect
from checkapp.review.stage.places import GAP, Group, apart, columns, free_place
from checkapp.review.stage.routes import best_way, label_place, length, outside, point_at, route


def wall(x, y, half=2.0):
    return Rect(x - half, y - half, x + half, y + half)


@pytest.mark.closed_form
def test_a_free_way_is_straight_and_a_blocked_one_goes_round():
    assert route((0, 0), (10, 0), []) == ((0, 0), (10, 0))
    assert route((0, 0), (10, 0), [wall(5, 9)]) == ((0, 0), (10, 0))
    path = route((0, 0), (10, 0), [wall(5, 1)])
    assert len(path) == 4
    assert all(y < -1 for _, y in path[1:3])
    assert length(path) < 11.5


@given(st.lists(st.tuples(st.integers(-4, 4), st.integers(-4, 4)), max_size=20, unique=True))
def test_a_way_touches_no_wall_where_there_is_room_to_pass(cells):
    walls = [wall(7.0 * x, 7.0 * y) for x, y in cells if (x, y) not in ((-4, -4), (4, 4))]
    path = route((-28.0, -28.0), (28.0, 28.0), walls)
    assert path[0] == (-28.0, -28.0)
    assert path[-1] == (28.0, 28.0)
    assert not any(each.crossed_by(*edge) for each in walls for edge in pairwise(path))


def test_where_there_is_no_way_it_is_straight():
    ring = [wall(7 * x, 7 * y, 3.6) for x in (-1, 0, 1) for y in (-1, 0, 1) if (x, y) != (0, 0)]
    assert route((0, 0), (40, 0), ring) == ((0, 0), (40, 0))


@pytest.mark.closed_form
def test_a_path_is_seen_from_edge_to_edge():
    path = outside(((0, 0), (10, 0)), Rect(-1, -1, 2, 1), Rect(8, -3, 12, 3))
    assert path == ((2, 0), (8, 0))
    assert point_at(path, 0.25) == ((3.5, 0), (1, 0))
    assert length(((0, 0), (3, 4), (3, 5))) == 6


def test_a_label_stands_on_a_long_stroke_beside_a_short_one_and_off_where_it_is_full():
    label = Rect(-2, -0.5, 2, 0.5)
    on = label_place(label, ((0, 0), (20, 0)), Crowd(), [])
    assert (on.middle, on.away) == ((10, 0), False)
    beside = label_place(label, ((0, 0), (3, 0)), Crowd(), [])
    assert beside.middle[1] != 0
    full = Crowd([Rect(-6, -3, 9, 3)])
    off = label_place(label, ((0, 0), (3, 0)), full, [])
    assert off.away
    assert not full.touches(label.shifted(*off.middle))


def test_a_label_shuns_other_strokes():
    label = Rect(-2, -0.5, 2, 0.5)
    place = label_place(label, ((0, 0), (20, 0)), Crowd(), [((10, -5), (10, 5))])
    assert abs(place.middle[0] - 10) > 2


def test_of_several_ways_the_first_free_and_uncrossed_one_is_taken():
    ways = [Rect(0, 0, 2, 1), Rect(3, 0, 5, 1), Rect(6, 0, 8, 1)]
    assert best_way(ways, [], []) == 0
    assert best_way(ways, [Rect(1, 0, 1.5, 1)], [((4, -1), (4, 2))]) == 2
    assert best_way(ways, [Rect(-1, -1, 9, 9)], []) == 0


rooms = st.builds(lambda w, h: Rect(-w / 2, -h / 2, w / 2, h / 2), st.floats(2, 9), st.floats(2, 6))
spots = st.tuples(st.floats(-20, 20), st.floats(-20, 20))


@given(st.lists(st.tuples(rooms, spots), max_size=15))
def test_blocks_come_apart_and_those_with_room_stay_where_they_are(blocks):
    sizes = {str(n): room for n, (room, _) in enumerate(blocks)}
    wished = {str(n): place for n, (_, place) in enumerate(blocks)}
    placed = apart(wished, sizes)
    standing = {key: sizes[key].shifted(*place).grown(GAP / 2 - 1e-3) for key, place in placed.items()}
    for key, room in standing.items():
        assert not any(room.overlaps(other) for name, other in standing.items() if name != key)
    first = {key: sizes[key].shifted(*place).grown(GAP / 2) for key, place in wished.items()}
    if not any(room.overlaps(other) for key, room in first.items() for name, other in first.items() if name != key):
        assert placed == wished


@pytest.mark.closed_form
def test_a_free_place_is_the_nearest_one_within_bounds_if_there_are_any():
    room, taken = Rect(-1, -1, 1, 1), Crowd([Rect(-1, -1, 1, 1)])
    assert free_place(room, (5, 5), taken) == (5, 5)
    assert math.dist(free_place(room, (0, 0), taken), (0, 0)) == 2
    assert free_place(room, (0, 0), taken, Rect(-1.5, -20, 1.5, 1.5))[1] <= -2
    assert free_place(room, (0, 0), taken, Rect(90, 90, 91, 91)) == free_place(room, (0, 0), taken)


def test_chains_rise_in_columns_there_and_back_with_passive_boxes_level():
    names = [f"B{n}" for n in range(12)]
    sizes = {name: Rect(-3, -2, 3, 2) for name in (*names, "D1")}
    groups = [Group(tuple(names[:9]), (("D1", "B1"),)), Group(tuple(names[9:]))]
    found = columns(groups, sizes, {}, 1.3)
    assert len(set(found.values())) == 13
    assert found["D1"][1] == found["B1"][1]
    assert found["B0"][1] < found["B1"][1]
    for one, other in pairwise(names[:9]):
        assert math.dist(found[one], found[other]) < 10
    assert found["B9"][1] == found["B0"][1]
