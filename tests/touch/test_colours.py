"""Contrast of every colour that carries text or a shape, in all three sets."""

from itertools import product

import pytest

from checkapp.touch.colours import COLOURS, SETS, STATUS_COLOURS, contrast, luminance

TEXT = ("text", "quiet", "ok", "faulty", "look", "next")


@pytest.mark.published
def test_black_on_white_is_21_to_1():
    # WCAG 2.2, definition of contrast ratio: from 1 to 21
    assert contrast("000000", "FFFFFF") == pytest.approx(21.0)
    assert contrast("777777", "777777") == 1.0
    assert (luminance("000000"), luminance("FFFFFF")) == pytest.approx((0.0, 1.0))


@pytest.mark.published
@pytest.mark.parametrize(("name", "colour", "behind"), list(product(SETS, TEXT, ("ground", "panel"))))
def test_text_has_7_to_1_on_ground_and_panel(name, colour, behind):
    # WCAG 2.2, success criterion 1.4.6, contrast (enhanced)
    assert contrast(COLOURS[name][colour], COLOURS[name][behind]) >= 7.0


@pytest.mark.published
@pytest.mark.parametrize("name", SETS)
def test_ink_has_7_to_1_on_the_tape(name):
    # WCAG 2.2, success criterion 1.4.6, contrast (enhanced)
    assert contrast(COLOURS[name]["ink"], COLOURS[name]["tape"]) >= 7.0


def test_the_sets_have_the_same_colours_and_each_status_has_one():
    assert len({tuple(colours) for colours in COLOURS.values()}) == 1
    assert set(STATUS_COLOURS.values()) <= set(COLOURS["dark"])


def test_nothing_but_the_tape_is_the_brightest_of_the_dark_set():
    dark = COLOURS["dark"]
    assert max(dark, key=lambda name: luminance(dark[name])) == "tape"
