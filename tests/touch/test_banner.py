"""The banner: what happened, where, what to do; over the screen, never over the main actions, put away with one tap."""

import pytest

MANY = [f"plan.toml:{n}: something is wrong; something else would be right" for n in range(60)]


@pytest.fixture
def pages(hand, calls, views):
    from checkapp.touch.pages import Pages

    pages = Pages()
    pages.moves = calls
    hand.show(pages)
    pages.show(*views["walk"])
    return pages


@pytest.mark.parametrize("type_scale", [1.0, 1.5])
@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (360, 640)])
def test_however_much_it_says_the_main_actions_are_free_and_its_button_is_large(hand, pages, size, type_scale):
    from kivy.metrics import Metrics

    Metrics.fontscale = type_scale
    hand.size(*size)
    pages.say(MANY)
    hand.frames(4)
    banner = pages.banner
    assert banner.top == pages.height
    for name in ("ok", "faulty", "back", "next", "undo", "skip"):
        button = pages.shown.ids[name]
        assert button.to_window(*button.pos)[1] + button.height <= banner.y
    assert banner.ids.words.height > banner.ids.all.height
    hand.tap(hand.button(banner, "put away"))
    assert banner.parent is None


def test_on_a_phone_one_error_leaves_the_line_that_would_be_marked_in_sight(hand, pages):
    hand.size(360, 640)
    pages.say(["/home/crew/plans/old.toml: no such file; check the name and the folder"])
    hand.frames(4)
    (tape,) = [widget for widget in pages.shown.walk() if type(widget).__name__ == "Tape"]
    assert pages.banner.y >= tape.to_window(tape.x, tape.top)[1]
    assert pages.banner.ids.words.height <= pages.banner.ids.all.height


def test_several_errors_stand_in_one_banner_the_newest_first_and_none_twice(pages, hand):
    pages.say(["a.toml: no such file; pick another"])
    pages.say(["ZZ99 is not of this rig", "Scan its other end."])
    pages.say(["a.toml: no such file; pick another"])
    assert pages.banner.lines == [
        "a.toml: no such file; pick another",
        "ZZ99 is not of this rig",
        "Scan its other end.",
    ]
    assert pages.put_away()
    pages.say(["Something else"])
    assert pages.banner.lines == ["Something else"]


def test_a_finger_on_the_banner_does_not_reach_the_button_under_it(pages, hand, calls):
    from kivy.tests.common import UnitTestTouch

    pages.say(MANY)
    hand.frames(4)
    lines = pages.shown.ids.lines
    touch = UnitTestTouch(*lines.to_window(*lines.center))
    touch.touch_down()
    touch.touch_up()
    hand.frames(2)
    assert calls.made == []
    pages.put_away()
    hand.tap(lines)
    assert [call[0] for call in calls.made] == ["lines"]


def test_a_few_words_make_it_no_higher_than_they_need(pages, hand):
    pages.say(["No rig is open. Pick one first."])
    hand.frames(4)
    assert pages.banner.height < 0.2 * pages.height
    words = pages.banner.ids.words
    assert words.texture_size[1] <= words.height <= pages.banner.ids.all.height + 1
