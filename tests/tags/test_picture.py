"""Pictures for label printers: dot for dot, of the size of the label, under names that no system trips over."""

import numpy as np
import pytest
from PIL import Image

from checkapp.page import fonts
from checkapp.rig.codes import Tag
from checkapp.rig.writing import FileNotWritten
from checkapp.tags.label import Label, labels_of
from checkapp.tags.lasting import Said
from checkapp.tags.layout import layout, layouts
from checkapp.tags.parts import Layout, Words
from checkapp.tags.picture import file_name, picture, write_pictures
from checkapp.tags.qr import symbol
from checkapp.tags.stock import Stock


def written(labels, stock, folder):
    write_pictures(labels, layouts(labels, stock), stock, folder)
    return [Image.open(folder / file_name(label)) for label in labels]


@pytest.mark.closed_form
@pytest.mark.parametrize("for_show", [False, True], ids=["asset", "show"])
def test_each_module_is_a_whole_square_of_dots(small_rig, stock_named, stock_name, tmp_path, for_show):
    """Read back from the files: black or white, as many dots as the label takes, each module all of one colour."""
    stock = stock_named(stock_name)
    labels = [label for label in labels_of(small_rig, for_show=for_show) if stock.takes(label.kind)][:6]
    for label, image in zip(labels, written(labels, stock, tmp_path), strict=True):
        assert (image.format, image.mode) == ("PNG", "1")
        assert image.info["dpi"] == pytest.approx((stock.printer_dpi, stock.printer_dpi), abs=0.02)
        assert image.size == (
            round(stock.width_mm / 25.4 * stock.printer_dpi),
            round(stock.height_mm / 25.4 * stock.printer_dpi),
        )
        dots = np.asarray(image)
        for code in layout(label, stock).codes:
            side, quiet = code.symbol.side * code.dots, 4 * code.dots
            left, top = round(code.left_mm / stock.dot_mm), round(code.top_mm / stock.dot_mm)
            wanted = ~np.array(symbol(label.payload).rows).repeat(code.dots, 0).repeat(code.dots, 1)
            assert (dots[top : top + side, left : left + side] == wanted).all()
            around = dots[top - quiet : top + side + quiet, left - quiet : left + side + quiet].copy()
            around[quiet : quiet + side, quiet : quiet + side] = True
            assert around.all()


@pytest.mark.independent
def test_a_picture_is_the_page_at_the_printers_dots(demo_rig, stock_named, printed, raster):
    """The same label out of the PDF, by another renderer: ink in the same places, give or take a dot."""
    stock = stock_named("roll-80x45")
    labels = labels_of(demo_rig, ["RIGHT", "HP01"], for_show=True)
    for label, page in zip(labels, printed(labels, stock), strict=True):
        ours = ~np.asarray(picture(layout(label, stock), stock))
        theirs = raster(page, stock.printer_dpi)[: len(ours), : ours.shape[1]] < 128
        ours = ours[: len(theirs)]
        assert ours[~near(theirs)].mean() < 0.002
        assert theirs[~near(ours)].mean() < 0.002
        assert 0.9 < ours.sum() / theirs.sum() < 1.1


def near(dark):
    """Dots that are dark or next to one that is."""
    wide = np.pad(dark, 1)
    rows, columns = dark.shape
    return np.any([wide[y : y + rows, x : x + columns] for y in range(3) for x in range(3)], axis=0)


def test_names_are_distinct_and_safe(demo_rig):
    tags = [Tag("CON", "AUX"), Tag("NUL", "A", "B"), Tag("NUL", "A-B"), Tag("NUL", "AB"), Tag("NUL", "A", "", "B000")]
    labels = [Label(tag, "box") for tag in tags]
    labels += [*labels_of(demo_rig), *labels_of(demo_rig, for_show=True)]
    names = [file_name(label) for label in labels]
    assert len({name.casefold() for name in names}) == len(names)
    for name in names:
        stem, dot, ending = name.partition(".")
        assert (dot, ending) == (".", "png")
        assert stem not in {"CON", "NUL", "AUX", "PRN", "COM1", "LPT1"}
        assert set(stem) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_")
    assert names[:2] == ["CON_AUX.png", "NUL_A_B.png"]


def test_the_folder_is_made_and_its_other_files_stay(small_rig, stock_named, tmp_path):
    stock, labels = stock_named("roll-50x25"), labels_of(small_rig)
    folder = tmp_path / "new" / "tags"
    written(labels[:2], stock, folder)
    (folder / "note.txt").write_text("mine")
    written(labels, stock, folder)
    assert len(list(folder.iterdir())) == len(labels) + 1


@pytest.mark.parametrize("where", ["file", "file/tags", "a\0b", "x" * 300])
def test_where_no_folder_can_be(small_rig, stock_named, tmp_path, where):
    (tmp_path / "file").write_text("not a folder")
    with pytest.raises(FileNotWritten, match="name a folder that is yours") as refused:
        written(labels_of(small_rig)[:1], stock_named("roll-50x25"), tmp_path / where)
    assert str(refused.value).isprintable()


def test_a_turned_line_is_the_upright_one_turned():
    stock = Stock(kind="roll", width_mm=40.0, height_mm=20.0, printer_dpi=300)
    face = fonts.code_face()
    upright = np.asarray(picture(Layout((), (Words("LK02 B", face, 6.0, 3.0, 12.0),)), stock))
    turned = np.asarray(picture(Layout((), (Words("LK02 B", face, 6.0, 37.0, 8.0, turned=True),)), stock))
    assert not upright.all()
    # 40 x 20 mm are not whole dots, so the turned one may be half a dot off.
    assert (np.rot90(turned, 2) == upright).mean() > 0.98


@pytest.mark.parametrize(
    ("pair", "size_mm", "least"),
    [
        *((pair, 1.7, 0.2) for pair in ("O0", "I1", "D0", "S5", "Z2", "G6")),
        *((pair, 4.0, 0.14) for pair in ("B8", "QO")),
    ],
)
@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_characters_that_look_alike_are_told_apart(pair, size_mm, least, dpi):
    """A good part of the dots of each is white in the other: at 1.7 mm, the smallest type, or as small as codes get."""
    stock = Stock(kind="roll", width_mm=16.0, height_mm=9.0, printer_dpi=dpi)
    one, other = (
        ~np.asarray(picture(Layout((), (Words(text, fonts.code_face(), size_mm, 3.0, 7.0),)), stock)) for text in pair
    )
    assert (one ^ other).sum() / (one | other).sum() > least


def test_noughts_carry_a_stroke_that_no_letter_o_has():
    stock = Stock(kind="roll", width_mm=20.0, height_mm=12.0, printer_dpi=203)
    middles = []
    for text in "O0":
        dark = ~np.asarray(picture(Layout((), (Words(text, fonts.code_face(), 8.0, 4.0, 9.0),)), stock))
        rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
        height, width = rows[-1] - rows[0], columns[-1] - columns[0]
        inner = dark[rows[0] + height // 3 : rows[-1] - height // 3, columns[0] + width // 3 : columns[-1] - width // 3]
        middles.append(bool(inner.any()))
    assert middles == [False, True]


def test_the_same_label_gives_the_same_bytes(small_rig, stock_named, tmp_path):
    labels = [Label(Tag("SM", "SB1"), "box", (Said("Größe"), Said("שלום")))]
    for folder in ("one", "two"):
        written(labels, stock_named("roll-50x25"), tmp_path / folder)
    assert (tmp_path / "one/SM_SB1.png").read_bytes() == (tmp_path / "two/SM_SB1.png").read_bytes()
