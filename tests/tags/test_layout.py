"""Labels laid out: on any stock all stands where it should, flags fold, what is too small says what would do."""

import math
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.page import fonts
from checkapp.rig.codes import Tag
from checkapp.rig.errors import CheckappError
from checkapp.tags.label import Label, labels_of
from checkapp.tags.lasting import Said
from checkapp.tags.layout import NECK_MM, NothingToPrint, layout, layouts
from checkapp.tags.parts import LabelTooSmall
from checkapp.tags.picture import picture
from checkapp.tags.stock import Stock
from checkapp.tags.wrap import CableTooThin

LINK = "HTTPS://TAGS.EXAMPLE/"
BOX = Label(Tag("SM", "SB1"), "box", (Said("box, line8", "strong"), Said("owner SM")))

words = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), min_size=1, max_size=60)
said = st.builds(Said, words, st.sampled_from(["strong", "plain", "small"]))
labels = st.builds(
    Label,
    st.builds(
        Tag,
        st.from_regex(r"[A-Z0-9]{1,4}", fullmatch=True),
        st.from_regex(r"[A-Z0-9]([A-Z0-9-]{0,8}[A-Z0-9])?", fullmatch=True),
        st.sampled_from(["", "A", "B"]),
        st.sampled_from(["", "7Q0Z"]),
    ),
    st.just("cable"),
    st.lists(said, max_size=7).map(tuple),
    st.one_of(st.none(), st.floats(0.5, 40)),
    st.sampled_from(["", LINK]),
)


@st.composite
def stocks(draw):
    """Any stock that a file could describe, small ones and strange ones among them."""
    kind = draw(st.sampled_from(["sheet", "roll", "flag", "wrap"]))
    width_mm, height_mm = draw(st.floats(5, 200)), draw(st.floats(5, 200))
    fields = {
        "corner_mm": draw(st.floats(0, min(width_mm, height_mm) / 2)),
        "printer_dpi": draw(st.integers(100, 2400)),
    }
    if kind == "flag":
        fields["jacket_mm"] = draw(st.floats(0.1, max(width_mm, height_mm) / math.pi))
    if kind == "wrap":
        fields["jacket_mm"] = draw(st.floats(0.1, (height_mm - 1) / math.pi))
    if kind == "sheet":
        fields |= {"page_width_mm": width_mm + 20, "page_height_mm": height_mm + 20}
    return Stock(kind=kind, width_mm=width_mm, height_mm=height_mm, **fields)


def box_of(one):
    """The room that a line of type takes, upright or turned, from its base to the top of its capitals."""
    width_mm = fonts.width(one.text, one.face) * one.size_mm
    cap_mm = one.size_mm * one.face.cap_height
    if one.turned:
        return one.left_mm - width_mm, one.base_mm, one.left_mm, one.base_mm + cap_mm
    return one.left_mm, one.base_mm - cap_mm, one.left_mm + width_mm, one.base_mm


def square_of(code, grown_mm=0.0):
    left_mm, top_mm = code.left_mm - grown_mm, code.top_mm - grown_mm
    return left_mm, top_mm, left_mm + code.side_mm + 2 * grown_mm, top_mm + code.side_mm + 2 * grown_mm


def overlap(a, b, slack_mm=1e-6):
    return min(a[2], b[2]) - max(a[0], b[0]) > slack_mm and min(a[3], b[3]) - max(a[1], b[1]) > slack_mm


@settings(max_examples=200, deadline=None)
@given(labels, stocks())
def test_on_any_stock_all_is_on_the_label_and_nothing_on_anything_else_or_the_size_that_would_do_is_told(label, stock):
    try:
        drawn = layout(label, stock)
    except CableTooThin:
        assert (label.jacket_mm or stock.jacket_mm) < 2
        return
    except LabelTooSmall as refused:
        # Another stock may be in the way of the cable no more, but nothing larger than was told is needed.
        width_mm, height_mm = (math.ceil(10 * size_mm) / 10 for size_mm in refused.least_mm)
        assert f"at least {width_mm:g} x {height_mm:g} mm" in str(refused)
        corner_mm = min(stock.corner_mm, width_mm / 2, height_mm / 2)
        bigger = stock.model_copy(update={"width_mm": width_mm, "height_mm": height_mm, "corner_mm": corner_mm})
        assert width_mm > stock.width_mm - 0.1 or height_mm > stock.height_mm - 0.1
        drawn, stock = layout(label, bigger), bigger
    for code in drawn.codes:
        assert code.symbol.text == label.payload
        assert code.module_mm == pytest.approx(code.dots * 25.4 / stock.printer_dpi)
        assert code.module_mm >= 0.33 - 1e-9
        left_mm, top_mm, right_mm, foot_mm = square_of(code, code.quiet_mm)
        assert min(left_mm, top_mm) >= -1e-6
        assert right_mm <= stock.width_mm + 1e-6
        assert foot_mm <= stock.height_mm + 1e-6
    boxes = [box_of(one) for one in drawn.words]
    for box, one in zip(boxes, drawn.words, strict=True):
        assert min(box[0], box[1]) >= 0.4
        assert box[2] <= stock.width_mm - 0.4
        assert box[3] <= stock.height_mm - 0.4
        assert not any(overlap(box, square_of(code, code.quiet_mm)) for code in drawn.codes), one.text
    for number, box in enumerate(boxes):
        assert not any(overlap(box, other) for other in boxes[:number])


@settings(max_examples=100, deadline=None)
@given(labels, stocks())
def test_the_code_is_never_cut_nor_too_small_to_be_read(label, stock):
    try:
        drawn = layout(label, stock)
    except CheckappError:
        return
    large = [one for one in drawn.words if one.text == label.large]
    assert len(large) >= (2 if stock.kind in ("flag", "wrap") else 1)
    assert min(one.size_mm for one in large) >= 1.7 - 1e-6


@pytest.mark.parametrize("for_show", [False, True], ids=["asset", "show"])
def test_the_code_is_the_largest_on_every_label_of_the_demo(demo_rig, stock_named, stock_name, for_show):
    stock = stock_named(stock_name)
    for label in labels_of(demo_rig, for_show=for_show):
        if stock.takes(label.kind):
            drawn = layout(label, stock)
            code_mm = min(one.size_mm for one in drawn.words if one.text == label.large)
            assert code_mm > 1.2 * max(one.size_mm for one in drawn.words if one.text != label.large)


# --- sheets and rolls


def test_a_larger_label_says_all_that_a_small_one_had_to_cut(demo_rig, stock_named):
    every = labels_of(demo_rig, for_show=True)
    cut = {
        name: sum(not one.whole for one in layouts(every, stock_named(name))) for name in ("roll-40x18", "roll-80x45")
    }
    assert cut["roll-80x45"] == 0 < cut["roll-40x18"]


def test_asset_tags_of_the_demo_are_whole_on_all_sheets_and_rolls(demo_labels, stock_named, stock_name):
    stock = stock_named(stock_name)
    if stock.kind in ("sheet", "roll"):
        assert all(one.whole for one in layouts(demo_labels, stock))


def test_the_tag_and_what_weighs_most_stay_when_there_is_no_room(stock_named):
    lines = (Said("into SB2 link in", "strong"), Said("from SB1 link out"), Said("Stage left"), Said("plan", "small"))
    label = Label(Tag("SM", "LK02", "B", "7Q0Z"), "cable", (*lines, Said("cord, 20 m", "small")))
    drawn = layout(label, stock_named("roll-40x18"))
    texts = [one.text for one in drawn.words]
    assert not drawn.whole
    assert texts == ["LK02 B", label.text, *(line.text for line in lines[: len(texts) - 2])]
    assert "into SB2 link in" in texts


def test_a_link_makes_a_larger_symbol_and_leaves_the_small_text_alone(stock_named):
    plain, linked = (layout(replace(BOX, link=link), stock_named("sheet-a4")) for link in ("", LINK))
    assert (plain.codes[0].symbol.version, linked.codes[0].symbol.version) == (1, 2)
    assert [one.text for one in plain.words] == [one.text for one in linked.words]


@pytest.mark.closed_form
def test_what_is_too_small_says_the_size_that_would_do():
    """Version 1 with its white is 29 modules of 4 dots at 300 dpi: 9.82 mm, 0.4 of 24.56 mm, 2 mm less than 11.82."""
    small = Stock(kind="roll", width_mm=24.0, height_mm=12.0, printer_dpi=300)
    with pytest.raises(
        LabelTooSmall,
        match=r"SM\.SB1\.C: a label of 24 x 12 mm has no room for code and QR; choose one of at least 24\.6 x 11\.9 mm",
    ):
        layout(BOX, small)
    layout(BOX, Stock(kind="roll", width_mm=24.6, height_mm=11.9, printer_dpi=300))
    # Version 2 with its white is 33 modules: 11.18 mm, 0.4 of 27.94 mm.
    with pytest.raises(LabelTooSmall, match=r"at least 28 x 13\.2 mm"):
        layout(replace(BOX, link=LINK), small)


def test_all_labels_that_are_too_small_are_one_message_with_the_size_for_all():
    small = Stock(kind="roll", width_mm=24.0, height_mm=12.0, printer_dpi=300)
    told = []
    with pytest.raises(LabelTooSmall, match=r"SM\.SB1\.C and 1 more: .* at least 28 x 13\.2 mm") as refused:
        layouts([BOX, replace(BOX, link=LINK)], small, lambda: told.append(1))
    assert len(told) == 2
    assert len(refused.value.lines) == 1


def test_no_label_at_all(stock_named):
    with pytest.raises(NothingToPrint):
        layouts([], stock_named("sheet-a4"))


# --- flags

WIDE = Stock(kind="flag", width_mm=118.0, height_mm=25.0, printer_dpi=300, jacket_mm=6.5)
TALL = Stock(kind="flag", width_mm=44.0, height_mm=84.0, printer_dpi=600, jacket_mm=6.5)
LEAD = Label(Tag("SM", "XL07", "B"), "cable", (Said("lead, 6 m", "strong"), Said("far end")), 6.1)


@pytest.mark.closed_form
@pytest.mark.parametrize("stock", [WIDE, TALL], ids=["wide", "tall"])
@pytest.mark.parametrize("jacket_mm", [None, 3.0, 6.1, 9.8, 12.6])
def test_the_strip_round_the_cable_is_white_and_as_wide_as_the_cable_is_round(stock, jacket_mm):
    """In the middle of the longer side, pi times the jacket's diameter; the stock's where the plan gives none."""
    dark = ~np.asarray(picture(layout(replace(LEAD, jacket_mm=jacket_mm), stock), stock))
    along = dark.any(axis=0 if stock is WIDE else 1)
    middle = len(along) / 2
    ends = [np.flatnonzero(along[: int(middle)])[-1] + 1, np.flatnonzero(along[int(middle) :])[0] + int(middle)]
    round_mm = math.pi * (jacket_mm or 6.5)
    white_mm = [abs(end - middle) * stock.dot_mm for end in ends]
    assert min(white_mm) >= round_mm / 2 + NECK_MM - stock.dot_mm
    assert max(white_mm) <= round_mm / 2 + NECK_MM + 5  # and what is printed begins right beside it


@pytest.mark.closed_form
def test_folded_over_the_upper_half_of_a_tall_flag_shows_the_same_face_upright():
    """Folding about a level line turns the upper half on its head: what is printed there is the lower one turned."""
    image = np.asarray(picture(layout(LEAD, TALL), TALL))
    half = len(image) // 2
    upper, lower = image[:half], image[-half:]
    turned = np.rot90(upper, 2)
    # The squares of a QR that is read either way up are not turned: compare the words beside it.
    words = slice(0, int(0.55 * image.shape[1]))
    assert not lower[:, words].all()
    assert (turned[:, words] == lower[:, words]).mean() > 0.995


def test_both_halves_of_a_wide_flag_stand_upright_as_printed_with_the_qr_at_the_outer_end():
    drawn = layout(LEAD, WIDE)
    assert not any(one.turned for one in drawn.words)
    assert set(Counter(one.text for one in drawn.words).values()) == {2}
    left, right = sorted(code.left_mm + code.side_mm / 2 for code in drawn.codes)
    assert left == pytest.approx(118 - right)
    assert all(left < one.left_mm < right for one in drawn.words)


def test_a_thicker_cable_leaves_smaller_faces_until_none_is_left():
    sizes = [layout(replace(LEAD, jacket_mm=mm), WIDE).words[0].size_mm for mm in (3.0, 6.1, 12.0)]
    assert sizes == sorted(sizes, reverse=True)
    with pytest.raises(
        LabelTooSmall, match=r"a flag of 118 x 25 mm round a jacket of 25 mm has no room for code and QR; choose"
    ):
        layout(replace(LEAD, jacket_mm=25.0), WIDE)
    with pytest.raises(LabelTooSmall, match="round a jacket of 1e"):
        layout(replace(LEAD, jacket_mm=1e12), WIDE)


def test_a_thing_that_is_no_cable_is_printed_for_a_cable_as_thick_as_the_stock_says():
    assert layout(BOX, WIDE).codes == layout(replace(BOX, jacket_mm=6.5), WIDE).codes
