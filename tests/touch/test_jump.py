"""A line by its number: by the pad, by a keyboard that stands before it, never by a scanner."""

from pathlib import Path

import pytest

from checkapp.touch.keys import JUMP_KEYS, NUMBER_KEYS

PLANS = Path(__file__).parents[2] / "plans"
ENTER, BACKSPACE, ESCAPE, KEYPAD_3 = 13, 8, 27, 259


def shown(screen):
    from checkapp.touch.widgets.tape import Tape

    (tape,) = [widget for widget in screen.walk() if isinstance(widget, Tape)]
    return tape.number, tape.name


def words(screen):
    return [widget.text for widget in screen.walk() if "Inputs are" in getattr(widget, "text", "")]


def test_every_key_of_the_pad_and_the_name_while_it_is_typed(build, hand, calls):
    from check_samples import JUMP

    screen = build("jump", JUMP)
    assert shown(screen) == ("in ", "")
    for digit in "1234567890":
        hand.tap(hand.button(screen, digit))
    assert screen.typed == "7890"
    for _ in range(4):
        hand.tap(hand.button(screen, "delete"))
    assert screen.ids.go.disabled
    hand.tap(hand.button(screen, "1"))
    assert shown(screen) == ("in 1", "Kick")
    hand.tap(hand.button(screen, "8"))
    assert shown(screen) == ("in 18", "Fiddle two")
    hand.tap(hand.button(screen, "go"))
    hand.tap(hand.button(screen, "output"))
    assert screen.ids.go.disabled
    hand.tap(hand.button(screen, "delete"))
    hand.tap(hand.button(screen, "delete"))
    hand.tap(hand.button(screen, "2"))
    assert shown(screen) == ("out 2", "Side fill")
    hand.tap(hand.button(screen, "go"))
    hand.tap(hand.button(screen, "input"))
    hand.tap(hand.button(screen, "walk"))
    assert calls.made == [("go_to", "in 18"), ("go_to", "out 2"), ("walk",)]


def test_a_number_that_no_line_has_says_which_there_are(build, hand, calls):
    from check_samples import JUMP

    screen = build("jump", JUMP._replace(typed="7"))
    hand.frames()
    assert words(screen) == ["No input 7. Inputs are 1, 18 to 19"]
    screen.key(ENTER)
    assert calls.made == []


def test_keys_of_the_pad(build, calls):
    from check_samples import JUMP

    screen = build("jump", JUMP)
    for key in (ord("9"), BACKSPACE, ord("1"), ord("8"), ENTER, ord("o"), BACKSPACE, BACKSPACE, ord("2"), 271, ESCAPE):
        assert screen.key(key)
    assert not screen.key(ord("x"))
    assert calls.made == [("go_to", "in 18"), ("go_to", "out 2"), ("walk",)]
    assert set(JUMP_KEYS).isdisjoint(NUMBER_KEYS)
    screen.key(KEYPAD_3)
    assert screen.typed == "23"


@pytest.fixture
def walking(tablet):
    """The demo, a check of it just begun."""
    at = tablet(PLANS / "demo.toml")
    at.hand.drawing = False
    at.tap(at.screen.ids.other.text if at.screen.ids.next.word == "set up" else at.screen.ids.next.word)
    at.hand.type(at.screen.ids.by.ids.entry, "JD")
    at.tap("start")
    assert (at.screen.name, at.line) == ("walk", "in 1")
    return at


def test_a_number_on_a_keyboard_opens_the_pad_and_goes_there_however_quickly(walking):
    walking.key(ord("4"), 0.15)
    assert walking.screen.name == "jump"
    walking.key(ord("7"), 0.15)
    assert shown(walking.screen)[0] == "in 47"
    walking.key(ENTER, 0.15)
    assert (walking.screen.name, walking.line) == ("walk", "in 47")
    walking.key(ord("3"))
    walking.key(ESCAPE)
    assert (walking.screen.name, walking.line) == ("walk", "in 47")
    assert walking.marks() == []


def test_by_touch_to_an_output_and_an_ok_there(walking):
    walking.tap("number")
    for word in ("output", "1", "2", "go"):
        walking.tap(word)
    assert walking.line == "out 12"
    walking.tap("ok")
    assert walking.marks() == [("out 12", "ok", None, "JD")]


def test_a_scan_does_not_open_the_pad_and_marks_nothing(walking):
    for code in ("471", "2018", "HP01"):
        walking.scan(code)
        walking.app.pages.put_away()
        assert walking.screen.name in ("walk", "card")
        if walking.screen.name == "card":
            walking.key(ESCAPE)
        assert (walking.screen.name, walking.line) == ("walk", "in 1")
    assert walking.marks() == []
