"""A button that is shut says why when it is tapped, beside it, and goes quiet again."""

from dataclasses import replace

import pytest

from checkapp.touch.widgets.shut import Why, place_beside, same_reason

ESCAPE = 27


def touch(hand, widget):
    """Put a finger on what is shut, and take it off."""
    from kivy.tests.common import UnitTestTouch

    finger = UnitTestTouch(*widget.to_window(*widget.center))
    finger.touch_down()
    finger.touch_up()
    hand.frames(2)


def said(hand):
    return [one for one in hand.window.children if isinstance(one, Why)]


@pytest.mark.parametrize(
    ("button", "place"),
    [
        ((100, 20, 80, 64), (40, 92)),
        ((0, 20, 80, 64), (8, 92)),
        ((300, 20, 60, 64), (152, 92)),
        ((100, 560, 80, 64), (40, 502)),
    ],
    ids=["over it", "at the left edge", "at the right edge", "below what stands at the top"],
)
def test_the_words_stand_beside_the_button_and_inside_the_window(button, place):
    assert place_beside(button, (200, 50), (360, 640), 8) == place


def test_what_is_shut_for_the_same_reason_everywhere_needs_to_be_told_once():
    assert same_reason("undo") == "Nothing to take back."
    assert same_reason("ok") == ""


def test_a_shut_button_says_why_until_the_next_tap_or_key(build, hand, calls, views):
    hand.size(360, 640)
    screen = build("setup", replace(views["setup"][1], can_undo=False))
    undo = hand.button(screen, "undo")
    touch(hand, undo)
    (why,) = said(hand)
    assert why.text == "Nothing to take back."
    assert why.x >= 0
    assert why.right <= 360
    assert why.y >= undo.to_window(*undo.pos)[1] + undo.height
    touch(hand, undo)
    assert len(said(hand)) == 1
    hand.key(ESCAPE)
    assert said(hand) == []
    assert calls.made == []


@pytest.mark.parametrize("colours", ["dark", "light", "dim"])
def test_the_word_on_a_main_action_that_is_shut_is_as_bright_as_its_mark(build, views, colours):
    from checkapp.show.preferences import Preferences
    from checkapp.touch.theme import theme

    theme.take(Preferences(colours=colours))
    main = build("tags", replace(views["tags"][1], can_print=False)).ids.save
    words = next(widget for widget in main.walk() if getattr(widget, "text", "") == main.word)
    assert main.disabled
    assert words.disabled_color == words.color == main.tint


def test_words_in_several_lines_leave_the_frame_of_their_button_free(hand):
    from checkapp.touch.theme import theme
    from checkapp.touch.widgets.buttons import PlainButton

    broken = 0
    for width in range(60, 200, 7):
        made = PlainButton(text="12 stops: check anyway", status="look", size_hint=(None, None), size=(width, 120))
        hand.show(made)
        if made.texture_size[1] > 1.5 * made.font_size:
            assert made.texture_size[0] <= width - theme.unit
            broken += 1
    assert broken > 10


def test_a_button_that_can_be_tapped_says_nothing(build, hand, calls, views):
    screen = build("summary", replace(views["summary"][1], can_sign_off=False))
    touch(hand, screen.ids.early)
    assert [why.text for why in said(hand)] == ["Mark a line first."]
    screen.view = views["summary"][1]
    hand.frames(2)
    hand.tap(screen.ids.early)
    assert said(hand) == []
    assert calls.made == [("sign_off",)]
