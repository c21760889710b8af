"""The settings: each choice is tapped, holds at once, and is there at the next start."""

from dataclasses import replace

import pytest

from checkapp import tongue
from checkapp.rig.measures import area_unit, length_unit
from checkapp.show.preferences import VALUES, Preferences, read_preferences
from checkapp.show.settings import settings_view

CHOSEN = Preferences("dim", "left", True, 1.5, True, "de", "ft", "awg")


def in_use():
    """How the app looks and speaks."""
    from checkapp.touch.theme import theme

    hand = "left" if theme.left_handed else "right"
    units = length_unit() or "plan", area_unit() or "plan"
    return Preferences(theme.name, hand, theme.gloves, theme.text_scale, theme.calm, tongue.language(), *units)


def settings(at):
    """Go to the settings by the strip of places."""
    at.hand.drawing = False
    at.hand.tap(at.hand.button(at.app.pages.guide.places, tongue.shown_word("settings")))
    at.settle()
    assert at.screen.name == "settings"


def options(at, name):
    """The choices of a setting."""
    title = next(one.title for one in at.screen.view.settings if one.name == name)
    (group,) = [child for child in at.screen.ids.settings.children if getattr(child, "title", "") == title]
    return at.hand.buttons(group)


def choose(at, name, value):
    button = options(at, name)[VALUES[name].index(value)]
    at.screen.ids.all.scroll_to(button, animate=False)
    at.screen.ids.all.scroll_timeout = 1  # ms; so long the toolkit waits whether a finger scrolls
    at.hand.frames(2)
    before = at.screen.below_px(name)
    at.hand.tap(button)
    at.settle()
    return before


def test_every_choice_holds_at_once_is_marked_and_is_there_at_the_next_start(tablet):
    from checkapp.touch.settings_moves import take_up

    at = tablet()
    settings(at)
    at.hand.size(360, 640)
    known = Preferences()
    for name, values in VALUES.items():
        for value in values[1:]:
            before = choose(at, name, value)
            assert at.screen.below_px(name) == pytest.approx(before, abs=1) or at.screen.ids.all.scroll_y in (0, 1)
            known = replace(known, **{name: value})
            assert in_use() == known
            assert [button.chosen for button in options(at, name)] == [one == value for one in values]
    assert known == CHOSEN == read_preferences(at.journal.parent)
    take_up(Preferences())
    at = tablet()
    assert in_use() == CHOSEN
    settings(at)
    assert at.screen.view.now == CHOSEN


def test_in_the_middle_of_a_check_the_line_stays_and_says_its_words_in_the_other_language(tablet):
    at = tablet()
    at.hand.drawing = False
    at.tap_row("Quarry Nights, Weighing Room")
    at.start_check()
    at.tap("ok")
    line = at.line
    settings(at)
    choose(at, "language", "de")
    assert at.screen.view.settings[5].title == tongue.tr("Language") == "Sprache"
    at.key(27)
    assert (at.screen.name, at.line) == ("walk", line)
    assert at.screen.ids.ok.word == tongue.tr("ok")
    at.hand.tap(at.screen.ids.ok)
    at.settle()
    assert [subject for subject, *_ in at.marks()] == ["in 1", line]


def test_the_tablet_stays_awake_while_a_check_is_open(tablet):
    at = tablet()
    at.hand.drawing = False
    asleep = [at.hand.window.allow_screensaver]
    at.tap_row("Quarry Nights, Weighing Room")
    asleep.append(at.hand.window.allow_screensaver)
    at.start_check()
    asleep.append(at.hand.window.allow_screensaver)
    settings(at)
    asleep.append(at.hand.window.allow_screensaver)
    at.hand.tap(at.hand.button(at.app.pages.guide.places, "rig"))
    at.settle()
    asleep.append(at.hand.window.allow_screensaver)
    assert asleep == [True, True, False, False, True]


def test_what_cannot_be_kept_holds_and_says_so(tablet, home):
    (home / "preferences.json" / "in the way").mkdir(parents=True)
    at = tablet()
    settings(at)
    choose(at, "gloves", True)
    assert in_use().gloves
    assert "cannot be written" in at.app.pages.banner.lines[0]


def test_the_sample_can_be_tried_and_marks_nothing(build, hand, calls):
    screen = build("settings", settings_view(Preferences(language="en")))
    for word in ("faulty", "ok"):
        hand.tap(hand.button(screen, word))
        assert screen.tried_words(screen.tried) == f"You tapped {word}. This is a sample, nothing is marked."
    assert calls.made == []


def test_keys_cautions_and_version_are_at_the_foot_in_every_size(build, hand):
    import checkapp
    from checkapp.touch.key_words import key_words

    for size in ((1280, 800), (360, 640)):
        hand.size(*size)
        screen = build("settings", settings_view(Preferences(language="en")))
        said = [getattr(widget, "text", "") for widget in screen.walk(restrict=True)]
        for keys, does in key_words():
            assert f"{keys}: {does}" in said
        assert f"checkapp, version {checkapp.__version__}" in said
        assert sum("qualified people" in words for words in said) == 1
