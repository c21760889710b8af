"""Number and name in one cell: the ways in which they are written, and what is left whole."""

import pytest

from checkapp.sheets.input_list import read_list
from checkapp.sheets.preview import NoList, preview
from checkapp.sheets.table import Row, Sheet


def sheet(*rows):
    return Sheet("List", tuple(Row(number, cells) for number, cells in enumerate(rows, 1)))


def names(found):
    return [(line.line, line.name) for line in found.lines]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    "form",
    ["{} {}", "{}. {}", "{}.{}", "0{} - {}", "{}: {}", "{}) {}", "Ch {}: {}", "Input {} {}", "CH{} {}", "{}- {}"],
)
def test_ways_of_writing_number_and_name(form):
    found = read_list(sheet(*((form.format(at, name),) for at, name in enumerate(("Kick", "Snare", "Hat"), 1))))
    assert names(found) == [("in 1", "Kick"), ("in 2", "Snare"), ("in 3", "Hat")]
    assert "column A: number and name in one cell, read apart" in found.notes
    assert found.rows[0].text == form.format(1, "Kick")


@pytest.mark.closed_form
@pytest.mark.parametrize("form", ["{}st {}", "{}-string {}", "{}V {}", "{}{}", "{} "])
def test_what_only_looks_like_a_number_and_a_name(form):
    rows = [(form.format(at, name),) for at, name in enumerate(("harp", "harp", "harp"), 1)]
    with pytest.raises(NoList):
        preview([sheet(*rows)])


def test_a_column_that_a_person_names_otherwise_stays_whole():
    rows = [("Who", "Mic"), ("1 Kick", "clip"), ("2 Snare", "clip"), ("3 Hat", "clip")]
    assert read_list(sheet(*rows)).lines[0].name == "Kick"
    found = read_list(sheet(*rows), {"who": "note"})
    assert [(line.name, line.note) for line in found.lines][:1] == [("clip", "1 Kick")]


def test_less_than_most_cells_or_numbers_that_do_not_follow_are_left_whole():
    few = [
        ("Name", "Mic"),
        ("1 Kick", "x"),
        ("2 Snare", "x"),
        ("3 Hat", "x"),
        ("Oboe", "x"),
        ("Harp", "x"),
        ("Horn", "x"),
    ]
    assert names(read_list(sheet(*few)))[0] == ("in 1", "1 Kick")
    loose = [("Name", "Mic"), ("4 Toms", "x"), ("2 Horns", "x"), ("9 Voices", "x")]
    assert names(read_list(sheet(*loose))) == [("in 1", "4 Toms"), ("in 2", "2 Horns"), ("in 3", "9 Voices")]


def test_a_wide_sheet_of_such_texts_is_looked_through_quickly():
    import time

    wide = sheet(*(tuple(f"a{row}b{column} 1 - " * 8 for column in range(256)) for row in range(400)))
    begin = time.perf_counter()
    read_list(wide)
    assert time.perf_counter() - begin < 5.0
