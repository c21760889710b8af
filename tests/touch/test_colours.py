"""Contrast of every colour that carries text or a shape on every ground that it stands on, in all three sets."""

import re
from itertools import product
from pathlib import Path

import pytest

import checkapp.touch
from checkapp.show.preferences import VALUES
from checkapp.touch.colours import COLOURS, SETS, STATUS_COLOURS, contrast, luminance

ROOM = Path(checkapp.touch.__file__).parent
TEXT = ("text", "quiet", "ok", "faulty", "look", "next")
ON = [
    *product(TEXT, ("ground", "panel")),
    *(("ground", fill) for fill in TEXT),  # on what is being tapped
    ("ink", "tape"),
]
"""Each colour of text with each ground that it stands on."""


@pytest.mark.published
def test_black_on_white_is_21_to_1():
    # WCAG 2.2, definition of contrast ratio: from 1 to 21
    assert contrast("000000", "FFFFFF") == pytest.approx(21.0)
    assert contrast("777777", "777777") == 1.0
    assert (luminance("000000"), luminance("FFFFFF")) == pytest.approx((0.0, 1.0))


@pytest.mark.published
@pytest.mark.parametrize(("name", "colour", "behind"), [(name, *pair) for name in SETS for pair in ON])
def test_text_has_7_to_1_on_all_that_it_stands_on(name, colour, behind):
    # WCAG 2.2, success criterion 1.4.6, contrast (enhanced)
    assert contrast(COLOURS[name][colour], COLOURS[name][behind]) >= 7.0


@pytest.mark.published
@pytest.mark.parametrize(("name", "behind"), list(product(SETS, ("ground", "panel"))))
def test_shapes_frames_and_the_tape_have_3_to_1(name, behind):
    # WCAG 2.2, success criterion 1.4.11, non-text contrast
    for colour in (*STATUS_COLOURS.values(), "text", "tape"):
        assert contrast(COLOURS[name][colour], COLOURS[name][behind]) >= 3.0


def test_on_a_dark_stage_faulty_is_brighter_than_ok_by_half_again():
    dim = COLOURS["dim"]
    assert luminance(dim["faulty"]) > 1.4 * luminance(dim["ok"])
    assert contrast(dim["faulty"], dim["ok"]) >= 1.4


def test_dim_sends_out_the_least_light():
    brightest = {name: max(map(luminance, colours.values())) for name, colours in COLOURS.items()}
    assert min(brightest, key=brightest.get) == "dim"
    assert luminance(COLOURS["dim"]["ground"]) == 0.0


def test_no_layout_has_a_colour_that_is_not_of_the_set():
    named = re.compile(r"^\s*(?:\w+_)?(?:color|rgba|tint|ink|cut):(.*)$", re.MULTILINE)
    own = re.compile(r"theme\.|root\.|self\.|(?:said|port)\.color")
    for layout in ROOM.rglob("*.kv"):
        for value in named.findall(layout.read_text(encoding="utf-8")):
            assert own.search(value), f"{layout.name}: {value}"


def test_the_sets_have_the_same_colours_and_each_status_has_one():
    assert VALUES["colours"] == SETS
    assert len({tuple(colours) for colours in COLOURS.values()}) == 1
    assert set(STATUS_COLOURS.values()) <= set(COLOURS["dark"])


def test_nothing_but_the_tape_is_the_brightest_of_the_dark_set():
    dark = COLOURS["dark"]
    assert max(dark, key=lambda name: luminance(dark[name])) == "tape"
