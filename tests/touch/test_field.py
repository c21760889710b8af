"""A place to type: a finger may be quicker than the words are laid out."""

import pytest


@pytest.mark.parametrize("words", ["", "JD"])
def test_a_finger_on_a_place_to_type_before_its_first_frame_begins_typing(hand, words):
    from kivy.tests.common import UnitTestTouch

    from checkapp.touch.widgets.field import Entry

    entry = Entry(text=words, size_hint=(None, None), size=(200, 64))
    hand.window.add_widget(entry)
    finger = UnitTestTouch(100, 32)
    finger.touch_down()
    finger.touch_up()
    hand.frames(3)
    assert entry.focus
    hand.type(entry, "7")
    assert sorted(entry.text) == sorted(f"7{words}")
    hand.window.remove_widget(entry)


def test_a_finger_sets_the_cursor_between_the_letters_it_is_on(hand):
    from checkapp.touch.widgets.field import Entry

    entry = Entry(text="Ledge Stage", size_hint=(None, None), size=(600, 64))
    hand.show(entry)
    assert entry.get_cursor_from_xy(entry.x, entry.center_y) == (0, 0)
    assert entry.get_cursor_from_xy(entry.right, entry.center_y) == (len(entry.text), 0)
