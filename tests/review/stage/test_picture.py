"""The picture: one page with all that it must say, within its edges."""

import io

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from checkapp.page.drawing import Mark, Words
from checkapp.page.fonts import measure
from checkapp.page.pdf import pdf_bytes
from checkapp.page.png import png_bytes
from checkapp.review.cautions import MAINS, PHANTOM
from checkapp.review.stage.picture import PAGE, PICTURE_PX, picture


@pytest.fixture(scope="module")
def pictures(plan_of, drawn):
    plans = ("demo", "small", "wrong", plan_of(1, 2, 16), plan_of(16, 100, 512), plan_of(6, 40, 300, 1.0))
    found = [drawn(plan)[:2] for plan in plans]
    return [(rig, report, picture(rig, report, measure)) for rig, report in found]


def texts(drawing):
    return [shape.text for shape in drawing.shapes if isinstance(shape, Words)]


def test_everything_is_on_the_page_and_nothing_over_anything_else(pictures, clashes):
    for _, _, drawing in pictures:
        assert drawing.extent == PAGE
        assert all(PAGE.grown(-4).holds(shape.rect) for shape in drawing.shapes)
        assert clashes(drawing) == []


def test_it_is_titled_with_rig_version_and_mark(pictures):
    for rig, _, drawing in pictures:
        said = texts(drawing)
        assert rig.name in said
        assert any(f"plan {rig.mark}" in text for text in said)
    assert any("version 7" in text for text in texts(pictures[0][2]))


def test_findings_are_listed_by_number_and_the_rest_is_counted(pictures):
    for _, report, drawing in pictures:
        said = " ".join(texts(drawing))
        marks = [shape for shape in drawing.shapes if isinstance(shape, Mark) and shape.x > PAGE.right - 71]
        listed = report.findings[: len(marks)]
        assert [mark.level for mark in marks] == [finding.level for finding in listed]
        assert all(finding.message[:18] in said and finding.where in said for finding in listed)
        left = len(report.findings) - len(listed)
        assert (f"and {left} more: the review lists them all" in said) == (left > 0)


def test_the_key_names_every_chain_or_counts_what_is_left_out(pictures, plan_of, drawn):
    for rig, _, drawing in pictures:
        said = texts(drawing)
        assert all(code in said for code in rig.chains)
    rig, report, _ = drawn(plan_of(60, 60, 60))
    said = texts(picture(rig, report, measure))
    assert any(text.endswith("chains more") for text in said)


def test_cautions_stand_where_mains_or_phantom_power_comes_up(pictures):
    demo, wrong, two = (texts(pictures[number][2]) for number in (0, 2, 3))
    assert MAINS in demo
    assert MAINS in wrong
    assert PHANTOM in wrong
    assert not {MAINS, PHANTOM}.intersection(two)


@pytest.mark.independent
def test_png_and_pdf_agree_in_size_and_extent(pictures):
    """PDFium's rendering of the PDF against our PNG: the same outline of ink, to a pixel or two."""
    for _, _, drawing in pictures[:3]:
        image = Image.open(io.BytesIO(png_bytes(drawing, PICTURE_PX)))
        assert image.mode == "L"
        assert image.size == (2000, 1414)
        page = pypdfium2.PdfDocument(pdf_bytes([drawing], "Rig"))[0]
        assert page.get_size() == pytest.approx((297 * 72 / 25.4, 210 * 72 / 25.4))
        other = page.render(scale=2000 / page.get_width(), grayscale=True).to_numpy().squeeze()
        ends = []
        for pixels in (np.asarray(image), other):
            dark = pixels < 140
            ends.append([edge for axis in (0, 1) for edge in np.flatnonzero(dark.any(axis=axis))[[0, -1]]])
        assert ends[0] == pytest.approx(ends[1], abs=2)
