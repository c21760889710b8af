"""A rig as a workbook, and read again: the same rig, texts as texts, and edits that come through."""

import importlib.util
import io
import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from checkapp.rig.model import PlanFile
from checkapp.rig.planfile import load_plan
from checkapp.rig.toml_text import data_of
from checkapp.sheets.columns import LISTS, README, shape_named, shapes
from checkapp.sheets.reading import read_sheets
from checkapp.sheets.workbook_in import filled, is_own, unescaped
from checkapp.sheets.workbook_out import CellTooSmall, about, escaped, workbook

_spec = importlib.util.spec_from_file_location("random_rigs", Path(__file__).with_name("random_rigs.py"))
random_rigs = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(random_rigs)
DEMO = Path(__file__).parents[2] / "plans" / "demo.toml"
FORMULAS = ["=1+1", "+48", "-10 dB", "@home", '=HYPERLINK("x")', "\t=1", "\r=1", "'=1"]


@pytest.fixture(scope="module")
def demo():
    return data_of(load_plan(DEMO).plan)


@pytest.fixture(scope="module")
def book(demo):
    return load_workbook(io.BytesIO(workbook(demo)))


@pytest.fixture
def read(tmp_path):
    """What a workbook holds, after changes of it as a spreadsheet program would make them."""

    def of(content, change=None):
        path = tmp_path / "rig.xlsx"
        path.write_bytes(content)
        if change:
            opened = load_workbook(path)
            change(opened)
            opened.save(path)
        sheets = read_sheets(path, exact=True)
        assert is_own(sheets)
        return filled(sheets, "rig.xlsx")

    return of


def titled(sheet):
    return {cell.value: cell.column for cell in sheet[1]}


def test_every_field_of_the_model_has_a_column_that_says_what_it_means():
    columns = {(shape.table, str(column.path[0])) for shape in shapes() for column in shape.columns if column.path}
    whole = PlanFile.model_json_schema(by_alias=True)
    for table, about_table in whole["properties"].items():
        if table in ("format", "use"):
            continue
        text = str(about_table)
        model = whole["$defs"][text[text.index("$defs/") + 6 :].split("'")[0]]
        assert {name for of, name in columns if of == table} - {"use"} == set(model["properties"])
    for shape in shapes():
        assert all(column.meaning and about(column)[0] for column in shape.columns)


def test_units_stand_in_the_notes_and_on_the_first_sheet(book):
    note = book["cables"].cell(1, titled(book["cables"])["length_m"]).comment.text
    assert note == "Its length; this or length_ft. Unit: metres. Above 0"
    rows = {(row[0], row[1]): row[2:] for row in book[README].iter_rows(values_only=True)}
    assert rows["box kinds", "draw_w"] == ("Power that a box needs", "watts", "At least 0. Blank is 0")
    assert rows["inputs", "level"] == ("Level of the signal", None, "One of: mic, line, instrument. Must be given")
    assert book.sheetnames[0] == README


def test_heads_stay_in_view_and_have_filters_and_drop_downs(book):
    for shape in shapes():
        sheet = book[shape.title]
        assert sheet.freeze_panes in ("A2", "B2") and sheet.auto_filter.ref.startswith("A1:")
        assert sheet.print_title_rows == "$1:$1" and sheet.page_setup.fitToWidth == 1
        assert all(8 <= sheet.column_dimensions[cell.column_letter].width <= 44 for cell in sheet[1])
    offers = {
        (title, letter): rule.formula1
        for title in ("inputs", "boxes", "box kinds")
        for rule in book[title].data_validations.dataValidation
        for letter in [str(rule.sqref)[0]]
    }
    assert offers["inputs", "C"] == '"mic,line,instrument"'
    assert offers["boxes", "B"].startswith("'box kinds'!$A$2:$A$")
    port = offers["inputs", "I"]
    assert port.startswith(f"{LISTS}!$")
    column = port.partition("!$")[2][0]
    ports = {book[LISTS][f"{column}{row}"].value for row in range(2, book[LISTS].max_row + 1)}
    used = {row[8] for row in book["inputs"].iter_rows(min_row=2, values_only=True)}
    assert all(port.startswith("DESK") for port in used - ports) and len(used & ports) > 30


def test_print_is_grey(book):
    for sheet in book:
        for cell in sheet[1]:
            if cell.fill.fill_type:
                red, green, blue = (cell.fill.start_color.rgb[-6:][at : at + 2] for at in (0, 2, 4))
                assert red == green == blue


def test_numbers_are_numbers_and_texts_texts(book):
    kinds = {int: "n", float: "n", str: "s"}
    for shape in shapes():
        for row in book[shape.title].iter_rows(min_row=2):
            for cell, column in zip(row, shape.columns, strict=True):
                if cell.value is not None:
                    assert cell.data_type == ("n" if column.form in ("number", "whole") else "s")
                    assert kinds[type(cell.value)] == cell.data_type


@pytest.mark.parametrize("path", ["demo", "small", "wrong"])
def test_shipped_plans_come_back(path, read):
    data = data_of(load_plan(DEMO.with_name(f"{path}.toml")).plan)
    found = read(workbook(data))
    assert (found.data, found.faults, found.absent, found.others) == (data, [], [], [])


@pytest.mark.parametrize("seed", range(8))
def test_random_rigs_come_back_with_every_figure(seed, read):
    data = random_rigs.random_plan(random.Random(1000 + seed))
    found = read(workbook(data))
    assert found.faults == []
    assert found.data == {"format": 1, **data}


def test_a_whole_number_of_a_real_field_and_a_real_one_of_a_whole_come_back(demo, read):
    found = read(workbook({**demo, "cable": [{"code": "X", "kind": "lead", "length_m": 5}]}))
    assert found.data["cable"] == [{"code": "X", "kind": "lead", "length_m": 5.0}]


@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=30))
@settings(max_examples=200)
def test_any_text_survives_a_cell(text):
    held = escaped(text)
    assert held == held.strip() and held and unescaped(held) == text


def test_what_looks_like_a_formula_is_text_and_comes_back(read):
    inputs = [{"number": number, "name": text} for number, text in enumerate(FORMULAS, 1)]
    content = workbook({"format": 1, "rig": {"name": "=1", "owner": "A"}, "input": inputs})
    cells = [row[0] for row in load_workbook(io.BytesIO(content))["inputs"]["B2:B9"]]
    assert all(cell.data_type == "s" for cell in cells)
    assert all(cell.quotePrefix for cell, text in zip(cells, FORMULAS, strict=True) if text.startswith(tuple("=+-@")))
    assert read(content).data["input"] == inputs


def test_too_long_a_text_is_said(demo):
    with pytest.raises(CellTooSmall, match=r"rig!A2: a text of 40000 characters"):
        workbook({**demo, "rig": {**demo["rig"], "name": "x" * 40_000}})


# --- edits


def test_edits_of_a_spreadsheet_program_come_through(demo, read):
    def edit(book):
        inputs, cables = book["inputs"], book["cables"]
        inputs.cell(2, titled(inputs)["name"]).value = 808
        inputs.cell(2, titled(inputs)["phantom"]).value = True
        inputs.cell(2, titled(inputs)["note"]).value = None
        inputs.delete_rows(3)
        cables.append(["NEW1", "lead", 7.5])
        cables.cell(cables.max_row + 3, 1).value = "NEW2"
        cables.cell(cables.max_row, 2).value = "lead"
        cables.cell(cables.max_row, 4).value = "25"
        cables.insert_cols(1)
        cables.cell(1, 1).value = "# mine"
        cables.cell(2, 1).value = "=1/0"
        book["box kinds"]["D2"].value = "Line ,mic"
        book.create_sheet("scratch")["A1"] = "anything"
        del book["lists"]

    found = read(workbook(demo), edit)
    assert found.faults == [] and found.others == ["scratch"]
    first, second = found.data["input"][:2]
    assert first["name"] == "808" and first["phantom"] is True and "note" not in first
    assert second == demo["input"][2]
    assert found.data["cable"] == [
        *demo["cable"],
        {"code": "NEW1", "kind": "lead", "length_m": 7.5},
        {"code": "NEW2", "kind": "lead", "length_ft": 25.0},
    ]
    assert found.data["box_kind"]["mic12"]["accepts"] == ["line", "mic"]


WRONG = {
    ("cables", "C2", "ten"): 'length_m is "ten"; write a number alone, such as 15.5',
    ("cables", "C3", "15,5"): 'length_m is "15,5"; write a number alone, such as 15.5',
    ("cables", "C4", "nan"): 'length_m is "nan"; write a finite number',
    ("cables", "E2", "perhaps"): 'spare is "perhaps"; write yes or no',
    ("inputs", "A2", 1.5): 'number is "1.5"; write a whole number, such as 15',
    ("inputs", "C2", "loud"): 'level is "loud"; write one of mic, line, instrument',
    ("box kinds", "D2", "mic and line"): 'accepts is "mic and line"; write any of mic, line, instrument',
    ("box kinds", "A3", "mic12"): '"mic12" is there twice; keep one of the two',
    ("cable kinds", "A3", None): "name is missing; fill it in, or delete the row",
    ("rig", "A3", "Another"): "a second row; there is one only: delete this row",
    ("settings", "A2", "MISSING"): 'no box "MISSING"',
    ("boxes", "J2", None): "",
    ("boxes", "B2", "=1/0"): "a formula",
    (
        "outputs",
        "C1",
        "cabel",
    ): 'no column "cabel"; did you mean "cable"? Begin the title of a column of your own with #',
    ("sources", "C1", "kind"): 'a second column "kind"; keep one of the two',
}


def test_what_is_wrong_names_sheet_and_cell(demo, read):
    def edit(book):
        for sheet, cell, value in WRONG:
            book[sheet][cell].value = value
        book["supplies"]["B1"].value = None
        book["link kinds"].delete_rows(1, 9)

    said = [str(fault) for fault in read(workbook(demo), edit).faults]
    for (sheet, cell, _), words in WRONG.items():
        assert not words or any(line.startswith(f"rig.xlsx: {sheet}!{cell}: {words}") for line in said), (
            sheet,
            cell,
            said,
        )
    assert "rig.xlsx: boxes!I2: stands without at y; a place on the stage needs both, x and y" in said
    assert any(
        line.startswith('rig.xlsx: supplies!1:1: no column "volts"; add it; columns are code, volts') for line in said
    )
    assert any(line.startswith("rig.xlsx: link kinds!A1: no titles of columns; columns are name, max") for line in said)
    assert len(said) == len(WRONG) - 1 + 3


def test_a_list_is_no_workbook_of_a_rig(tmp_path):
    (tmp_path / "list.csv").write_text("Ch,Name\n1,Kick\n")
    assert not is_own(read_sheets(tmp_path / "list.csv"))


def test_sheets_are_known_by_title_and_by_table():
    assert {shape_named(name).title for name in ("Boxes", " BOX ", "boxes")} == {"boxes"}
    assert shape_named("link_kind") is shape_named("Link Kinds")
    assert shape_named("Sheet1") is None
