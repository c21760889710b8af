"""Drawings as data: strokes with dashes, marks, scale; and both renderers draw the same in greys."""

import io
import math
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from checkapp.page.drawing import GREYS, Area, Drawing, Mark, Plate, Spot, Stroke, Words
from checkapp.page.fonts import measure
from checkapp.page.pdf import pdf_bytes
from checkapp.page.pen import Pen
from checkapp.page.png import png_bytes
from checkapp.page.rect import Rect

LEVELS = ["stop", "caution", "note"]
STYLES = ["solid", "dashed", "dotted", "dash-dot"]


def inked(stroke):
    return sum(math.dist(*pair) for dash in stroke.dashes() for pair in pairwise(dash))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("style", "share"), [("solid", 1.0), ("dashed", 6 / 10), ("dotted", 1 / 3.2), ("dash-dot", 8.2 / 13.4)]
)
def test_the_inked_part_of_a_long_stroke_is_that_of_its_pattern(style, share):
    whole = 13.4 * 3.2 * 10 * 10
    stroke = Stroke(((0, 0), (whole * 0.6, 0), (whole * 0.6, whole * 0.4)), 0.1, style)
    assert inked(stroke) == pytest.approx(share * whole, rel=2e-3)


@given(st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), min_size=2, max_size=5), st.sampled_from(STYLES))
def test_dashes_lie_on_the_stroke_and_begin_where_it_begins(points, style):
    stroke = Stroke(tuple(points), 0.3, style)
    dashes = list(stroke.dashes())
    assert dashes[0][0] == points[0]
    whole = sum(math.dist(*pair) for pair in pairwise(points))
    assert inked(stroke) <= whole + 1e-9
    room = Rect.around(points).grown(1e-9)
    assert all(room.nearest_to(point) == point for dash in dashes for point in dash)


@pytest.mark.parametrize("level", LEVELS)
def test_a_mark_stays_in_its_square_and_the_three_differ(level):
    mark = Mark(level, 3, 4, 2)
    assert all(mark.rect.holds(part.rect, 1e-6) for part in mark.parts())
    shapes = {kind: [type(part).__name__ for part in Mark(kind, 0, 0, 1).parts()] for kind in LEVELS}
    assert shapes == {"stop": ["Area", "Area"], "caution": ["Area"], "note": ["Stroke"]}


def test_a_note_is_a_level_stroke_as_on_screen_not_the_ring_of_what_is_open():
    (stroke,) = Mark("note", 3, 4, 2).parts()
    assert {y for _, y in stroke.points} == {4}
    assert stroke.rect.width > 3 * stroke.rect.height


@pytest.fixture
def sample():
    pen = Pen(measure)
    shapes = [
        *(Stroke(((1, 2 + n), (18, 2.5 + n)), 0.12 + 0.05 * n, style) for n, style in enumerate(STYLES)),
        Plate(Rect(2, 8, 9, 12), 0.2),
        Plate(Rect(10, 8, 17, 12), 0.2, open=True),
        Area(((14, 13), (16, 13), (15, 15)), "faint"),
        *(Mark(level, 3 + 2 * n, 14, 1.4) for n, level in enumerate(("stop", "caution", "note"))),
        pen.words("SB1 Größe", (5.5, 9.4), 1.2, bold=True, align="middle"),
        pen.words("31.83 V", (16, 10.4), 0.9, align="right", tone="quiet"),
    ]
    return Drawing(Rect(0, 0, 20, 16), tuple(shapes), (Spot("SB1", Rect(2, 8, 9, 12)),))


def grey_of(data):
    return np.asarray(Image.open(io.BytesIO(data)).convert("L"), dtype=float)


@pytest.mark.independent
def test_the_png_and_a_rendering_of_the_pdf_are_the_same_picture(sample):
    """PDFium draws the PDF; the two must have the same size and extent, and hardly a pixel may differ much."""
    png = grey_of(png_bytes(sample, 800))
    page = pypdfium2.PdfDocument(pdf_bytes([sample], "Sample"))[0]
    pdf = page.render(scale=800 / page.get_width(), grayscale=True).to_numpy().squeeze().astype(float)[:640, :800]
    assert png.shape == pdf.shape == (640, 800)
    for axis in (0, 1):
        ends = [np.flatnonzero((image < 128).any(axis=axis))[[0, -1]] for image in (png, pdf)]
        assert ends[0] == pytest.approx(ends[1], abs=1.5)
    assert np.mean(np.abs(png - pdf) > 128) < 0.004
    assert np.abs(png - pdf).mean() < 2.0


def test_pictures_are_grey_and_the_same_each_time(sample):
    data = png_bytes(sample, 300)
    assert Image.open(io.BytesIO(data)).mode == "L"
    assert png_bytes(sample, 300) == data
    document = pdf_bytes([sample, sample], "Sample", ["one", "two"])
    assert pdf_bytes([sample, sample], "Sample", ["one", "two"]) == document
    image = pypdfium2.PdfDocument(document)[0].render(scale=3).to_numpy()
    assert (image.max(axis=2) == image.min(axis=2)).all()


def test_a_pdf_lists_where_each_section_begins(sample):
    document = pypdfium2.PdfDocument(pdf_bytes([sample] * 3, "Sample", ["one", "two", "two"]))
    assert [mark.get_title() for mark in document.get_toc()] == ["one", "two"]
    assert [mark.get_dest().get_index() for mark in document.get_toc()] == [0, 1]


def test_a_drawing_fits_a_room_with_its_shape_kept_and_its_spots(sample):
    room = Rect(100, 50, 180, 90)
    small = sample.within(room)
    assert room.holds(small.extent)
    assert small.extent.width / small.extent.height == pytest.approx(20 / 16)
    assert small.extent.height == pytest.approx(40)
    assert small.extent.middle == pytest.approx(room.middle)
    assert small.spots[0].rect.width == pytest.approx(7 * 2.5)
    words = [shape for shape in small.shapes if isinstance(shape, Words)]
    assert words[0].width == pytest.approx(measure("SB1 Größe", True) * 1.2 * 2.5)


@pytest.mark.closed_form
def test_type_is_7_to_1_against_paper():
    """Contrast ratio of WCAG 2.1: (L1 + 0.05)/(L2 + 0.05), L by the sRGB curve (from memory)."""
    for tone in ("ink", "quiet"):
        grey = GREYS[tone]
        light = grey / 12.92 if grey <= 0.04045 else ((grey + 0.055) / 1.055) ** 2.4
        assert 1.05 / (light + 0.05) >= 7
