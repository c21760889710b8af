"""Where the verdict buttons lie: high enough, far enough apart, ok and faulty never side by side within a thumb."""

from itertools import combinations

import pytest

from checkapp.touch.widgets.foot import NAMES, foot_height, foot_places

CASES = [(328.0, False), (344.0, False), (599.0, False), (600.0, True), (768.0, True), (1248.0, True), (2500.0, True)]


def apart(one, other):
    """The gap between two places: the larger of the level and the upright one; below 0 they overlap."""
    (ax, ay, aw, ah), (bx, by, bw, bh) = one, other
    return max(bx - ax - aw, ax - bx - bw, by - ay - ah, ay - by - bh)


@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("main", [120.0, 144.0, 208.0])
@pytest.mark.parametrize(("width", "wide"), CASES)
class TestFoot:
    def test_all_buttons_are_inside_and_none_overlaps(self, width, wide, main, left_handed):
        places = foot_places(width, 8.0, wide, main, left_handed)
        assert set(places) == set(NAMES)
        for x, y, w, h in places.values():
            assert x >= -0.01
            assert y >= -0.01
            assert x + w <= width + 0.01
            assert y + h <= foot_height(wide, main, 8.0) + 0.01
        assert all(apart(places[a], places[b]) >= 8 - 0.01 for a, b in combinations(NAMES, 2))

    def test_verdicts_are_120_dp_high_and_16_apart_and_steps_56(self, width, wide, main, left_handed):
        places = foot_places(width, 8.0, wide, main, left_handed)
        assert min(places["ok"][3], places["faulty"][3]) >= 120
        assert apart(places["ok"], places["faulty"]) >= 16
        assert min(min(w, h) for _x, _y, w, h in places.values()) >= 56

    def test_ok_lies_under_the_thumb_that_was_chosen(self, width, wide, main, left_handed):
        places = foot_places(width, 8.0, wide, main, left_handed)
        faulty = places["faulty"][0] + places["faulty"][2] / 2
        assert (faulty > width / 2) == left_handed
        if not wide:
            assert places["ok"][1] > places["faulty"][1]

    def test_what_goes_back_is_left_of_what_goes_on_for_either_hand(self, width, wide, main, left_handed):
        places = foot_places(width, 8.0, wide, main, left_handed)
        assert places["back"][0] == places["undo"][0] < places["next"][0] == places["skip"][0]
