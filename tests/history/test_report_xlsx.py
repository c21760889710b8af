"""The workbook read back: numbers are numbers, dates are dates, text is text whatever it begins with."""

import io
import zipfile
from datetime import datetime

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.history import report_xlsx
from checkapp.history.analysis import analysed
from checkapp.history.lives import Life, Tally, Unconfirmed
from checkapp.history.report_xlsx import xlsx_report
from checkapp.history.tables import tables
from checkapp.rig.errors import printable

SHEETS = ["Items", "Kinds", "Spares", "Faults", "Unconfirmed", "Counts", "Checks", "Method"]


def read(content):
    return openpyxl.load_workbook(io.BytesIO(content))


def column(sheet, title):
    number = [cell.value for cell in sheet[1]].index(title) + 1
    return [row[0] for row in sheet.iter_rows(min_row=2, min_col=number, max_col=number)]


@pytest.fixture(scope="module")
def book(tour):
    return read(xlsx_report(tour, "Spring tour"))


def test_a_sheet_for_each_table_with_all_rows(book, tour):
    assert book.sheetnames == SHEETS
    for table in tables(tour):
        assert book[table.name].max_row == len(table.rows) + 1
        assert [cell.value for cell in book[table.name][1]] == [column.title for column in table.columns]


@pytest.mark.parametrize("name", SHEETS)
def test_filter_frozen_header_and_widths(book, name):
    sheet = book[name]
    assert sheet.freeze_panes == "B2"
    assert sheet.auto_filter.ref == sheet.dimensions
    assert all(one.width >= 8 for one in sheet.column_dimensions.values())
    assert all(cell.font.bold for cell in sheet[1])


def test_on_paper_each_page_has_the_header_and_the_first_column(book):
    for sheet in book:
        assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == ("landscape", 9)
        assert (sheet.print_title_rows, sheet.print_title_cols) == ("$1:$1", "$A:$A")


def test_numbers_are_numbers(book, tour):
    rates = column(book["Items"], "rate (faults per check)")
    assert [cell.value for cell in rates] == pytest.approx([row.rate for row in tour.items], rel=1e-14)
    assert {cell.data_type for cell in rates} == {"n"}
    assert {cell.number_format for cell in rates} == {"0.0000"}
    assert all(isinstance(cell.value, int) for cell in column(book["Items"], "faults"))


def test_dates_are_dates(book, tour):
    began = column(book["Checks"], "began (UTC)")
    assert all(cell.is_date and isinstance(cell.value, datetime) for cell in began)
    assert [cell.value.isoformat(timespec="seconds") for cell in began] == [one.at[:19] for one in tour.tally.checks]
    assert [cell.value.date().isoformat() for cell in column(book["Checks"], "date")] == [
        one.date for one in tour.tally.checks
    ]


def test_what_is_not_known_is_empty(book, tour):
    p = [cell.value for cell in column(book["Items"], "trend p")]
    assert [value is None for value in p] == [row.trend.p is None for row in tour.items]
    assert {None} < set(p)


def test_a_time_that_is_none_stays_text():
    odd = [Unconfirmed("in 1", at, "A", "", None, "") for at in ("yesterday", "1066-10-14T09:00:00Z", "")]
    sheet = read(xlsx_report(analysed(Tally((), unconfirmed=tuple(odd))), "T"))["Unconfirmed"]
    assert [cell.value for cell in column(sheet, "at (UTC)")] == ["yesterday", "1066-10-14T09:00:00", None]


@settings(max_examples=15)
@given(st.sampled_from(["=", "+", "-", "@", "\t=", "\r", "#N/A", "", "'"]), st.text(max_size=12))
def test_text_is_never_a_formula(start, rest):
    text = start + rest
    history = analysed(Tally((Life("A.1", "cable", 1),), unconfirmed=(Unconfirmed(text, "", text, text, None, text),)))
    content = xlsx_report(history, text)
    cells = [
        cell for row in read(content)["Unconfirmed"].iter_rows(min_row=2) for cell in row if cell.value is not None
    ]
    assert {cell.value for cell in cells} <= {printable(text)}
    assert all(cell.data_type == "s" for cell in cells)
    if text.startswith(("=", "+", "-", "@")):
        assert len(cells) == 4
        assert all(cell.quotePrefix for cell in cells)
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        sheets = [parts.read(name) for name in parts.namelist() if "worksheets/" in name]
    assert not any(b"<f>" in sheet or b"<f " in sheet for sheet in sheets)


def test_an_empty_history_has_all_sheets(nothing):
    book = read(xlsx_report(nothing, "T"))
    assert book.sheetnames == SHEETS
    assert book["Items"]["A1"].value == "item"
    assert book["Items"].max_row == 1
    assert book["Method"]["B2"].value.startswith("There is nothing to tell yet")
    assert book["Method"].max_row > 5


def test_more_rows_than_a_sheet_holds_are_said_to_be_left_out(monkeypatch, tour):
    monkeypatch.setattr(report_xlsx, "MOST_ROWS", 101)
    book = read(xlsx_report(tour, "T"))
    assert book["Items"].max_row == 101
    said = [row[1].value for row in book["Method"].iter_rows(min_row=2)]
    assert [words for words in said if "rows more" in words] == [
        f"Items: {len(tour.items) - 100} rows more than a sheet holds; the CSV files have them."
    ]
