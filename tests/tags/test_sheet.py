"""The printed page: every code reads back, the millimetres are true, files are whole or not there."""

import subprocess
import sys
import tomllib
from collections import Counter
from itertools import groupby

import numpy as np
import pypdfium2
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.rig.codes import Tag
from checkapp.rig.errors import CheckappError
from checkapp.rig.writing import FileNotWritten
from checkapp.tags.label import Label, labels_of
from checkapp.tags.lasting import Said
from checkapp.tags.layout import layout, layouts
from checkapp.tags.sheet import NudgeRefused, StartRefused, Where, check_where, write_pdf
from checkapp.tags.stock import Stock

LONG = "Vocal compressor return, left hand side, with a name that nobody would say aloud on a stage"


def cable(owner, code, end, *said, jacket_mm=None):
    return Label(Tag(owner, code, end), "cable", tuple(map(Said, said, ("strong", "plain", "small"))), jacket_mm)


AWKWARD = [
    cable("ABCD", "ABCDEFGHIJ", "A", "digital, 152.25 m", LONG, LONG),
    cable("SM", "SB1", "A", "x", "Nomorethanoneendlessword" * 4, "\u202e\x07\n"),
    cable("S", "I0O1", "B", "Größe", "Ящик «Ω» № 2", "שלום עולם 12 vox"),
    cable("S", "W", "A"),
    cable("SM", "XL01", "B", "マイク", "Cajón 🎤", "ไมค์"),
]


def codes_on(image):
    return zxingcpp.read_barcodes(np.ascontiguousarray(image), formats=zxingcpp.BarcodeFormat.QRCode)


def stretches(dark, dpi):
    """Where a row of pixels is dark: (from, to) in mm."""
    runs = groupby(enumerate(dark), key=lambda pair: bool(pair[1]))
    found = [[at for at, _ in run] for is_dark, run in runs if is_dark]
    return [(run[0] * 25.4 / dpi, (run[-1] + 1) * 25.4 / dpi) for run in found]


def crop(image, dpi, left_mm, top_mm, width_mm, height_mm):
    """A part of a page, as dark pixels."""
    left, top, right, bottom = (
        round(edge_mm * dpi / 25.4) for edge_mm in (left_mm, top_mm, left_mm + width_mm, top_mm + height_mm)
    )
    return image[max(0, top) : bottom, max(0, left) : right] < 128


def taken(labels, stock):
    return [label for label in labels if stock.takes(label.kind)]


# --- codes


@pytest.mark.independent
@pytest.mark.parametrize("for_show", [False, True], ids=["asset", "show"])
def test_codes_read_back_at_300_dpi(demo_rig, printed, raster, stock_named, stock_name, for_show):
    """A fifth of the demo rig on each stock; a flag carries its code twice, a wrap as often as fits or not at all."""
    stock = stock_named(stock_name)
    labels = taken(labels_of(demo_rig, for_show=for_show), stock)[::5]
    pdf = printed(labels, stock)
    per_page = len(stock.places)
    assert len(pdf) == -(-len(labels) // per_page)
    for number, page in enumerate(pdf):
        on_it = labels[number * per_page : (number + 1) * per_page]
        wanted = Counter({label.text: len(layout(label, stock).codes) for label in on_it})
        assert Counter(found.text for found in codes_on(raster(page, 300))) == +wanted
        if stock.kind != "wrap":
            assert set(wanted.values()) == {2 if stock.kind == "flag" else 1}


@pytest.mark.independent
def test_long_and_foreign_words_do_not_harm_the_codes(printed, raster, stock_named, stock_name):
    stock = stock_named(stock_name)
    labels = [*AWKWARD[:-1], cable("SM", "XL01", "B", "マイク", jacket_mm=16.0)]
    pdf = printed(labels, stock, title="Größe 🎤 " * 30)
    found = {found.text for page in pdf for found in codes_on(raster(page, 300))}
    assert found == (
        {"SM.XL01.B." + Tag("SM", "XL01", "B").check} if stock.kind == "wrap" else {label.text for label in labels}
    )


@pytest.mark.parametrize("label", AWKWARD, ids=lambda label: label.text)
def test_the_labels_edge_stays_white(printed, raster, stock_named, stock_name, label):
    stock, dpi = stock_named(stock_name), 600
    pdf = printed([label], stock)
    place = stock.places[0]
    whole = crop(raster(pdf[0], dpi), dpi, place.left_mm, place.top_mm, stock.width_mm, stock.height_mm)
    edge = round((0.45 if stock.kind == "wrap" else 0.95) * dpi / 25.4)  # a wrap's first row stands at its own seam
    assert whole[edge:-edge, edge:-edge].any()
    ring = whole.copy()
    ring[edge:-edge, edge:-edge] = False
    ring[:, : edge // 4] = ring[:, -edge // 4 :] = ring[: edge // 4] = ring[-edge // 4 :] = False  # cut marks end here
    assert not ring.any()


# --- millimetres: what a stock file says against what is on the page


@pytest.fixture(scope="module")
def written_in(pytestconfig):
    """The fields of a shipped stock as its file has them, defaults filled in by hand."""

    def read(name):
        fields = tomllib.loads((pytestconfig.rootpath / "labels" / f"{name}.toml").read_text(encoding="utf-8"))["stock"]
        one = {"across": 1, "down": 1, "left_margin_mm": 0.0, "top_margin_mm": 0.0}
        one |= {"horizontal_pitch_mm": fields["width_mm"], "vertical_pitch_mm": fields["height_mm"]}
        return one | {"page_width_mm": fields["width_mm"], "page_height_mm": fields["height_mm"]} | fields

    return read


def edges(first, count, pitch, size):
    return [edge for n in range(count) for edge in (first + n * pitch, first + n * pitch + size)]


@pytest.mark.closed_form
def test_pages_and_labels_are_as_large_as_the_stock_file_says(
    demo_labels, printed, raster, stock_named, stock_name, written_in
):
    """The page's size, and on sheets the marks that show where labels begin and end, to 0.1 mm."""
    stock, said, dpi = stock_named(stock_name), written_in(stock_name), 600
    pdf = printed(taken(demo_labels, stock)[: 2 * said["across"]], stock)
    size_mm = [points * 25.4 / 72 for points in pdf[0].get_size()]
    assert size_mm == pytest.approx([said["page_width_mm"], said["page_height_mm"]], abs=0.01)
    if said["across"] * said["down"] == 1:
        assert len(pdf) == 2
        return
    image = raster(pdf[0], dpi)
    above = crop(image, dpi, 0, said["top_margin_mm"] - 1.5, said["page_width_mm"], 0.5).all(axis=0)
    across = edges(said["left_margin_mm"], said["across"], said["horizontal_pitch_mm"], said["width_mm"])
    assert [(a + b) / 2 for a, b in stretches(above, dpi)] == pytest.approx(across, abs=0.1)
    beside = crop(image, dpi, said["left_margin_mm"] - 1.5, 0, 0.5, said["page_height_mm"]).all(axis=1)
    down = edges(said["top_margin_mm"], said["down"], said["vertical_pitch_mm"], said["height_mm"])
    marks = [(a + b) / 2 for a, b in stretches(beside, dpi)]
    assert [mark for mark in marks if down[0] - 1 < mark < down[-1] + 1] == pytest.approx(down, abs=0.1)


@pytest.mark.closed_form
def test_codes_stand_where_they_should_on_every_place_of_a_page(
    demo_labels, printed, raster, stock_named, stock_name, written_in
):
    """Read off the page at 600 dpi: each QR's edges, to 0.1 mm of the label's place in the stock file."""
    stock, said, dpi = stock_named(stock_name), written_in(stock_name), 600
    labels = [label for label in taken(demo_labels, stock) if layout(label, stock).codes][
        : said["across"] * said["down"]
    ]
    image = raster(printed(labels, stock)[0], dpi)
    places = [(row, column) for row in range(said["down"]) for column in range(said["across"])]
    for label, (row, column) in zip(labels, places, strict=False):
        left_mm = said["left_margin_mm"] + column * said["horizontal_pitch_mm"]
        top_mm = said["top_margin_mm"] + row * said["vertical_pitch_mm"]
        for code in layout(label, stock).codes:
            around_mm = 0.9 * code.quiet_mm
            at_mm = (left_mm + code.left_mm - around_mm, top_mm + code.top_mm - around_mm)
            dark = crop(image, dpi, *at_mm, code.side_mm + 2 * around_mm, code.side_mm + 2 * around_mm)
            module_mm = code.dots * 25.4 / said["printer_dpi"]
            assert module_mm >= 0.33
            for axis in (0, 1):
                first, last = np.flatnonzero(dark.any(axis=axis))[[0, -1]] * 25.4 / dpi + [0, 25.4 / dpi]
                assert first == pytest.approx(around_mm, abs=0.1)
                assert last - first == pytest.approx(code.symbol.side * module_mm, abs=0.1)


@pytest.mark.closed_form
def test_the_ruler_is_100_mm_long(demo_labels, printed, raster, stock_named, stock_name, written_in):
    stock, said, dpi = stock_named(stock_name), written_in(stock_name), 600
    pdf = printed(taken(demo_labels, stock)[:1], stock)
    text = pdf[0].get_textpage().get_text_range()
    if said["across"] * said["down"] == 1:
        assert "100 mm" not in text
        return
    assert "100 mm; if it is not" in text
    image, left, foot = raster(pdf[0], dpi), said["left_margin_mm"], said["page_height_mm"] - 5
    (line,) = stretches(crop(image, dpi, left - 2, foot - 0.1, 103.5, 0.2).any(axis=0), dpi)
    assert line[1] - line[0] == pytest.approx(100.1, abs=0.1)  # the ends' strokes are 0.1 mm thick
    ticks = stretches(crop(image, dpi, left - 2, foot - 1.5, 103.5, 0.2).all(axis=0), dpi)
    assert [(a + b) / 2 - 2 for a, b in ticks] == pytest.approx([10 * step for step in range(11)], abs=0.1)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("name", "module_mm"),
    [
        # 0.4 of 64 mm is 25.6 mm: 20 dots of 1/600 inch fit 29 times, 21 do not.
        ("sheet-a4", 20 * 25.4 / 600),
        # 0.4 of 50 mm is 20 mm: 5 dots of 1/203 inch fit 29 times, 6 do not.
        ("roll-50x25", 5 * 25.4 / 203),
        # 0.4 of 65 mm is 26 mm: 21 dots of 1/600 inch fit 29 times, 22 do not.
        ("sheet-letter", 21 * 25.4 / 600),
        # 0.4 of 40 mm is 16 mm, but 18 mm less two edges of 1 mm too: 6 dots of 1/300 inch fit 29 times, 7 do not.
        ("roll-40x18", 6 * 25.4 / 300),
    ],
)
def test_a_module_is_a_whole_number_of_dots(stock_named, name, module_mm):
    (code,) = layout(Label(Tag("SM", "SB1"), "box"), stock_named(name)).codes
    assert code.module_mm == pytest.approx(module_mm)


@pytest.mark.closed_form
@given(st.integers(0, 23), *[st.integers(-50, 50).map(lambda tenths: tenths / 10)] * 2)
@settings(max_examples=20, deadline=None)
def test_a_codes_corner_lies_on_the_printers_dots(tmp_path_factory, stock_named, place, right_mm, down_mm):
    """The place of the QR in the page's own drawing: a whole number of dots of 1/600 inch from left and top."""
    stock = stock_named("sheet-a4")
    out = tmp_path_factory.mktemp("dots") / "tags.pdf"
    drawn = layouts([Label(Tag("SM", "SB1"), "box")], stock)
    write_pdf(drawn, stock, out, "Dots", Where(place + 1, right_mm, down_mm))
    page = pypdfium2.PdfDocument(out.read_bytes())[0]
    matrices = [item.get_matrix().get() for item in page.get_objects()]
    ((unit, _, _, _, x, y),) = [matrix for matrix in matrices if matrix[3] < -1]
    assert unit == pytest.approx(20 * 72 / 600, abs=1e-5)
    for dots in (x * 600 / 72, (297 / 25.4 - y / 72) * 600):
        assert dots == pytest.approx(round(dots), abs=0.01)


@pytest.mark.closed_form
def test_without_gaps_and_margins_there_is_one_line_to_cut_along_and_no_ruler(printed, raster):
    stock = Stock(
        kind="sheet", page_width_mm=210.0, page_height_mm=297.0, across=3, down=9,
        width_mm=70.0, height_mm=33.0, printer_dpi=600,
    )  # fmt: skip
    labels = [Label(Tag("SM", f"SB{number}"), "box") for number in range(27)]
    pdf = printed(labels, stock)
    image = raster(pdf[0], 300)
    assert {code.text for code in codes_on(image)} == {label.text for label in labels}
    assert "100 mm" not in pdf[0].get_textpage().get_text_range()
    across = stretches(crop(image, 300, 0, 1, 210, 295).all(axis=0), 300)
    assert [(a + b) / 2 for a, b in across] == pytest.approx([70, 140], abs=0.1)


# --- where to begin


def first_code_mm(image, dpi=300):
    """The top left corner of the topmost, leftmost code, in mm."""
    corners = [(code.position.top_left.y, code.position.top_left.x) for code in codes_on(image)]
    return [at * 25.4 / dpi for at in min(corners)]


def test_a_part_used_sheet_is_used_from_the_label_named(demo_labels, printed, raster, stock_named):
    stock = stock_named("sheet-a4")
    pdf = printed(demo_labels[:24], stock, where=Where(start=5))
    assert len(pdf) == 2
    first, second = (raster(page, 300) for page in pdf)
    free = [crop(first, 300, p.left_mm + 2, p.top_mm + 2, 60, 28).any() for p in stock.places]
    assert free == [False] * 4 + [True] * 20
    used = [crop(second, 300, p.left_mm + 2, p.top_mm + 2, 60, 28).any() for p in stock.places]
    assert used == [True] * 4 + [False] * 20
    found = [code.text for image in (first, second) for code in codes_on(image)]
    assert Counter(found) == Counter(label.text for label in demo_labels[:24])


@pytest.mark.closed_form
@pytest.mark.parametrize(("right_mm", "down_mm"), [(0.1, 0.0), (0.0, 0.1), (-1.2, 0.7), (0.3, -2.4)])
def test_a_nudge_moves_all_that_is_printed_by_as_much(demo_labels, printed, raster, stock_named, right_mm, down_mm):
    stock, dpi = stock_named("sheet-letter"), 1200
    stays, moves = (
        crop(raster(printed(demo_labels[:1], stock, where=where)[0], dpi), dpi, 0, 0, 215.9, 279.4)
        for where in (Where(), Where(1, right_mm, down_mm))
    )
    for axis, by_mm in ((0, right_mm), (1, down_mm)):
        before, after = (np.flatnonzero(image.any(axis=axis)) for image in (stays, moves))
        assert (after[[0, -1]] - before[[0, -1]]) * 25.4 / dpi == pytest.approx([by_mm, by_mm], abs=0.03)


@pytest.mark.parametrize(
    ("name", "start", "said"),
    [
        ("sheet-a4", 0, "no label 0 to start at; a page has labels 1 to 24"),
        ("sheet-a4", 25, "no label 25 to start at; a page has labels 1 to 24"),
        ("sheet-a4", -3, "no label -3 to start at"),
        ("roll-50x25", 2, "with one label a page every label is the first"),
    ],
)
def test_a_start_that_the_page_does_not_have(stock_named, name, start, said):
    with pytest.raises(StartRefused, match=said):
        check_where(stock_named(name), Where(start))


@pytest.mark.parametrize(
    ("name", "right_mm", "down_mm", "said"),
    [
        ("sheet-a4", -8.1, 0.0, r"nudge of -8\.1 mm right would print beside the page; -8 to 8 mm are possible"),
        ("sheet-a4", 0.0, 16.0, r"nudge of 16 mm down would print beside the page; -13\.5 to 15\.5 mm are possible"),
        ("roll-50x25", 1.1, 0.0, "-1 to 1 mm are possible"),
        ("roll-50x25", 0.0, float("nan"), "nudge of nan mm down"),
        ("roll-50x25", float("-inf"), 0.0, "nudge of -inf mm right"),
    ],
)
def test_a_nudge_off_the_page(stock_named, name, right_mm, down_mm, said):
    with pytest.raises(NudgeRefused, match=said):
        check_where(stock_named(name), Where(1, right_mm, down_mm))
    check_where(stock_named(name), Where(1, 1.0, -1.0))


# --- words


def test_the_words_are_on_the_page_as_text(demo_labels, printed, stock_named):
    label = next(label for label in demo_labels if label.kind == "cable")
    pdf = printed([label], stock_named("sheet-a4"), title="Quarry, version 7")
    text = " ".join(pdf[0].get_textpage().get_text_range().split())
    for words in (label.large, label.text, *(said.text for said in label.said)):
        assert words in text
    assert "Quarry, version 7, sheet 1 of 1" in text
    assert "100 mm" in text


def test_a_text_that_is_too_long_is_broken_made_small_and_at_last_cut(printed, stock_named):
    pdf = printed(AWKWARD[:2], stock_named("roll-50x25"))
    assert "…" in pdf[0].get_textpage().get_text_range()
    assert "ABCDEFGHIJ" in pdf[0].get_textpage().get_text_range()
    assert "Nomorethanone" in pdf[1].get_textpage().get_text_range()


def test_characters_that_steer_text_are_shown_not_obeyed(printed, stock_named):
    pdf = printed(AWKWARD[1:2], stock_named("sheet-a4"))
    assert r"\u202e\x07\n" in pdf[0].get_textpage().get_text_range()


# --- the file


def write(stock, out, labels=AWKWARD):
    write_pdf(layouts(labels, stock), stock, out, "Test rig")


def test_the_same_labels_give_the_same_bytes(demo_labels, tmp_path, stock_named):
    outs = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    for out in outs:
        write(stock_named("sheet-a4"), out, [*demo_labels[:30], *AWKWARD])
    assert outs[0].read_bytes() == outs[1].read_bytes()


PROGRAM = """
import hashlib, sys
from pathlib import Path
from checkapp.rig.planfile import load_plan
from checkapp.tags.label import labels_of
from checkapp.tags.layout import layouts
from checkapp.tags.sheet import write_pdf
from checkapp.tags.stock import find_stock
out, root = Path(sys.argv[1]), Path(sys.argv[2])
stock = find_stock("flag-a4", [root / "labels"])
labels = labels_of(load_plan(root / "plans/small.toml"), for_show=True)
write_pdf(layouts(labels, stock), stock, out, "Same")
print(hashlib.sha256(out.read_bytes()).hexdigest())
"""


def test_the_same_bytes_come_from_another_process(tmp_path, pytestconfig):
    digests = set()
    for seed in ("1", "2"):
        words = [sys.executable, "-c", PROGRAM, str(tmp_path / f"{seed}.pdf"), str(pytestconfig.rootpath)]
        env = {"PYTHONHASHSEED": seed, "PYTHONPATH": str(pytestconfig.rootpath)}
        done = subprocess.run(words, capture_output=True, text=True, check=True, env=env)
        digests.add(done.stdout)
    assert len(digests) == 1


def test_viewers_are_told_not_to_scale(tmp_path, stock_named):
    out = tmp_path / "tags.pdf"
    write(stock_named("sheet-a4"), out)
    content = out.read_bytes()
    assert b"/PrintScaling /None" in content
    assert b"/JavaScript" not in content


def test_fonts_are_embedded(tmp_path, stock_named):
    out = tmp_path / "tags.pdf"
    write(stock_named("sheet-a4"), out)
    content = out.read_bytes()
    assert content.count(b"/FontFile2") >= 4


def test_a_file_is_replaced_as_a_whole_and_nothing_is_left_beside_it(tmp_path, stock_named):
    out = tmp_path / "tags.pdf"
    out.write_bytes(b"old")
    write(stock_named("sheet-a4"), out)
    assert out.read_bytes().startswith(b"%PDF")
    assert [path.name for path in tmp_path.iterdir()] == ["tags.pdf"]


@pytest.mark.parametrize("where", ["none/tags.pdf", "file/tags.pdf", "folder", "a\0b.pdf", "x" * 300 + ".pdf"])
def test_where_nothing_can_be_written(tmp_path, stock_named, where):
    (tmp_path / "file").write_text("not a folder")
    (tmp_path / "folder").mkdir()
    with pytest.raises(FileNotWritten, match="cannot be written") as refused:
        write(stock_named("sheet-a4"), tmp_path / where)
    assert isinstance(refused.value, CheckappError)
    assert str(refused.value).isprintable()
    assert "None" not in str(refused.value)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder"]
