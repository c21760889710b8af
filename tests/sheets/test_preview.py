"""Messy lists, as workbooks and as CSV files: each becomes its lines, a plan that loads, and nothing goes silently."""

import csv
import importlib.util
from pathlib import Path

import pytest

from checkapp.rig.planfile import load_plan
from checkapp.sheets.headings import fold
from checkapp.sheets.preview import MapRefused, NoList, preview, shown_rows
from checkapp.sheets.reading import read_sheets
from checkapp.sheets.starting_plan import TooManyLines, starting_plan
from checkapp.sheets.table import Row, Sheet

_spec = importlib.util.spec_from_file_location("messy_sheets", Path(__file__).with_name("messy_sheets.py"))
messy = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(messy)
CSV_CASES = [case for case in messy.CASES if case.csv]


def write_workbook(case, path):
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for tab in case.tabs:
        sheet = book.create_sheet(tab.name)
        for at, cells in enumerate(tab.rows, 1):
            for column, cell in enumerate(cells, 1):
                if cell != "":
                    sheet.cell(at, column, cell)
        for number in tab.hidden:
            sheet.row_dimensions[number].hidden = True
        for cells in tab.merged:
            sheet.merge_cells(cells)
    book.save(path)
    return path


def write_csv(case, path):
    with path.open("w", encoding=case.encoding, newline="") as file:
        csv.writer(file, delimiter=case.sign).writerows(case.tabs[0].rows)
    return path


def check(case, path):
    found = preview(read_sheets(path), {fold(heading): field for heading, field in case.maps.items()})
    lines = [
        (one.line, one.name, one.level, one.phantom, one.zone, one.stand, one.note, found.ports[one.line])
        for one in found.lines
    ]
    assert lines == case.lines
    assert len(found.unclear) == len(case.unclear), found.unclear
    assert all(words in said for words, said in zip(case.unclear, found.unclear, strict=True)), found.unclear
    nothing_silent(found)
    plan_is_the_list(found, path)


def nothing_silent(found):
    for sheet in found.taken:
        assert [row.number for row in sheet.rows] == list(range(1, len(sheet.rows) + 1))
        for row in sheet.rows:
            assert bool(row.lines) == (row.became == "lines")
            assert row.unclear or row.became != "left out"
            assert row.text or row.became in ("blank", "left out")


def plan_is_the_list(found, path):
    rig = load_plan(path.with_suffix(".toml"), starting_plan(found.lines, "Reeds", "RD", path.name).encode())
    planned = {
        line.line: (
            line.name,
            getattr(line, "level", None),
            getattr(line, "phantom", False),
            line.port,
            line.zone,
            line.note,
        )
        for line in rig.lines
    }
    assert planned == {
        line.line: (line.name, line.level, line.phantom, found.ports[line.line], line.zone or None, line.note or None)
        for line in found.lines
    }


def test_there_are_enough_of_them():
    assert len(messy.CASES) >= 40
    assert len({case.id for case in messy.CASES}) == len(messy.CASES)


@pytest.mark.parametrize("case", messy.CASES, ids=lambda case: case.id)
def test_a_messy_workbook_becomes_its_lines(case, tmp_path):
    check(case, write_workbook(case, tmp_path / "list.xlsx"))


@pytest.mark.parametrize("case", CSV_CASES, ids=lambda case: case.id)
def test_its_csv_twin_becomes_the_same(case, tmp_path):
    check(case, write_csv(case, tmp_path / "list.csv"))


def sheet(name, *rows, notes=(), hidden=False):
    return Sheet(name, tuple(Row(at, cells) for at, cells in enumerate(rows, 1)), notes, hidden)


LIST = (("Ch", "Name"), ("1", "Kick"), ("2", "Hat"))


def test_the_others_are_listed():
    found = preview([sheet("Old", *LIST[:2]), sheet("New", *LIST), sheet("Gear", ("Stools", "4"))])
    assert [one.name for one in found.taken] == ["New"]
    assert found.others == ("Old: also looks like a list, with 1 line", "Gear: no list")


def test_the_sheet_that_is_asked_for_is_taken():
    sheets = [sheet("Old", *LIST[:2]), sheet("New", *LIST)]
    assert [one.name for one in preview(sheets, only="old").taken] == ["Old"]
    with pytest.raises(NoList, match='no sheet "Mine"; there are Old, New'):
        preview(sheets, only="Mine")


def test_a_hidden_sheet_is_taken_only_when_asked_for():
    sheets = [sheet("Old", *LIST, hidden=True), sheet("New", *LIST[:2])]
    assert [one.name for one in preview(sheets).taken] == ["New"]
    assert [one.name for one in preview(sheets, only="Old").taken] == ["Old"]


@pytest.mark.parametrize("sheets", [[], [sheet("A")], [sheet("A", ("Dear all",), ("see you",))]])
def test_no_list_says_what_to_do(sheets):
    with pytest.raises(NoList, match="--map"):
        preview(sheets)


def test_a_map_of_a_heading_that_no_sheet_has():
    with pytest.raises(MapRefused, match='no sheet has a column "quelle"'):
        preview([sheet("A", *LIST)], {"quelle": "name"})


def test_what_the_reading_could_not_do_stands_with_its_row():
    notes = ("B3: a formula without a result", "row 10001: not read")
    found = preview([sheet("A", ("Ch", "Name"), ("1", "Kick"), ("2", ""), notes=notes)])
    assert found.unclear == ("A: row 10001: not read", "row 3: B3: a formula without a result")


def test_what_the_reading_did_and_says_is_not_unclear(tmp_path):
    from openpyxl import Workbook

    text = tmp_path / "a.csv"
    text.write_text("Ch,Name,Note\n1,Kick,=SUM(A1)\n")
    found = preview(read_sheets(text))
    assert (found.unclear, found.lines[0].note) == ((), "=SUM(A1)")
    assert any("C2" in note for note in found.taken[0].rows[1].notes)
    book = Workbook()
    book.active.append(["Ch", "Name", "Note"])
    book.active.append([1, "Kick", "old"])
    book.active.column_dimensions["C"].hidden = True
    book.save(tmp_path / "a.xlsx")
    found = preview(read_sheets(tmp_path / "a.xlsx"))
    assert (found.unclear, found.lines[0].note) == ((), "old")
    assert any("column C" in note for note in found.taken[0].notes)


def test_columns_by_their_letters():
    found = preview([sheet("A", ("7", "Kick", "x"), ("3", "Hat", ""))], {"column a": "number", "column b": "name"})
    assert [line.line for line in found.lines] == ["in 7", "in 3"]


def test_blank_rows_that_follow_each_other_are_shown_as_one():
    found = preview([sheet("A", *LIST, ("",), ("",), ("",), ("3", "Tom"))])
    assert [(row.number, row.became, row.text) for row in shown_rows(found.taken[0])][3:] == [
        (4, "blank", "to row 6"),
        (7, "lines", "3 | Tom"),
    ]


def test_ports_of_boxes_and_desk_do_not_meet(tmp_path):
    rows = [
        ("Ch", "Name", "Box"),
        ("1", "A", "Desk 3"),
        ("2", "B", "SB1 2"),
        ("3", "C", ""),
        ("4", "D", "SB2 1"),
        ("5", "E", ""),
    ]
    found = preview([sheet("A", *rows)])
    assert found.ports == {
        "in 1": "DESK in 3",
        "in 2": "SB1 in 2",
        "in 3": "DESK in 1",
        "in 4": "SB2 in 1",
        "in 5": "DESK in 5",
    }
    plan_is_the_list(found, tmp_path / "list.csv")
    rig = load_plan(tmp_path / "x.toml", starting_plan(found.lines, "A", "A", "a.csv").encode())
    assert {code: box.fed_from for code, box in rig.boxes.items()} == {"SB1": "DESK in 6", "SB2": "DESK in 8"}


def test_the_largest_numbers_and_ports_load(tmp_path):
    rows = [
        ("Ch", "Name", "Box"),
        ("999999", "A", ""),
        ("9999", "B", "SB1 in 512"),
        ("7", "C", "LONGCODE10 512"),
        ("9998", "D", ""),
        ("1", "E", ""),
        ("2", "F", "Desk 512"),
        ("9999", "G", ""),
    ]
    found = preview([sheet("A", *rows)])
    assert found.unclear == ("row 8: in 9999 is taken by row 3: left out",)
    assert found.ports["in 999999"] == "DESK in 2"
    plan_is_the_list(found, tmp_path / "list.csv")


def test_more_lines_than_a_desk_has_ports():
    rows = [("Ch", "Name"), *((f"{at * 256 + 1}-{at * 256 + 256}", "A") for at in range(40))]
    with pytest.raises(TooManyLines, match="split the list"):
        preview([sheet("A", *rows)])


def test_a_box_spelled_in_two_ways_is_one(tmp_path):
    ins = sheet("Inputs", ("Ch", "Name", "Box"), ("1", "A", "SB-1 in 1"), ("2", "B", "SB1 2"), ("3", "C", "SB1 1"))
    outs = sheet("Outputs", ("Out", "Name", "Box"), ("1", "W", "sb1 3"))
    found = preview([ins, outs])
    assert found.ports == {"in 1": "SB-1 in 1", "in 2": "SB-1 in 2", "in 3": "DESK in 3", "out 1": "SB-1 out 3"}
    plan_is_the_list(found, tmp_path / "list.csv")


def test_five_thousand_rows():
    rows = [("Ch", "Name", "Mic"), *((str(at), f"Line {at}", "dyn") for at in range(1, 5001))]
    found = preview([sheet("A", *rows)])
    assert len(found.lines) == 5000
    assert not found.unclear
