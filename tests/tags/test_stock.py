"""Label stock: what ships, what is refused and where, whose folder counts."""

import pytest

from checkapp.rig.errors import CheckappError
from checkapp.tags.stock import DEFAULT_STOCK, Place, StockRefused, UnknownStock, find_stock, read_stock

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


@pytest.mark.parametrize("name", ["sheet-a4", "roll-50x25"])
def test_every_shipped_stock_can_be_read(stock_named, name):
    assert stock_named(name).places[0].left_mm >= 0


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
        (SHEET, {"kind": '"flag"'}, 2, "kind: is \"flag\"; write 'sheet' or 'roll'"),
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
