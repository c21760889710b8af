"""Workbooks and CSV files as rows of text; the workbooks are made by openpyxl, or by hand where it makes none such."""

import codecs
import csv
import datetime
import io
import random
import re
import zipfile
from itertools import product

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont

from checkapp.sheets.errors import SheetRefused
from checkapp.sheets.reading import read_sheets

DELIMITERS = (",", ";", "\t", "|")
ENCODINGS = {
    "utf-8": b"",
    "utf-8 with BOM": codecs.BOM_UTF8,
    "utf-16-le": codecs.BOM_UTF16_LE,
    "utf-16-be": codecs.BOM_UTF16_BE,
    "utf-16-le without BOM": b"",
    "utf-16-be without BOM": b"",
    "cp1252": b"",
}


def saved(tmp_path, *sheets):
    """A workbook of sheets, each made by a function that is given it."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for number, fill in enumerate(sheets, 1):
        fill(book.create_sheet(f"S{number}"))
    book.save(tmp_path / "a.xlsx")
    return read_sheets(tmp_path / "a.xlsx")


def cells(sheet):
    return {row.number: row.cells for row in sheet.rows if any(row.cells)}


def as_csv(table, sign, encoding, quoting=csv.QUOTE_ALL):
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=sign, quoting=quoting).writerows(table)
    return ENCODINGS[encoding] + text.getvalue().encode(encoding.partition(" ")[0])


def with_changed(tmp_path, old, new):
    """The workbook with a piece of its first sheet changed."""
    path = tmp_path / "changed.xlsx"
    with zipfile.ZipFile(tmp_path / "a.xlsx") as sound, zipfile.ZipFile(path, "w") as changed:
        for name in sound.namelist():
            text = sound.read(name).decode()
            if name == "xl/worksheets/sheet1.xml":
                text, count = re.subn(old, new, text)
                assert count == 1
            changed.writestr(name, text)
    return path


def test_values_are_texts_as_a_person_reads_them(tmp_path):
    def fill(sheet):
        sheet.append([1, 2.0, 2.5, 0.1 + 0.2, -3, 1e20, 12345678901234])
        sheet.append(["  Kick in ", "7", "007", True, False, "a\nb", "\u00a0x"])
        sheet.append([datetime.date(2026, 11, 26), datetime.datetime(2026, 11, 26, 19, 30), datetime.time(19, 30, 5)])
        sheet.append([datetime.timedelta(hours=30), CellRichText("Kick ", TextBlock(InlineFont(b=True), "in"))])

    (sheet,) = saved(tmp_path, fill)
    assert cells(sheet) == {
        1: ("1", "2", "2.5", "0.3", "-3", "1e+20", "12345678901234"),
        2: ("Kick in", "7", "007", "TRUE", "FALSE", "a\nb", "x"),
        3: ("2026-11-26", "2026-11-26 19:30", "19:30:05"),
        4: ("30:00", "Kick in"),
    }
    assert sheet.notes == ()


def test_dates_count_from_1904_where_the_workbook_says_so(tmp_path):
    book = openpyxl.Workbook()
    book.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904
    book.active.append([datetime.date(2026, 11, 26)])
    book.save(tmp_path / "a.xlsx")
    assert read_sheets(tmp_path / "a.xlsx")[0].rows[0].cells == ("2026-11-26",)


def test_merged_cells_and_hidden_rows_columns_and_sheets(tmp_path):
    def fill(sheet):
        sheet["A1"], sheet["A2"], sheet["B2"], sheet["B3"], sheet["C3"], sheet["C4"] = (
            "Drums",
            "Ch",
            "Name",
            1,
            "Kick",
            "x",
        )
        sheet.merge_cells("A1:C1")
        sheet.merge_cells("B3:B4")
        sheet.merge_cells("A2:A3")
        sheet.row_dimensions[3].hidden = True
        sheet.column_dimensions["C"].hidden = True

    def other(sheet):
        sheet.sheet_state = "hidden"

    shown, hidden = saved(tmp_path, fill, other)
    assert [(row.number, row.hidden, row.merged) for row in shown.rows] == [
        (1, False, True),
        (2, False, False),
        (3, True, False),
        (4, False, False),
    ]
    assert cells(shown) == {1: ("Drums",), 2: ("Ch", "Name"), 3: ("", "1", "Kick"), 4: ("", "", "x")}
    assert shown.notes == ("column C: hidden in the sheet; read all the same",)
    assert (shown.name, shown.hidden, hidden.name, hidden.hidden, hidden.rows) == ("S1", False, "S2", True, ())


def test_of_merged_cells_only_the_first_has_a_text(tmp_path):
    """Programs that merge cells keep what stood in the others, out of sight."""
    book = openpyxl.Workbook()
    book.active.append(["Kick", "old", "older"])
    book.active.append(["Snare", "in", "sight"])
    book.save(tmp_path / "a.xlsx")
    merged = '</sheetData><mergeCells><mergeCell ref="A1:C1"/></mergeCells>'
    changed = with_changed(tmp_path, "</sheetData>", merged)
    (sheet,) = read_sheets(changed)
    assert cells(sheet) == {1: ("Kick",), 2: ("Snare", "in", "sight")}


def test_formulas_give_their_saved_results(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["=1+1", "=A1&B1", "=1/0", '=WEBSERVICE("http://127.0.0.1:9")', '=HYPERLINK("#A1";"x")'])
    book.save(tmp_path / "a.xlsx")
    (sheet,) = read_sheets(tmp_path / "a.xlsx")
    assert sheet.rows == ()
    assert sheet.notes[:2] == ("A1: a formula without a result", "B1: a formula without a result")
    assert "outside" in sheet.notes[3]
    saved_result = with_changed(tmp_path, r"<f>1\+1</f><v ?/?>(</v>)?", "<f>1+1</f><v>2</v>")
    assert cells(read_sheets(saved_result)[0]) == {1: ("2",)}
    error = with_changed(tmp_path, r'<c r="C1"><f>1/0</f><v ?/?>(</v>)?', '<c r="C1" t="e"><f>1/0</f><v>#DIV/0!</v>')
    assert "C1: shows the error #DIV/0!" in read_sheets(error)[0].notes


def test_trailing_rows_and_cells_without_a_text_are_dropped(tmp_path):
    def fill(sheet):
        sheet["B2"], sheet["D2"], sheet["C9"] = "x", " ", "  "
        sheet["A40"].number_format = "0.00"

    (sheet,) = saved(tmp_path, fill)
    assert [row.cells for row in sheet.rows] == [(), ("", "x")]


def test_5000_rows_and_200_columns_are_read(tmp_path):
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("List")
    for row in range(1, 5001):
        sheet.append([row, f"name {row}"])
    sheet.append(list(range(1, 201)))
    book.save(tmp_path / "a.xlsx")
    (found,) = read_sheets(tmp_path / "a.xlsx")
    assert len(found.rows) == 5001
    assert found.rows[4999].cells == ("5000", "name 5000")
    assert found.rows[5000].cells == tuple(map(str, range(1, 201)))


@pytest.mark.independent
def test_the_same_as_openpyxl_reads(tmp_path):
    """Texts, whole numbers and gaps of a random sheet, against openpyxl's own reading of it."""
    chance = random.Random(3)

    def fill(sheet):
        for _ in range(300):
            cell = sheet.cell(chance.randint(1, 60), chance.randint(1, 40))
            cell.value = chance.choice(["Kick", "Snare & co <b>", "ä€🎤", 'say "x"', chance.randint(-99, 10**9)])

    (sheet,) = saved(tmp_path, fill)
    known = openpyxl.load_workbook(tmp_path / "a.xlsx").worksheets[0]
    expected = {
        (cell.row, cell.column): str(cell.value) for row in known.iter_rows() for cell in row if cell.value is not None
    }
    found = {(row.number, column): text for row in sheet.rows for column, text in enumerate(row.cells, 1) if text}
    assert found == expected


def test_prefixes_of_other_writers_are_understood(tmp_path):
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    book = openpyxl.Workbook()
    book.active.append(["Kick"])
    book.save(tmp_path / "a.xlsx")
    text = "<x:is><x:t>Snare_x000D_\n2</x:t><x:rPh><x:t>aloud</x:t></x:rPh></x:is>"
    row = f'<x:row><x:c t="inlineStr">{text}</x:c><x:c><x:v>4</x:v></x:c></x:row>'
    other = f'<x:worksheet xmlns:x="{main}"><x:sheetData>{row}</x:sheetData></x:worksheet>'
    path = with_changed(tmp_path, "(?s)<worksheet.*", other)
    assert cells(read_sheets(path)[0]) == {1: ("Snare\n2", "4")}


@pytest.mark.parametrize(("sign", "encoding"), list(product(DELIMITERS, ENCODINGS)))
def test_encoding_and_delimiter_are_found(tmp_path, sign, encoding):
    table = [
        ["Ch", "Name", "Note"],
        ["1", "Kick für Zoë", f"a{sign} b"],
        [],
        ["2", 'say "x"', "two\r\nlines"],
        ["3", "é", ""],
    ]
    path = tmp_path / "Inputs.csv"
    path.write_bytes(as_csv(table, sign, encoding, csv.QUOTE_MINIMAL))
    (sheet,) = read_sheets(path)
    assert sheet.name == "Inputs"
    assert cells(sheet) == {
        1: ("Ch", "Name", "Note"),
        2: ("1", "Kick für Zoë", f"a{sign} b"),
        4: ("2", 'say "x"', "two\nlines"),
        5: ("3", "é"),
    }


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Ch;Name;Length\n1;Kick;2,5\n2;Snare;3,5\n", ("1", "Kick", "2,5")),
        ("Ch,Name\n1,Kick; in\n2,Snare; top\n3,Hat\n", ("1", "Kick; in")),
        ("Input list, 3rd version\n1\tKick, in\n2\tSnare, top\n", ("1", "Kick, in")),
        ("sep=|\n1|Kick\n1|Kick, in\n", ("1", "Kick, in")),
        ("Names\nKick\n", ("Kick",)),
        ("Ch;Name\r1;Kick\r", ("1", "Kick")),
    ],
)
def test_the_delimiter_is_the_one_that_parts_most_cells_in_rows_of_one_width(tmp_path, text, expected):
    (tmp_path / "a.csv").write_bytes(text.encode())
    assert read_sheets(tmp_path / "a.csv")[0].rows[1].cells == expected


def test_what_looks_like_a_formula_in_csv_stays_a_text_with_a_note(tmp_path):
    (tmp_path / "a.csv").write_text("1,=cmd|' /C calc'!A0\n2,+48\n")
    (sheet,) = read_sheets(tmp_path / "a.csv")
    assert cells(sheet) == {1: ("1", "=cmd|' /C calc'!A0"), 2: ("2", "+48")}
    assert sheet.notes == ("B1: begins like a formula; taken as text",)


def test_the_message_names_the_row_whose_quotes_do_not_close(tmp_path):
    (tmp_path / "a.csv").write_text('1,Kick\n2,"Snare\n3,Hat\n')
    with pytest.raises(SheetRefused) as caught:
        read_sheets(tmp_path / "a.csv")
    assert caught.value.lines == (
        f'{tmp_path / "a.csv"}:2: is no row of a table: unexpected end of data; close each " and write "" for one',
    )


def test_a_quote_that_closes_far_below_is_told_where_it_opens(tmp_path):
    (tmp_path / "a.csv").write_text('1,Kick\n2,"Snare\n' + "3,Hat\n" * 300 + '4,"Tom"\n')
    with pytest.raises(SheetRefused) as caught:
        read_sheets(tmp_path / "a.csv")
    assert "a.csv:2: has a row of more than" in caught.value.lines[0]


def test_a_workbook_named_csv_and_text_named_xlsx_are_read_by_their_content(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["Kick"])
    book.save(tmp_path / "a.xlsx")
    (tmp_path / "a.csv").write_bytes((tmp_path / "a.xlsx").read_bytes())
    (tmp_path / "b.xlsx").write_text("Kick,1\n")
    assert read_sheets(tmp_path / "a.csv")[0].rows[0].cells == ("Kick",)
    assert read_sheets(tmp_path / "b.xlsx")[0].rows[0].cells == ("Kick", "1")


LETTERS = st.characters(codec="cp1252", exclude_characters="\x00", exclude_categories=["Cc", "Cs"]) | st.just("\n")
TEXTS = st.text(LETTERS | st.sampled_from(list("+-=;,|'\" \t1")), max_size=8)
TABLES = st.integers(2, 5).flatmap(
    lambda width: st.lists(st.lists(TEXTS, min_size=width, max_size=width), min_size=1, max_size=6)
)


def expected(table):
    """Rows as they should be read: blanks around gone, and empty ends."""
    rows = {}
    for number, row in enumerate(table, 1):
        texts = [text.strip() for text in row]
        while texts and not texts[-1]:
            texts.pop()
        if texts:
            rows[number] = tuple(texts)
    return rows


@settings(max_examples=60)
@given(TABLES, st.sampled_from(DELIMITERS), st.sampled_from(list(ENCODINGS)))
def test_any_table_of_texts_reads_back_the_same_from_csv(tmp_path_factory, table, sign, encoding):
    path = tmp_path_factory.getbasetemp() / "table.csv"
    table = [["Ch", "Name", *["x"] * (len(table[0]) - 2)], *table]
    path.write_bytes(as_csv(table, sign, encoding))
    assert cells(read_sheets(path)[0]) == expected(table)


@settings(max_examples=40)
@given(TABLES)
def test_any_table_of_texts_reads_back_the_same_from_a_workbook(tmp_path_factory, table):
    path = tmp_path_factory.getbasetemp() / "table.xlsx"
    book = openpyxl.Workbook()
    for number, row in enumerate(table, 1):
        for column, text in enumerate(row, 1):
            cell = book.active.cell(number, column)
            cell.value = text
            cell.data_type = "s"
    book.save(path)
    assert cells(read_sheets(path)[0]) == expected(table)
