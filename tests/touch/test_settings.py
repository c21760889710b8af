"""The settings: each choice is tapped, holds at once, and is there at the next start."""

import pytest

from checkapp.show.preferences import VALUES, Preferences, read_preferences


@pytest.fixture
def at(tablet, monkeypatch):
    monkeypatch.setenv("LC_ALL", "C")
    at = tablet()
    at.hand.drawing = False
    at.tap("settings")
    return at


def options(at, name):
    """The choices of a setting, brought into sight."""
    place = at.screen.ids.settings
    group = place.children[-1 - list(VALUES).index(name)] if False else None
    for child in place.children:
        if getattr(child, "title", None) == next(s.title for s in at.screen.view.settings if s.name == name):
            group = child
    at.screen.ids.all.scroll_to(group, animate=False)
    at.hand.frames(3)
    return at.hand.buttons(group)


def choose(at, name, value):
    at.hand.tap(options(at, name)[VALUES[name].index(value)])
    at.settle()


def test_what_is_chosen_is_marked_by_shape_and_word(at):
    for name, values in VALUES.items():
        for value in (*values[1:], values[0]):
            choose(at, name, value)
            found = options(at, name)
            assert [button.chosen for button in found] == [one == value for one in values]
    assert read_preferences(at.journal.parent) == Preferences(language="en")
