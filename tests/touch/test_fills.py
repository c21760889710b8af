"""Plain rectangles: what a frame and what is around a place come to; nothing is painted where there is none."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

SIDES = st.integers(0, 40)


def pixels_of(places):
    """Each pixel once for each place that covers it."""
    return [
        (column, row)
        for x, y, wide, high in places
        for column in range(int(x), int(x + wide))
        for row in range(int(y), int(y + high))
    ]


@given(wide=SIDES, high=SIDES, thick=st.integers(1, 6))
def test_a_frame_covers_the_edge_of_its_place_once(window, wide, high, thick):
    """Closed form: the place without what is left when the thickness is taken off at all sides."""
    from checkapp.touch.widgets.fills import frame_of

    found = pixels_of(frame_of(3, 5, wide, high, thick))
    if wide <= 2 * thick or high <= 2 * thick:
        assert found == []
        return
    inside = set(pixels_of([(3 + thick, 5 + thick, wide - 2 * thick, high - 2 * thick)]))
    assert sorted(found) == sorted(set(pixels_of([(3, 5, wide, high)])) - inside)


@given(left=SIDES, right=SIDES, below=SIDES, above=SIDES, wide=SIDES, high=SIDES)
def test_what_is_around_a_place_is_all_but_that_place_once(window, left, right, below, above, wide, high):
    """Closed form: with the place itself it covers the outer one, each pixel once."""
    from checkapp.touch.widgets.fills import around

    outer, inner = (2, 4, left + wide + right, below + high + above), (2 + left, 4 + below, wide, high)
    found = pixels_of([place for place in around(outer, inner) if min(place[2:]) > 0])
    assert sorted([*found, *pixels_of([inner])]) == sorted(pixels_of([outer]))


def test_places_are_filled_to_the_pixel_and_no_further(hand):
    from kivy.graphics import Color
    from kivy.uix.widget import Widget

    from checkapp.touch.widgets.fills import Fills

    places = [(2, 3, 10, 4), (20, 3, 1, 16)]
    widget = Widget(size_hint=(None, None), size=(40, 20))
    with widget.canvas:
        Color(1, 1, 1, 1)
        fills = Fills(places)
    hand.show(widget)
    assert lit(widget) == set(pixels_of(places))
    fills.places = places[1:]
    hand.frames()
    assert lit(widget) == set(pixels_of(places[1:]))
    fills.places = ()
    hand.frames()
    assert lit(widget) == set()


def lit(widget):
    """The pixels that are not black, from the lower left corner."""
    data = widget.export_as_image().texture.pixels
    wide, high = map(int, widget.size)
    return {(at % wide, high - 1 - at // wide) for at in range(wide * high) if data[4 * at] > 0}


@pytest.mark.parametrize("places", [(), ((0, 0, 0, 8),), ((0, 0, 8, -1),)])
def test_nothing_is_drawn_where_there_is_nothing_to_fill(window, places):
    from checkapp.touch.widgets.fills import Fills

    fills = Fills(places)
    assert (list(fills.vertices), list(fills.indices)) == ([], [])


def test_a_layout_fills_while_a_finger_is_on_a_button_only(hand):
    from kivy.graphics import Mesh

    from checkapp.touch.widgets.buttons import PlainButton

    button = PlainButton(text="lines", size_hint=(None, None), size=(200, 64))
    hand.show(button)
    filled, frame = [one for one in button.canvas.before.children if isinstance(one, Mesh)]
    assert (len(filled.places), len(frame.places)) == (0, 4)
    hand.press(button)
    hand.frames()
    assert [tuple(place) for place in filled.places] == [(*button.pos, *button.size)]
    hand.lift()
    hand.until(lambda: filled.places == (), "the fill to go")
