"""A tablet that is turned: each screen stands as if it had been opened that way."""

import re
from pathlib import Path

import pytest

from checkapp import touch
from checkapp.scan.video import NoCamera
from checkapp.touch.pages import SCREENS

WIDE, SMALL = (1280, 800), (360, 640)
LAYOUTS = Path(touch.__file__).parent / "screens"
OTHERWISE = re.compile(r"(orientation|size_hint(_[xy])?): .* if ")
TURNED = [name for name in SCREENS if OTHERWISE.search((LAYOUTS / f"{name}.kv").read_text(encoding="utf-8"))]
"""The screens that are laid out otherwise in a window of another shape."""


@pytest.fixture
def view(views, request, monkeypatch):
    """A screen's name and what it shows: the first of the samples; the camera has none, and is not plugged in."""
    from checkapp.touch.screens.camera import CameraScreen

    def without(_first=0):
        raise NoCamera("there is none")

    monkeypatch.setattr(CameraScreen, "open_source", staticmethod(without))
    return next((sample for sample in views.values() if sample[0] == request.param), (request.param, None))


def places(screen):
    """Where everything with a name of its own stands on a screen, in whole pixels."""
    return {
        name: (*(round(at) for at in widget.to_window(*widget.pos)), *(round(side) for side in widget.size))
        for name, widget in screen.ids.items()
        if widget.opacity
    }


@pytest.mark.parametrize("view", TURNED, indirect=True)
def test_a_turned_screen_stands_as_one_that_was_opened_so(build, hand, view):
    hand.drawing = False
    hand.size(*SMALL)
    opened = places(build(*view))
    hand.size(*WIDE)
    screen = build(*view)
    hand.size(*SMALL)
    hand.frames(6)
    assert places(screen) == opened
