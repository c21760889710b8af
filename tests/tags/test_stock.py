"""Label stock: what ships, what is refused and where, whose folder counts."""

from collections import Counter

import pytest

from checkapp.rig.errors import CheckappError
from checkapp.tags.stock import DEFAULT_STOCK, Place, StockRefused, UnknownStock, find_stock, jacket_of, read_stock

SHEET = {
    "kind": '"sheet"',
    "page_width_mm": "210",
    "page_height_mm": "297.0",
    "left_margin_mm": "7",
    "top_margin_mm": "12.5",
    "across": "3",
    "down": "8",
    "width_mm": "64.0",
    "height_mm": "32.0",
    "horizontal_pitch_mm": "66.0",
    "vertical_pitch_mm": "34.0",
    "corner_mm": "2.0",
    "printer_dpi": "600",
}
ROLL = {"kind": '"roll"', "width_mm": "50.0", "height_mm": "25.0", "printer_dpi": "203"}


@pytest.fixture
def write(tmp_path):
    """Write a stock file from its fields; None leaves one out."""

    def writer(fields, name="mine.toml", **changed):
        rows = [f"{field} = {value}" for field, value in (fields | changed).items() if value is not None]
        path = tmp_path / name
        path.write_text("\n".join(["[stock]", *rows, ""]), encoding="utf-8")
        return path

    return writer


def faults_of(path):
    with pytest.raises(StockRefused) as refused:
        read_stock(path)
    assert all(line.startswith(f"{path}:") for line in refused.value.lines)
    return refused.value.lines


FLAG = {"kind": '"flag"', "width_mm": "118.0", "height_mm": "25.0", "jacket_mm": "6.5", "printer_dpi": "300"}
WRAP = {"kind": '"wrap"', "width_mm": "44.0", "height_mm": "54.0", "jacket_mm": "6.5", "printer_dpi": "300"}


def test_what_ships(stock_named, pytestconfig):
    """Sheets in A4 (ISO 216) and US Letter (ANSI/ASME Y14.1), three rolls, flags and a wrap."""
    names = [path.stem for path in (pytestconfig.rootpath / "labels").glob("*.toml")]
    stocks = {name: stock_named(name) for name in names}
    kinds = Counter(stock.kind for stock in stocks.values())
    assert kinds["roll"] == 3
    assert min(kinds["flag"], kinds["wrap"]) >= 1
    pages = Counter((stock.page_width_mm, stock.page_height_mm) for stock in stocks.values() if stock.paged)
    assert set(pages) == {(210.0, 297.0), (215.9, 279.4)}
    assert min(pages.values()) >= 3


def test_every_shipped_file_tells_what_it_is(stock_name, pytestconfig):
    text = (pytestconfig.rootpath / "labels" / f"{stock_name}.toml").read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert max(map(len, text.split("\n"))) <= 110


def test_the_default_stock_is_an_a4_sheet(stock_named):
    stock = stock_named(DEFAULT_STOCK)
    assert (stock.page_width_mm, stock.page_height_mm) == (210.0, 297.0)  # ISO 216, A4
    assert len(stock.places) == 24


@pytest.mark.closed_form
def test_the_places_of_a_sheet(write):
    places = read_stock(write(SHEET)).places
    assert len(places) == 24
    assert places[0] == Place(7.0, 12.5)
    assert places[1] == Place(73.0, 12.5)
    assert places[3] == Place(7.0, 46.5)
    assert places[23] == Place(7.0 + 2 * 66.0, 12.5 + 7 * 34.0)


def test_a_roll_has_one_label_a_page_of_its_own_size(write):
    stock = read_stock(write(ROLL))
    assert stock.places == (Place(0.0, 0.0),)
    assert (stock.page_width_mm, stock.page_height_mm) == (50.0, 25.0)
    assert stock.dot_mm == pytest.approx(25.4 / 203)


def test_labels_may_fill_the_page_to_its_edge(write):
    path = write(SHEET, left_margin_mm="0", width_mm="70", horizontal_pitch_mm="70")
    assert read_stock(path).places[2].left_mm == 140


@pytest.mark.parametrize(
    ("fields", "changed", "line", "said"),
    [
        (SHEET, {"horizontal_pitch_mm": "63.9"}, 11, "horizontal_pitch_mm: is 63.9, so labels 64 mm long overlap"),
        (SHEET, {"vertical_pitch_mm": "10"}, 12, "at least 32, measured from edge to same edge"),
        (SHEET, {"across": "4"}, 7, "across: is 4, so the last label ends at 269 mm of a page of 210"),
        (SHEET, {"top_margin_mm": "30"}, 8, "down: is 8, so the last label ends at 300 mm of a page of 297"),
        (SHEET, {"page_width_mm": None}, 1, "page_width_mm: is missing; add page_width_mm"),
        (SHEET, {"corner_mm": "16.5"}, 13, "corner_mm: is 16.5; at most half the label's short side, 16"),
        (SHEET, {"printer_dpi": "40"}, 14, "printer_dpi: is 40; it must be at least 100"),
        (SHEET, {"printer_dpi": "600.5"}, 14, "printer_dpi"),
        (SHEET, {"printer_dpi": None}, 1, "printer_dpi: is missing"),
        (SHEET, {"across": "0"}, 7, "across: is 0; it must be at least 1"),
        (SHEET, {"width_mm": "-1"}, 9, "width_mm: is -1; it must be above 0"),
        (SHEET, {"width_mm": "nan"}, 9, "width_mm: is nan"),
        (SHEET, {"width_mm": "inf"}, 9, "width_mm: is inf"),
        (SHEET, {"width_mm": '"64"'}, 9, "width_mm: is text; write a number"),
        (SHEET, {"down": "true"}, 8, "down: is true or false; write a whole number"),
        (SHEET, {"kind": '"band"'}, 2, "kind: is \"band\"; write 'sheet', 'roll', 'flag' or 'wrap'"),
        (SHEET, {"jacket_mm": "6"}, 15, "jacket_mm: does not belong to a sheet; leave jacket_mm out"),
        (ROLL, {"jacket_mm": "6"}, 6, "jacket_mm: does not belong to a roll"),
        (FLAG, {"jacket_mm": None}, 1, "jacket_mm: is missing; add jacket_mm: the cable's diameter where the plan"),
        (WRAP, {"jacket_mm": None}, 1, "jacket_mm: is missing"),
        (FLAG, {"jacket_mm": "0"}, 5, "jacket_mm: is 0; it must be above 0"),
        (
            FLAG,
            {"jacket_mm": "37.6"},
            5,
            "the way round the cable is 118.1 mm; the label's longer side takes at most 118 mm",
        ),
        (WRAP, {"jacket_mm": "16.9"}, 5, "the way round the cable is 53.1 mm; the label's height takes at most 53 mm"),
        (
            FLAG,
            {"across": "2"},
            7,
            "across: is 2; a roll has one label a page: leave across out, or add the page's size",
        ),
        (FLAG, {"page_width_mm": "210"}, 1, "page_height_mm: is missing; add page_height_mm"),
        (WRAP, {"page_height_mm": "297"}, 1, "page_width_mm: is missing; add page_width_mm"),
        (SHEET, {"widht_mm": "3"}, 15, 'widht_mm: no such field; did you mean "width_mm"?'),
        (ROLL, {"across": "2"}, 6, "across: is 2; a roll has one label a page: leave across out"),
        (ROLL, {"page_width_mm": "60"}, 6, "page_width_mm: is 60; a roll has one label a page"),
        (ROLL, {"left_margin_mm": "1"}, 6, "left_margin_mm: is 1"),
    ],
    ids=lambda value: "-".join(f"{k}={v}" for k, v in value.items()) if isinstance(value, dict) else None,
)
def test_what_is_wrong_with_a_stock_is_said_with_its_line(write, fields, changed, line, said):
    (message,) = faults_of(write(fields, **changed))
    assert f":{line}: [stock] " in message
    assert said in message


@pytest.mark.closed_form
@pytest.mark.parametrize("fields", [FLAG, WRAP], ids=["flag", "wrap"])
def test_flags_and_wraps_come_on_a_roll_or_on_pages(write, fields):
    roll = read_stock(write(fields))
    assert (roll.paged, roll.places) == (False, (Place(0.0, 0.0),))
    on_page = {"page_width_mm": "300", "page_height_mm": "210", "down": "3", "vertical_pitch_mm": "60"}
    sheet = read_stock(write(fields, **on_page, left_margin_mm="12", top_margin_mm="9"))
    assert (sheet.paged, sheet.page_width_mm) == (True, 300.0)
    assert sheet.places == (Place(12.0, 9.0), Place(12.0, 69.0), Place(12.0, 129.0))


def test_a_wrap_takes_cables_alone_all_others_take_everything(stock_named, stock_name):
    stock = stock_named(stock_name)
    assert stock.takes("cable")
    assert {stock.takes(kind) for kind in ("box", "chain", "supply", "source")} == {stock.kind != "wrap"}


@pytest.mark.closed_form
def test_the_white_round_all_labels_of_a_page(write):
    stock = read_stock(write(SHEET))
    assert stock.room_across == pytest.approx((7.0, 210 - 7 - 2 * 66 - 64))
    assert stock.room_down == pytest.approx((12.5, 297 - 12.5 - 7 * 34 - 32))


def test_the_jacket_is_the_plans_or_else_the_stocks(write):
    flag, roll = read_stock(write(FLAG)), read_stock(write(ROLL))
    assert (jacket_of(9.8, flag), jacket_of(None, flag)) == (9.8, 6.5)
    with pytest.raises(ValueError, match="round no cable"):
        jacket_of(None, roll)


def test_all_faults_of_a_file_are_said_at_once(write):
    lines = faults_of(write(SHEET, kind=None, width_mm="0", across="1.5", colour='"red"'))
    assert len(lines) == 4


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "[stock]: is missing; begin the file with [stock]"),
        ("[stocks]\n", "[stocks]: does not belong in a stock file"),
        ("stock = 3\n", "[stock]: is a number, not a table"),
        ("[stock\n", "not valid TOML"),
        ("\xff", "not UTF-8"),
    ],
)
def test_files_that_are_no_stock(tmp_path, text, said):
    path = tmp_path / "mine.toml"
    path.write_bytes(text.encode("latin-1"))
    assert any(said in line for line in faults_of(path))


def test_a_missing_file_and_a_folder(tmp_path):
    assert "no such file" in faults_of(tmp_path / "none.toml")[0]
    (tmp_path / "dir.toml").mkdir()
    assert "is a folder" in faults_of(tmp_path / "dir.toml")[0]


def test_the_first_folder_that_has_the_name_counts(tmp_path, write, stock_named):
    mine = tmp_path / "mine"
    mine.mkdir()
    write(ROLL, name="mine/sheet-a4.toml")
    shipped = tmp_path / "shipped"
    shipped.mkdir()
    write(SHEET, name="shipped/sheet-a4.toml")
    write(SHEET, name="shipped/other.toml")
    assert find_stock("sheet-a4", [mine, shipped]).kind == "roll"
    assert find_stock("sheet-a4", [tmp_path / "none", shipped]).kind == "sheet"
    assert find_stock("other", [mine, shipped]).kind == "sheet"


@pytest.mark.parametrize("name", ["../mine", "/etc/passwd", "", "\0", "x" * 5000])
def test_a_name_is_looked_up_never_used_as_a_path(tmp_path, write, name):
    write(SHEET)
    (tmp_path / "labels").mkdir()
    with pytest.raises(UnknownStock) as refused:
        find_stock(name, [tmp_path / "labels"])
    assert len(str(refused.value)) < 200


def test_a_near_stock_is_named(write, tmp_path):
    write(SHEET, name="sheet-a4.toml")
    write(ROLL, name="roll.toml")
    with pytest.raises(UnknownStock, match='no label stock "sheet-A5"; did you mean "sheet-a4"'):
        find_stock("sheet-A5", [tmp_path])
    with pytest.raises(UnknownStock, match="there are roll, sheet-a4"):
        find_stock("zzz", [tmp_path])
    assert issubclass(UnknownStock, CheckappError)
