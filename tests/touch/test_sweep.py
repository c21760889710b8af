"""Every screen in each size, for bare hands in English and for gloves in German with large type at twice the density:
nothing cut, nothing over anything else, nothing too small to hit, all of it inside the window.

Every density, text scale, language and hand with every other takes many minutes: that is
``tests/bench/check_layouts.py``, run by hand.
"""

from operator import itemgetter

import pytest
from sweeping import SIZES, begin, lay_out, pages_with, put_over, settled_faults, window_of

from checkapp.show.preferences import Preferences
from conftest import LONG, MORE_VIEWS, VIEWS

LOOKS = pytest.mark.parametrize(
    ("look", "density"),
    [(Preferences(language="en"), 1.0), (Preferences(language="de", gloves=True, text_scale=1.5), 2.0)],
    ids=["en-bare", "de-gloves"],
)
ENDS = itemgetter(0, 2)
"""A tablet and a phone will do for views that have less on them than others of their screen."""
SAMPLES = VIEWS | MORE_VIEWS
SCREENS = sorted({screen for screen, _view in SAMPLES.values()})


def each_size(window, look, density, sizes=SIZES):
    """Turn the window to each size, let what it holds lie down, and say which."""
    for size in sizes:
        lay_out(window, window_of(size, density, look.text_scale))
        yield f"{size[0]}x{size[1]}"


def say(wrong):
    """All faults of a screen together, each with the first place it was found at."""
    said = (f"{places[0]} and {len(places) - 1} more: {fault}" for fault, places in wrong.items())
    assert not wrong, f"{len(wrong)} faults\n" + "\n".join(said)


@LOOKS
@pytest.mark.parametrize("screen", SCREENS)
def test_nothing_is_cut_covered_too_small_or_outside(hand, calls, screen, look, density):
    begin(hand, look, density)
    wrong = {}
    for name, view in ((name, view) for name, (its, view) in SAMPLES.items() if its == screen):
        pages = pages_with(hand, calls, screen, view)
        for at in each_size(hand.window, look, density, SIZES if name in VIEWS else ENDS(SIZES)):
            for fault in settled_faults(pages, LONG, hand.window):
                wrong.setdefault(f"{name}: {fault}", []).append(at)
    say(wrong)


@LOOKS
@pytest.mark.parametrize("dialog", ["banner", "strip", "places"])
def test_what_lies_over_a_screen_is_whole_and_inside(hand, calls, dialog, look, density):
    begin(hand, look, density)
    pages = pages_with(hand, calls, *SAMPLES["walk"])
    wrong = {}
    for at in each_size(hand.window, look, density):
        over = put_over(pages, dialog)
        for fault in settled_faults(over, LONG, hand.window):
            wrong.setdefault(fault, []).append(at)
        pages.fold()
    say(wrong)
