"""Every screen in each size, for bare hands in English and for gloves in German with large type: nothing cut, nothing
over anything else, nothing too small to hit, all of it inside the window.

Each value of density, text scale, language and hand is there, and the hard ones together. Every one with every other
takes many minutes: that is ``tests/bench/check_layouts.py``, run by hand.
"""

from typing import NamedTuple

import pytest
from sweeping import lay_out, pages_with, put_over, settled_faults, window_of

from checkapp.show.preferences import Preferences
from conftest import LONG, MORE_VIEWS, VIEWS


class Turn(NamedTuple):
    """The window turned to a size in dp, at a density, with the system's own type so many times as large."""

    size: tuple[int, int]
    density: float = 1.0
    font_scale: float = 1.0


BARE = (
    Preferences(language="en"),
    [Turn((1280, 800)), Turn((800, 1280)), Turn((640, 360)), Turn((360, 640)), Turn((360, 640), 2.0, 1.5)],
)
GLOVES = (
    Preferences(language="de", gloves=True, text_scale=1.5),
    [Turn((1280, 800)), Turn((800, 1280), 2.0), Turn((640, 360)), Turn((360, 640))],
)
LOOKS = pytest.mark.parametrize(("look", "turns"), [BARE, GLOVES], ids=["en-bare", "de-gloves"])
SAMPLES = VIEWS | MORE_VIEWS
SCREENS = sorted({screen for screen, _view in SAMPLES.values()})


def prepare(hand, look):
    from checkapp.touch.settings_moves import take_up

    hand.drawing = False
    take_up(look)


def each_turn(window, look, turns):
    """Turn the window, let what it holds lie down, and say how it was turned."""
    from kivy.metrics import Metrics

    for turn in turns:
        Metrics.density, Metrics.fontscale = turn.density, turn.font_scale
        lay_out(window, window_of(turn.size, turn.density, turn.font_scale * look.text_scale))
        yield f"{turn.size[0]}x{turn.size[1]} density {turn.density} type {turn.font_scale * look.text_scale}"


def say(wrong):
    """All faults of a screen together, each with the first place it was found at."""
    said = (f"{places[0]} and {len(places) - 1} more: {fault}" for fault, places in wrong.items())
    assert not wrong, f"{len(wrong)} faults\n" + "\n".join(said)


@LOOKS
@pytest.mark.parametrize("screen", SCREENS)
def test_nothing_is_cut_covered_too_small_or_outside(hand, calls, screen, look, turns):
    prepare(hand, look)
    wrong = {}
    for name, view in ((name, view) for name, (its, view) in SAMPLES.items() if its == screen):
        pages = pages_with(hand, calls, screen, view)
        for at in each_turn(hand.window, look, turns):
            for fault in settled_faults(pages, LONG, hand.window):
                wrong.setdefault(f"{name}: {fault}", []).append(at)
    say(wrong)


@LOOKS
@pytest.mark.parametrize("dialog", ["banner", "strip", "places"])
def test_what_lies_over_a_screen_is_whole_and_inside(hand, calls, dialog, look, turns):
    prepare(hand, look)
    pages = pages_with(hand, calls, *SAMPLES["walk"])
    wrong = {}
    for at in each_turn(hand.window, look, turns):
        over = put_over(pages, dialog)
        for fault in settled_faults(over, LONG, hand.window):
            wrong.setdefault(fault, []).append(at)
        pages.fold()
    say(wrong)
