"""Rectangles and crowds of them, against sampling and against looking at each."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from checkapp.page.rect import Crowd, Rect

number = st.floats(-50, 50, allow_nan=False).map(lambda value: round(value, 2))
point = st.tuples(number, number)
rects = st.builds(
    lambda x, y, width, height: Rect(x, y, x + width, y + height),
    number,
    number,
    st.floats(0.5, 20).map(lambda value: round(value, 2)),
    st.floats(0.5, 20).map(lambda value: round(value, 2)),
)


@pytest.mark.independent
@given(rects, point, point)
def test_a_line_crosses_a_rectangle_when_points_of_it_lie_inside(rect, start, end):
    assume(start != end)
    inner, outer = rect.grown(-0.1), rect.grown(1e-6)
    samples = [(start[0] + (end[0] - start[0]) * t / 400, start[1] + (end[1] - start[1]) * t / 400) for t in range(401)]

    def inside(room):
        return any(room.left < x < room.right and room.bottom < y < room.top for x, y in samples)

    if inside(inner):
        assert rect.crossed_by(start, end)
    if rect.crossed_by(start, end):
        near = [(x, y) for x, y in samples if outer.nearest_to((x, y)) == (x, y)]
        assert near or _touches_between_samples(rect, samples)


def _touches_between_samples(rect, samples):
    reach = max(abs(samples[1][0] - samples[0][0]), abs(samples[1][1] - samples[0][1]))
    return any(rect.grown(reach).nearest_to(sample) == sample for sample in samples)


@pytest.mark.independent
@given(st.lists(rects, max_size=25), rects, point, point)
def test_a_crowd_finds_what_looking_at_each_finds(many, one, start, end):
    crowd = Crowd(many)
    assert crowd.touches(one) == any(one.overlaps(other) for other in many)
    found = crowd.crossed_by(start, end)
    assert (found is not None) == any(other.crossed_by(start, end) for other in many)
    assert found is None or (found in many and found.crossed_by(start, end))


@pytest.mark.closed_form
def test_measures_of_a_rectangle():
    rect = Rect.around([(1, 2), (4, 6), (3, 3)])
    assert (rect.width, rect.height, rect.middle) == (3, 4, (2.5, 4))
    assert rect.moved(2, 1, -1) == Rect(3, 3, 9, 11)
    assert rect.nearest_to((0, 9)) == (1, 6)
    assert not rect.overlaps(rect.shifted(3, 0))
    assert rect.overlaps(rect.shifted(2.9, 0))
    assert rect.holds(rect)
    assert Rect.around_all([rect, rect.shifted(5, -5)]) == Rect(1, -3, 9, 6)
