"""The printed page: every code reads back, the millimetres are true, files are whole or not there."""

import subprocess
import sys
from collections import Counter
from itertools import groupby

import numpy as np
import pytest
import zxingcpp

from checkapp.rig.codes import Tag
from checkapp.rig.errors import CheckappError
from checkapp.rig.writing import FileNotWritten
from checkapp.tags.label import Label
from checkapp.tags.layout import LabelTooSmall
from checkapp.tags.sheet import NothingToPrint, write_pdf
from checkapp.tags.stock import Stock

STOCKS = ["sheet-a4", "roll-50x25"]
LONG = "Vocal compressor return, left hand side, with a name that nobody would say aloud on a stage"
AWKWARD = [
    Label(Tag("ABCD", "ABCDEFGHIJ", "A"), "cable", "end A, digital, 152.25 m", LONG, LONG),
    Label(Tag("SM", "SB1"), "box", "x", "Nomorethanoneendlessword" * 4, "\u202e\x07\n"),
    Label(Tag("S", "I0O1", "B"), "cable", "Größe", "Ящик «Ω» № 2", "שלום עולם 12 vox"),
    Label(Tag("S", "W"), "source", "", "", ""),
    Label(Tag("SM", "XL01", "B"), "cable", "マイク", "Cajón 🎤", "ไมค์"),
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
    return image[top:bottom, left:right] < 128


# --- codes


@pytest.mark.independent
@pytest.mark.parametrize("name", STOCKS)
def test_every_code_of_the_demo_rig_reads_back_at_300_dpi(demo_labels, printed, raster, stock_named, name):
    stock = stock_named(name)
    summary, pdf = printed(demo_labels, stock)
    per_page = len(stock.places)
    assert summary.labels == len(demo_labels)
    assert summary.pages == len(pdf) == -(-len(demo_labels) // per_page)
    assert summary.without_glyphs == ()
    for number, page in enumerate(pdf):
        wanted = Counter(label.text for label in demo_labels[number * per_page : (number + 1) * per_page])
        assert Counter(found.text for found in codes_on(raster(page, 300))) == wanted


@pytest.mark.independent
@pytest.mark.parametrize("name", STOCKS)
def test_long_and_foreign_words_do_not_harm_the_codes(printed, raster, stock_named, name):
    summary, pdf = printed(AWKWARD, stock_named(name), title="Größe 🎤 " * 30)
    assert summary.without_glyphs == ("Cajón 🎤", "ไมค์", "マイク")
    found = {found.text for page in pdf for found in codes_on(raster(page, 300))}
    assert found == {label.text for label in AWKWARD}


@pytest.mark.parametrize("name", STOCKS)
@pytest.mark.parametrize("label", AWKWARD, ids=lambda label: label.text)
def test_the_quiet_zone_and_the_labels_edge_stay_white(printed, raster, stock_named, name, label):
    stock, dpi = stock_named(name), 600
    _, pdf = printed([label], stock)
    image = raster(pdf[0], dpi)
    place = stock.places[0]
    whole = crop(image, dpi, place.left_mm, place.top_mm, stock.width_mm, stock.height_mm)
    edge = round(0.95 * dpi / 25.4)
    assert not whole[edge:-edge, edge:-edge].all()
    ring = whole.copy()
    ring[edge:-edge, edge:-edge] = False
    ring[:, : edge // 4] = ring[:, -edge // 4 :] = ring[: edge // 4] = ring[-edge // 4 :] = False  # cut marks end here
    assert not ring.any()
    left, top, side = symbol_on(whole, dpi)
    quiet = int(4 * side / (21 if len(label.text) <= 16 else 25)) - 1
    assert min(left, top, whole.shape[1] - left - side, whole.shape[0] - top - side) >= quiet
    around = whole[top - quiet : top + side + quiet, left - quiet : left + side + quiet].copy()
    around[quiet : quiet + side + 2, quiet : quiet + side + 2] = False
    assert not around.any()


def symbol_on(dark, dpi):
    """Left, top and side, in pixels, of the QR that stands flush right on a label, words well away from it."""
    columns = np.flatnonzero(dark.any(axis=0))
    gaps = np.flatnonzero(np.diff(columns) * 25.4 / dpi > 1.75)
    left, right = columns[gaps[-1] + 1], columns[-1] + 1
    rows = np.flatnonzero(dark[:, left:right].any(axis=1))
    assert rows[-1] + 1 - rows[0] == pytest.approx(right - left, abs=2)
    return left, rows[0], right - left


# --- millimetres


@pytest.mark.closed_form
def test_cut_marks_of_the_a4_sheet_stand_on_the_edges_of_the_labels(demo_labels, printed, raster, stock_named):
    """From the stock file: labels 64 x 32 mm, pitch 66 x 34 mm, first label at 7 and 12.5 mm."""
    _, pdf = printed(demo_labels[:24], stock_named("sheet-a4"))
    assert pdf[0].get_size() == pytest.approx((210 * 72 / 25.4, 297 * 72 / 25.4))
    image = raster(pdf[0], 600)
    across = stretches(crop(image, 600, 0, 11, 210, 0.5).all(axis=0), 600)
    assert [(a + b) / 2 for a, b in across] == pytest.approx([7, 71, 73, 137, 139, 203], abs=0.05)
    down = stretches(crop(image, 600, 5, 0, 0.5, 285).all(axis=1), 600)
    edges = [edge for row in range(8) for edge in (12.5 + 34 * row, 12.5 + 34 * row + 32)]
    assert [(a + b) / 2 for a, b in down] == pytest.approx(edges, abs=0.05)


@pytest.mark.closed_form
def test_the_ruler_is_100_mm_long(demo_labels, printed, raster, stock_named):
    _, pdf = printed(demo_labels[:1], stock_named("sheet-a4"))
    image = raster(pdf[0], 600)
    (line,) = stretches(crop(image, 600, 0, 291.9, 210, 0.2).any(axis=0)[: round(107.5 * 600 / 25.4)], 600)
    assert line[1] - line[0] == pytest.approx(100.1, abs=0.1)  # the ends' strokes are 0.1 mm thick
    ticks = stretches(crop(image, 600, 0, 290.5, 108, 0.2).all(axis=0), 600)
    assert [(a + b) / 2 for a, b in ticks] == pytest.approx([7 + 10 * step for step in range(11)], abs=0.05)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("name", "code", "module_mm"),
    [
        # 0.4 of 64 mm is 25.6 mm: 20 dots of 1/600 inch fit 29 times, 21 do not.
        ("sheet-a4", "SB1", 20 * 25.4 / 600),
        # 0.4 of 50 mm is 20 mm: 5 dots of 1/203 inch fit 29 times, 6 do not.
        ("roll-50x25", "SB1", 5 * 25.4 / 203),
    ],
)
def test_a_module_is_a_whole_number_of_dots(printed, raster, stock_named, name, code, module_mm):
    stock, dpi = stock_named(name), 1200
    _, pdf = printed([Label(Tag("SM", code), "box")], stock)
    place = stock.places[0]
    whole = crop(raster(pdf[0], dpi), dpi, place.left_mm, place.top_mm, stock.width_mm, stock.height_mm)
    _, _, side = symbol_on(whole, dpi)
    assert side * 25.4 / dpi == pytest.approx(21 * module_mm, abs=0.06)


@pytest.mark.closed_form
def test_codes_stand_one_pitch_apart_on_all_places(printed, raster, stock_named):
    stock, dpi = stock_named("sheet-a4"), 600
    labels = [Label(Tag("SM", f"SB{number}"), "box") for number in range(10, 34)]
    _, pdf = printed(labels, stock)
    image = raster(pdf[0], dpi)
    offsets = []
    for place in stock.places:
        whole = crop(image, dpi, place.left_mm, place.top_mm, stock.width_mm, stock.height_mm)
        left, top, _ = symbol_on(whole, dpi)
        offsets.append((left * 25.4 / dpi, top * 25.4 / dpi))
    # From the design of the label: 1 mm of white edge, 4 modules of quiet zone, 29 modules of 20 dots in all, midway.
    module_mm = 20 * 25.4 / 600
    wanted = (64 - 1 - 25 * module_mm, (32 - 29 * module_mm) / 2 + 4 * module_mm)
    assert np.array(offsets) == pytest.approx(np.array([wanted] * 24), abs=0.06)


def test_a_roll_has_pages_of_the_labels_size_and_nothing_in_the_margin(printed, raster, stock_named):
    _, pdf = printed(AWKWARD[:2], stock_named("roll-50x25"), title="Never printed on a roll")
    assert pdf[1].get_size() == pytest.approx((50 * 72 / 25.4, 25 * 72 / 25.4))
    assert "Never" not in pdf[0].get_textpage().get_text_range()


def test_without_gaps_and_margins_there_is_one_line_to_cut_along_and_no_ruler(printed, raster):
    stock = Stock(
        kind="sheet", page_width_mm=210.0, page_height_mm=297.0, across=3, down=9,
        width_mm=70.0, height_mm=33.0, printer_dpi=600,
    )  # fmt: skip
    _, pdf = printed([Label(Tag("SM", "SB1"), "box")] * 27, stock)
    image = raster(pdf[0], 300)
    assert len(codes_on(image)) == 27
    assert "100 mm" not in pdf[0].get_textpage().get_text_range()
    across = stretches(crop(image, 300, 0, 1, 210, 295).all(axis=0), 300)
    assert [(a + b) / 2 for a, b in across] == pytest.approx([70, 140], abs=0.1)


# --- words


def test_the_words_are_on_the_page_as_text(demo_labels, printed, stock_named):
    label = next(label for label in demo_labels if label.kind == "cable" and label.place)
    _, pdf = printed([label], stock_named("sheet-a4"), title="Quarry, version 7")
    text = " ".join(pdf[0].get_textpage().get_text_range().split())
    for words in (label.tag.code, label.text, label.name, label.place, label.what):
        assert words in text
    assert "Quarry, version 7, sheet 1 of 1" in text
    assert "100 mm" in text


def test_a_text_that_is_too_long_is_broken_made_small_and_at_last_cut(printed, stock_named):
    _, pdf = printed(AWKWARD[:2], stock_named("roll-50x25"))
    assert "…" in pdf[0].get_textpage().get_text_range()
    assert "ABCDEFGHIJ" in pdf[0].get_textpage().get_text_range()
    assert "Nomorethanone" in pdf[1].get_textpage().get_text_range()


def test_characters_that_steer_text_are_shown_not_obeyed(printed, stock_named):
    _, pdf = printed(AWKWARD[1:2], stock_named("sheet-a4"))
    assert r"\u202e\x07\n" in pdf[0].get_textpage().get_text_range()


# --- the file


def test_the_same_labels_give_the_same_bytes(demo_labels, tmp_path, stock_named):
    outs = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    for out in outs:
        write_pdf([*demo_labels[:30], *AWKWARD], stock_named("sheet-a4"), out, "Same")
    assert outs[0].read_bytes() == outs[1].read_bytes()


PROGRAM = """
import hashlib, sys
from pathlib import Path
from checkapp.rig.planfile import load_plan
from checkapp.tags.label import labels_of
from checkapp.tags.sheet import write_pdf
from checkapp.tags.stock import find_stock
out, root = Path(sys.argv[1]), Path(sys.argv[2])
write_pdf(labels_of(load_plan(root / "plans/small.toml")), find_stock("roll-50x25", [root / "labels"]), out, "Same")
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
    write_pdf(AWKWARD[:1], stock_named("sheet-a4"), out, "Scale")
    content = out.read_bytes()
    assert b"/PrintScaling /None" in content
    assert b"/JavaScript" not in content


def test_fonts_are_embedded(tmp_path, stock_named):
    out = tmp_path / "tags.pdf"
    write_pdf(AWKWARD, stock_named("sheet-a4"), out, "Fonts")
    content = out.read_bytes()
    assert content.count(b"/FontFile2") >= 4


def test_a_file_is_replaced_as_a_whole_and_nothing_is_left_beside_it(tmp_path, stock_named):
    out = tmp_path / "tags.pdf"
    out.write_bytes(b"old")
    write_pdf(AWKWARD[:1], stock_named("sheet-a4"), out, "New")
    assert out.read_bytes().startswith(b"%PDF")
    assert [path.name for path in tmp_path.iterdir()] == ["tags.pdf"]


@pytest.mark.parametrize("where", ["none/tags.pdf", "file/tags.pdf", "folder", "a\0b.pdf", "x" * 300 + ".pdf"])
def test_where_nothing_can_be_written(tmp_path, stock_named, where):
    (tmp_path / "file").write_text("not a folder")
    (tmp_path / "folder").mkdir()
    with pytest.raises(FileNotWritten, match="cannot be written") as refused:
        write_pdf(AWKWARD[:1], stock_named("sheet-a4"), tmp_path / where, "No")
    assert isinstance(refused.value, CheckappError)
    assert str(refused.value).isprintable()
    assert "None" not in str(refused.value)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder"]


def test_no_labels_and_labels_too_small_leave_the_old_file_alone(tmp_path, stock_named):
    out = tmp_path / "tags.pdf"
    out.write_bytes(b"old")
    with pytest.raises(NothingToPrint):
        write_pdf([], stock_named("sheet-a4"), out, "None")
    small = Stock(kind="roll", width_mm=24.0, height_mm=12.0, printer_dpi=300)
    with pytest.raises(LabelTooSmall, match=r"24 x 12 mm .* choose one of at least 24\.6 x 11\.9 mm"):
        write_pdf([Label(Tag("SM", "SB1"), "box")], small, out, "Small")
    assert out.read_bytes() == b"old"
    enough = Stock(kind="roll", width_mm=24.6, height_mm=11.9, printer_dpi=300)
    write_pdf([Label(Tag("SM", "SB1"), "box", "x", "y", "z")], enough, out, "Enough")
    assert out.read_bytes().startswith(b"%PDF")
