"""The way back on every screen: one key leads off it, and on the first screen it closes nothing."""

import pytest

from checkapp.touch.pages import SCREENS

ESCAPE = 27
FIRST = {"first", "rigs"}
"""Screens that nothing lies before."""
LISTENS_TWICE = {"walk"}
"""Screens that a presenter's remote must not leave: the key is needed twice there."""


def one_view_each(views):
    """One set of view data for each screen that has some; the camera needs none."""
    shown = {name: view for name, view in reversed(views.values()) if view is not None}
    return shown | {"camera": None}


def test_there_is_view_data_for_every_screen(views):
    assert set(one_view_each(views)) == set(SCREENS)


@pytest.mark.parametrize("name", sorted(SCREENS))
def test_escape_leads_off_every_screen_but_the_first(build, calls, views, name, monkeypatch):
    if name == "camera":
        monkeypatch.setattr("checkapp.touch.screens.camera.CameraScreen.on_enter", lambda self: None)
    screen = build(name, one_view_each(views)[name])
    calls.made.clear()  # what it asks for as it comes up
    for _ in range(1 + (name in LISTENS_TWICE)):
        assert calls.made == []
        assert screen.key(ESCAPE), f"{name} lets the key through, which closes the app"
    assert len(calls.made) == (name not in FIRST)


@pytest.mark.parametrize("name", sorted(set(SCREENS) - FIRST - {"walk", "camera"}))
def test_the_head_leads_where_escape_does(build, hand, calls, views, name):
    from checkapp.touch.widgets.buttons import BackButton

    hand.drawing = False
    screen = build(name, one_view_each(views)[name])
    calls.made.clear()  # what it asks for as it comes up
    (back,) = [w for w in screen.walk() if isinstance(w, BackButton)]
    hand.tap(back)
    by_hand = list(calls.made)
    calls.made.clear()
    screen.key(ESCAPE)
    assert calls.made == by_hand != []


def test_on_the_first_screen_escape_and_a_held_escape_close_nothing(tablet):
    at = tablet()
    closed = []
    at.hand.window.bind(on_request_close=lambda *_args, **_kwargs: closed.append(True))
    for _ in range(3):
        at.key(ESCAPE, 0.05, up=False)
    assert (at.screen.name, closed) == ("rigs", [])
