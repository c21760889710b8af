"""Every screen in every size, density, type scale and language, for bare hands and for gloves: nothing cut, nothing
over anything else, nothing too small to hit, all of it inside the window."""

from itertools import product

import pytest
from sweeping import SIZES, frames, lay_out, pages_with, settled_faults, window_of

from checkapp import tongue
from conftest import LONG, MORE_VIEWS, VIEWS

SCALES = [(1.0, 1.0), (1.0, 1.5), (2.0, 1.5)]
"""Density and type scale; the other way round from the second, a large density shows the layout of the first."""
MODES = [("en", False), ("de", True)]
"""Language and gloves: German is the longer, and gloves need the larger."""
TROUBLE = (
    "in 17 silent is not saved yet: the journal cannot be written",
    "look whether its disk is full, shut or unplugged; it is kept and tried again. 11 more wait behind it.",
)
SAMPLES = VIEWS | MORE_VIEWS
SCREENS = sorted({screen for screen, _view in SAMPLES.values()})


def prepare(hand, language, gloves):
    from checkapp.touch.theme import theme

    hand.drawing = False
    theme.gloves = gloves
    tongue.use(language)


def each_size(window, gloves):
    """Lay the window out in each size, density and type scale, and say which. The density does nothing to gloves."""
    from kivy.metrics import Metrics

    for (density, type_scale), size in product(SCALES[:2] if gloves else SCALES, SIZES):
        Metrics.density, Metrics.fontscale = density, type_scale
        lay_out(window, window_of(size, density, type_scale))
        yield f"{size[0]}x{size[1]} density {density} type {type_scale}"


def say(wrong):
    """All faults of a screen together, each with the first place it was found at."""
    said = (f"{places[0]} and {len(places) - 1} more: {fault}" for fault, places in wrong.items())
    assert not wrong, f"{len(wrong)} faults\n" + "\n".join(said)


@pytest.mark.parametrize(("language", "gloves"), MODES, ids=["en-bare", "de-gloves"])
@pytest.mark.parametrize("screen", SCREENS)
def test_nothing_is_cut_covered_too_small_or_outside(hand, calls, screen, language, gloves):
    prepare(hand, language, gloves)
    wrong = {}
    for name, view in ((name, view) for name, (its, view) in SAMPLES.items() if its == screen):
        pages = pages_with(hand, calls, screen, view)
        for at in each_size(hand.window, gloves):
            for fault in settled_faults(pages, LONG, hand.window):
                wrong.setdefault(f"{name}: {fault}", []).append(at)
    say(wrong)


@pytest.mark.parametrize(("language", "gloves"), MODES, ids=["en-bare", "de-gloves"])
@pytest.mark.parametrize("dialog", ["banner", "strip", "places"])
def test_what_lies_over_a_screen_is_whole_and_inside(hand, calls, dialog, language, gloves):
    prepare(hand, language, gloves)
    pages = pages_with(hand, calls, *SAMPLES["walk"])
    wrong = {}
    for at in each_size(hand.window, gloves):
        pages.say(TROUBLE if dialog == "banner" else ())
        pages.unsaved(" ".join(TROUBLE) if dialog == "strip" else "")
        if dialog == "places":
            pages.unfold()
        frames(4)
        over = {"banner": pages.banner, "strip": pages.strip, "places": pages.guide.places}[dialog]
        for fault in settled_faults(over, LONG, hand.window):
            wrong.setdefault(fault, []).append(at)
        pages.fold()
    say(wrong)
