"""Moving and zooming as geometry, and what a finger finds."""

import math

from hypothesis import given
from hypothesis import strategies as st

from checkapp.page.drawing import Spot
from checkapp.page.rect import Rect
from checkapp.touch.widgets.plan_look import Look, Place, found, pinch

sizes = st.floats(50, 3000)
coordinates = st.floats(-500, 500)
points = st.tuples(coordinates, coordinates)
extents = st.builds(lambda x, y, w, h: Rect(x, y, x + w, y + h), coordinates, coordinates, st.floats(1, 90), sizes)
places = st.builds(Place, extents, sizes, sizes)
looks = st.builds(Look, st.floats(0.1, 50), coordinates, coordinates)


def near(one, other, within=1e-6):
    return math.dist(one, other) <= within * (1 + math.hypot(*one))


@given(places)
def test_the_whole_is_in_the_place_and_touches_two_of_its_edges(place):
    look = place.whole()
    (left, bottom), (right, top) = (look.at((place.extent.left, place.extent.bottom)), look.at(place.extent.corners[2]))
    slack = 1e-6 * (place.width + place.height)
    assert left >= -slack
    assert bottom >= -slack
    assert right <= place.width + slack
    assert top <= place.height + slack
    full = right - left >= place.width - slack or top - bottom >= place.height - slack
    assert full
    assert place.is_whole(look)
    kept = place.kept(look)
    assert near((kept.right, kept.up), (look.right, look.up))


@given(looks, st.floats(0.2, 8), points)
def test_what_lies_under_the_finger_stays_there(look, factor, about):
    below = ((about[0] - look.right) / look.scale, (about[1] - look.up) / look.scale)
    closer = look.closer(factor, about)
    assert math.isclose(closer.scale, look.scale * factor)
    assert near(closer.at(below), about, 1e-5)


@given(looks, st.floats(0.01, 100), st.floats(0.5, 1), st.floats(1, 4))
def test_zooming_ends_at_its_limits(look, factor, low, high):
    least, most = look.scale * low, look.scale * high
    scale = look.scale * look.limited(factor, least, most)
    assert least * 0.999 <= scale <= most * 1.001


@given(places, st.floats(1, 8), points, points)
def test_no_edge_of_the_place_is_bare_while_the_picture_is_larger(place, factor, about, dragged):
    look = place.kept(place.whole().closer(factor, about).moved(*dragged))
    extent, slack = place.extent, 1e-6 * (place.width + place.height) * factor
    left, bottom = look.at((extent.left, extent.bottom))
    right, top = look.at((extent.right, extent.top))
    for low, high, room in ((left, right, place.width), (bottom, top, place.height)):
        if high - low > room:
            assert low <= slack
            assert high >= room - slack
        else:
            assert abs((low + high) / 2 - room / 2) <= slack


@given(looks, points, points, points, points)
def test_a_pinch_moves_what_lay_between_the_fingers_to_between_the_fingers(look, one, other, one_after, other_after):
    did = pinch((one, other), (one_after, other_after))
    middle = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
    after = ((one_after[0] + other_after[0]) / 2, (one_after[1] + other_after[1]) / 2)
    below = ((middle[0] - look.right) / look.scale, (middle[1] - look.up) / look.scale)
    if did.factor > 0.01:
        looked = look.closer(did.factor, did.about).moved(did.right, did.up)
        assert near(looked.at(below), after, 1e-4)
    assert math.isclose(did.factor, math.dist(one_after, other_after) / max(1.0, math.dist(one, other)))


SMALL = Look(1.0, 0.0, 0.0)


def spot(item, x, y, half=4.0):
    return Spot(item, Rect(x - half, y - half, x + half, y + half))


def test_a_small_box_is_found_within_48_of_its_middle_each_way():
    spots = [spot("SB1", 100, 100)]
    assert found(spots, {"SB1"}, SMALL, (123, 77), 48) == "SB1"
    assert found(spots, {"SB1"}, SMALL, (125, 100), 48) is None


def test_on_a_spot_means_that_and_beside_one_the_nearest_box():
    spots = [spot("LK1", 100, 100), spot("SB1", 120, 100), spot("SB2", 90, 130)]
    boxes = {"SB1", "SB2"}
    assert found(spots, boxes, SMALL, (100, 100), 48) == "LK1"
    assert found(spots, boxes, SMALL, (107, 100), 48) == "SB1"
    assert found(spots, set(), SMALL, (107, 100), 48) == "LK1"


def test_a_large_box_is_found_all_over():
    assert found([spot("SB1", 100, 100, 80)], {"SB1"}, SMALL, (30, 170), 48) == "SB1"
