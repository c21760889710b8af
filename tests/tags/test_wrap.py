"""Labels round a cable: rows seen from any side, a QR on thick jackets alone, the blank end first."""

import math
from dataclasses import replace

import numpy as np
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.rig.codes import Tag
from checkapp.tags.label import Label, labels_of
from checkapp.tags.lasting import Said
from checkapp.tags.layout import layout
from checkapp.tags.parts import LabelTooSmall
from checkapp.tags.picture import picture
from checkapp.tags.stock import Stock
from checkapp.tags.wrap import CableTooThin

WRAP = Stock(kind="wrap", width_mm=44.0, height_mm=54.0, printer_dpi=300, jacket_mm=6.5)
LEAD = Label(Tag("SM", "XL07", "B"), "cable", (Said("lead, 6 m", "strong"), Said("far end"), Said("owner SM")), 6.1)


def rows_of(drawn, label):
    """Top and base of each row's code, from the label's top."""
    codes = [one for one in drawn.words if one.text == label.large]
    return [(one.base_mm - one.size_mm * one.face.cap_height, one.base_mm) for one in codes]


@pytest.mark.closed_form
@settings(max_examples=60, deadline=None)
@given(st.floats(4.0, 16.8), st.sampled_from(["A1", "XL07", "ABCDEFGHIJ"]))
def test_from_any_side_one_row_is_seen_whole(jacket_mm, code):
    """A third of the way round is seen at one look. What is printed is on the label's last length of one way round."""
    label = replace(LEAD, tag=Tag("SM", code, "B"), jacket_mm=jacket_mm)
    round_mm = math.pi * jacket_mm
    rows = rows_of(layout(label, WRAP), label)
    assert min(top for top, _ in rows) >= WRAP.height_mm - round_mm - 1e-6
    for looked_at in np.linspace(0, round_mm, 200, endpoint=False):
        seen = [
            top >= start and base <= start + round_mm / 3 + 1e-6
            for start in (WRAP.height_mm - round_mm + looked_at, WRAP.height_mm - 2 * round_mm + looked_at)
            for top, base in rows
        ]
        assert any(seen), looked_at


def test_a_longer_label_begins_blank_and_ends_printed():
    dark = ~np.asarray(picture(layout(LEAD, WRAP), WRAP))
    printed = np.flatnonzero(dark.any(axis=1)) * WRAP.dot_mm
    round_mm = math.pi * 6.1
    assert printed[0] >= 54 - round_mm
    assert printed[-1] - printed[0] > 0.8 * round_mm
    assert 0.5 <= 54 - printed[-1] <= 2


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("jacket_mm", "dots"),
    [
        # 21 modules of 4 dots of 1/300 inch are 7.112 mm: 0.6 of 11.853 mm.
        (None, 0),
        (6.1, 0),
        (11.8, 0),
        (11.9, 4),
        # Of 5 dots they are 8.89 mm: 0.6 of 14.817 mm.
        (14.8, 4),
        (14.9, 5),
        (16.4, 5),
    ],
)
def test_a_qr_is_at_most_0_6_of_the_jacket_wide(jacket_mm, dots):
    codes = layout(replace(LEAD, jacket_mm=jacket_mm), WRAP).codes
    assert {code.dots for code in codes} == ({dots} if dots else set())
    assert all(code.side_mm <= 0.6 * jacket_mm for code in codes)


def test_without_a_jacket_in_the_plan_there_is_no_qr_however_thick_the_stocks_cable():
    thick = Stock(kind="wrap", width_mm=60.0, height_mm=90.0, printer_dpi=600, jacket_mm=20.0)
    assert layout(replace(LEAD, jacket_mm=None), thick).codes == ()
    assert layout(replace(LEAD, jacket_mm=20.0), thick).codes


@pytest.mark.independent
@pytest.mark.parametrize("jacket_mm", [12.0, 13.5, 15.0, 16.5])
def test_codes_go_all_the_way_round_with_their_white(jacket_mm):
    """The label bent round: its last length of one way round is what shows, and every code of it is read off it."""
    label = replace(LEAD, jacket_mm=jacket_mm)
    drawn = layout(label, WRAP)
    image = np.asarray(picture(drawn, WRAP).convert("L"))
    shown = image[-round(math.pi * jacket_mm / WRAP.dot_mm) :]
    for turn in range(0, len(shown), 40):
        found = zxingcpp.read_barcodes(np.ascontiguousarray(np.roll(shown, turn, axis=0)))
        assert {code.text for code in found} == {label.text}
    tops = [code.top_mm for code in drawn.codes]
    assert len(tops) >= 3
    assert np.diff(tops).min() >= drawn.codes[0].side_mm + 2 * drawn.codes[0].quiet_mm - 1e-6


def test_what_is_said_takes_turns_in_the_rows_and_is_whole_when_all_had_its_turn():
    drawn = layout(LEAD, WRAP)
    texts = [one.text for one in drawn.words if one.text != LEAD.large]
    assert drawn.whole
    assert set(texts) == {LEAD.text, "lead, 6 m", "far end", "owner SM"}
    many = replace(LEAD, said=tuple(Said(f"line {number} of what is said") for number in range(30)))
    assert not layout(many, WRAP).whole


@pytest.mark.closed_form
def test_a_label_that_does_not_go_round_says_the_size_that_would():
    """A jacket of 18 mm is 56.55 mm round, and the label sticks 1 mm to itself."""
    said = r"a wrap of 44 x 54 mm does not take it round a jacket of 18 mm; choose one of at least \d+\.\d x 57\.6 mm"
    with pytest.raises(LabelTooSmall, match=said):
        layout(replace(LEAD, jacket_mm=18.0), WRAP)
    layout(replace(LEAD, jacket_mm=18.0), WRAP.model_copy(update={"height_mm": 57.6}))
    narrow = WRAP.model_copy(update={"width_mm": 12.0})
    with pytest.raises(LabelTooSmall) as refused:
        layout(LEAD, narrow)
    layout(LEAD, WRAP.model_copy(update={"width_mm": refused.value.least_mm[0]}))


@pytest.mark.parametrize("jacket_mm", [1e-12, 0.3, 1.2])
def test_a_cable_as_thin_as_a_thread(jacket_mm):
    with pytest.raises(CableTooThin, match="too thin for a wrap; print it on a flag"):
        layout(replace(LEAD, jacket_mm=jacket_mm), WRAP)


def test_the_thin_cables_of_the_demo_have_text_alone_the_thick_ones_a_qr(demo_rig, stock_named):
    stock = stock_named("wrap-44x54")
    found = {label.tag.code: bool(layout(label, stock).codes) for label in labels_of(demo_rig) if label.kind == "cable"}
    assert {code for code, coded in found.items() if coded} == {"LM01", "LM02", "FN01", "FN02"}


def test_a_wrap_says_the_cables_length_beside_its_tag_where_no_line_is_left_for_it(demo_rig, stock_named):
    stock = stock_named("wrap-44x54")
    for label in labels_of(demo_rig, for_show=True):
        if label.kind == "cable":
            texts = [one.text for one in layout(label, stock).words]
            assert any(label.length in text for text in texts), label.text
    for label in labels_of(demo_rig, ["LD02"], for_show=True):
        assert f"{label.text}  10 m" in [one.text for one in layout(label, stock).words]


def test_a_range_of_ports_stands_whole_in_a_row(demo_rig, stock_named):
    for label in labels_of(demo_rig, ["LM01", "FN01"], for_show=True):
        texts = [one.text for one in layout(label, stock_named("wrap-44x54")).words]
        assert not [text for text in texts if text.endswith((" in", " out", " to"))]
