"""Rows to lines: numbers, ranges, pairs, ports, levels and phantom power, cell by cell and row by row."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.codes import CODE_PATTERN
from checkapp.rig.planfile import load_plan
from checkapp.sheets.cells import (
    MOST_IN_RANGE,
    Numbers,
    box_code,
    guess_level,
    phantom_beside,
    read_level,
    read_numbers,
    read_phantom,
    read_plugged,
)
from checkapp.sheets.input_list import read_list
from checkapp.sheets.starting_plan import starting_plan
from checkapp.sheets.table import Row, Sheet


def sheet(*rows, name="A", hidden=(), notes=()):
    return Sheet(name, tuple(Row(at, cells, at in hidden) for at, cells in enumerate(rows, 1)), notes)


def read(*rows, **more):
    return read_list(sheet(*rows, **more))


@pytest.mark.parametrize(
    ("text", "first", "last", "pair"),
    [
        ("7", 7, 7, False),
        ("007", 7, 7, False),
        ("Ch 7", 7, 7, False),
        ("CH.7", 7, 7, False),
        ("Kanal 12", 12, 12, False),
        ("voie 3", 3, 3, False),
        ("1-8", 1, 8, False),
        ("1 – 8", 1, 8, False),
        ("1 to 8", 1, 8, False),
        ("1 bis 8", 1, 8, False),
        ("Ch 1 - Ch 8", 1, 8, False),
        ("1/2", 1, 2, True),
        ("1 + 2", 1, 2, True),
        ("1 & 2", 1, 2, True),
        ("1,2", 1, 2, True),
        ("31/2", 31, 32, True),
        ("31-4", 31, 34, False),
        ("2031-01-08", 1, 8, False),
        ("02.01.2031", 1, 2, True),
        ("1/8/2031", 1, 8, False),
    ],
)
def test_numbers_of_lines(text, first, last, pair):
    found = read_numbers(text)
    assert (found.first, found.last, found.pair) == (first, last, pair)


@pytest.mark.parametrize(
    "text", ["", "x", "0", "-1", "1.5", "8-1", "1/3", "1-1", "1-9999", "tbc", "1-2-3", "9999999", "²"]
)
def test_what_is_no_number_of_a_line(text):
    assert read_numbers(text) is None


@given(st.integers(1, 999_999))
def test_every_number_of_a_line_is_read(number):
    assert read_numbers(str(number)) == Numbers(number, number)


@given(st.integers(1, 99_000), st.integers(1, MOST_IN_RANGE - 1))
def test_every_range_is_read(first, more):
    found = read_numbers(f"{first}-{first + more}")
    assert (found.first, found.last) == (first, first + more)


@pytest.mark.parametrize(
    ("text", "way"), [("Out 3", "out"), ("AUX 3", "out"), ("Mix3", "out"), ("In 3", "in"), ("3", None)]
)
def test_a_number_may_say_the_direction(text, way):
    assert read_numbers(text).direction == way


@given(st.text(max_size=30))
def test_no_cell_is_too_odd(text):
    for reader in (read_numbers, read_phantom, read_level, guess_level, phantom_beside):
        reader(text)
    plugged = read_plugged(text, "")
    assert plugged is None or 0 < plugged.port <= 512
    code = box_code(text)
    assert code is None or re.fullmatch(CODE_PATTERN, code)


@pytest.mark.parametrize(
    ("box", "port", "expected"),
    [
        ("SB1", "3", ("SB1", 3)),
        ("SB1-3", "", ("SB1", 3)),
        ("sb1 in 3", "", ("SB1", 3)),
        ("SB1/3", "", ("SB1", 3)),
        ("SB1.3", "", ("SB1", 3)),
        ("A3", "", ("A", 3)),
        ("Drums 4", "", ("DRUMS", 4)),
        ("Drop 1 ch 4", "", ("DROP-1", 4)),
        ("SR", "SR-5", ("SR", 5)),
        ("Left box", "in 2", ("LEFT-BOX", 2)),
        ("Stage left box", "2", ("STAGE-LEFT", 2)),
        ("The one by the door", "2", None),
        ("", "7", ("BOX", 7)),
        ("", "B7", ("B", 7)),
        ("Desk", "5", ("DESK", 5)),
        ("A", "600", None),
        ("A", "0", None),
        ("A", "", None),
        ("7", "", None),
    ],
)
def test_ports(box, port, expected):
    found = read_plugged(box, port)
    assert (found and (found.code, found.port)) == expected


@pytest.mark.parametrize(
    ("source", "level"),
    [
        ("DI", "mic"),
        ("Active DI box", "mic"),
        ("Keys DI", "mic"),
        ("Laptop", "line"),
        ("CD player", "line"),
        ("Hi-Z", "instrument"),
        ("small condenser", "mic"),
        ("Mikrofon", "mic"),
        ("QX-57", None),
        ("", None),
        ("decline", None),
    ],
)
def test_levels_that_source_words_speak_for(source, level):
    assert (guess_level(source) or (None,))[0] == level


def test_a_guessed_level_is_stated_and_a_written_one_is_not():
    rows = read(
        ("Ch", "Name", "Mic", "Level"), ("1", "Bass", "DI", ""), ("2", "Tape", "DI", "line"), ("3", "Harp", "", "")
    ).rows
    assert rows[1].notes == ('level mic, guessed from "di"',)
    assert rows[2].notes == ()
    assert rows[3].notes == ("level mic: nothing says otherwise",)


def test_what_each_row_became():
    found = read(
        ("Night of Reeds",),
        ("Ch", "Name", "Mic"),
        ("WINDS",),
        ("1", "Oboe", "cond"),
        ("",),
        ("2", "", ""),
        ("x", "Flute", "cond"),
        ("Total", "1"),
    )
    assert [row.became for row in found.rows] == [
        *("title", "headings", "section", "lines", "blank", "unused", "left out", "total"),
    ]
    assert found.rows[6].unclear == ('"x" is no number of a line: left out',)
    assert found.rows[6].text == "x | Flute | cond"


def test_a_box_whose_name_is_too_long_for_a_code_is_shortened_and_that_is_said():
    found = read(("Ch", "Name", "Box", "Port"), ("1", "Kick", "Stage left box", "2"), ("2", "Hat", "SB1", "2"))
    assert [line.plugged.code for line in found.lines] == ["STAGE-LEFT", "SB1"]
    assert 'box "Stage left box" is STAGE-LEFT here' in found.rows[1].notes
    assert not any("is SB1 here" in note for note in found.rows[2].notes)


def test_a_line_that_is_named_like_a_total_is_a_line():
    found = read(("Ch", "Name"), ("1", "Total eclipse synth"), ("2", "Sum bus"), ("Total", "2"), ("", "Total lines: 2"))
    assert [row.became for row in found.rows] == ["headings", "lines", "lines", "total", "total"]


def test_texts_under_the_list_are_no_sections():
    found = read(("Ch", "Name"), ("DRUMS",), ("1", "Kick"), ("",), ("Please no smoke.",), ("Thanks",))
    assert [row.became for row in found.rows] == ["headings", "section", "lines", "blank", "text", "text"]


def test_a_hidden_row_is_left_out_and_keeps_no_number():
    found = read(("Ch", "Name"), ("1", "Old"), ("1", "New"), hidden=(2,))
    assert [line.name for line in found.lines] == ["New"]
    assert found.rows[1].unclear == ("a hidden row",)


def test_a_hidden_heading_of_a_section_is_no_zone():
    found = read(("Ch", "Name"), ("DRUMS",), ("1", "Kick"), hidden=(2,))
    assert found.lines[0].zone == ""
    assert found.rows[1].became == "left out"


def test_the_tab_of_the_sheet_says_the_direction():
    assert read(("Nr", "Name"), ("1", "Front"), name="Ausgänge").lines[0].line == "out 1"
    assert read(("Nr", "Name"), ("1", "Front"), name="Sorties 2").lines[0].line == "out 1"
    assert read(("Nr", "Name"), ("1", "Front"), name="Blatt 1").lines[0].line == "in 1"


def test_an_output_keeps_what_only_inputs_have_in_its_note():
    found = read(("Out", "Name", "Stand", "Mic"), ("1", "Wedge", "tilted", "amp 3"))
    assert (found.lines[0].note, found.lines[0].stand, found.lines[0].level) == ("amp 3; tilted", "", None)


@pytest.mark.parametrize(
    ("name", "number", "names"),
    [
        ("Keys", "1/2", ("Keys L", "Keys R")),
        ("Keys L/R", "1/2", ("Keys L", "Keys R")),
        ("Keys L+R", "1-2", ("Keys L", "Keys R")),
        ("Keys (L/R)", "1/2", ("Keys L", "Keys R")),
        ("Keys li/re", "1/2", ("Keys li", "Keys re")),
        ("Clavier G/D", "1/2", ("Clavier G", "Clavier D")),
        ("Keys stereo", "1-2", ("Keys L", "Keys R")),
        ("Keys 1/2", "1/2", ("Keys 1", "Keys 2")),
        ("Keys 3+4", "1/2", ("Keys 3", "Keys 4")),
        ("Toms", "1-2", ("Toms 1", "Toms 2")),
        ("Toms 1-3", "1-3", ("Toms 1", "Toms 2", "Toms 3")),
        ("Toms 1-3", "1-2", ("Toms 1-3 1", "Toms 1-3 2")),
        ("Keys L/R", "1", ("Keys L/R",)),
    ],
)
def test_names_of_ranges_and_pairs(name, number, names):
    assert tuple(line.name for line in read(("Ch", "Name"), (number, name)).lines) == names


_cells = st.lists(st.text(max_size=12), max_size=6).map(tuple)
_listish = st.sampled_from(
    [
        ("Ch", "Name", "48V"),
        ("1", "Kick", "x"),
        ("2/3", "OH", ""),
        ("DRUMS",),
        ("Out", "Name"),
        ("Total", "3"),
        ("", ""),
        ("1-4", "A"),
    ]
)


@given(st.lists(st.one_of(_listish, _cells), max_size=12), st.sets(st.integers(1, 12)))
def test_no_sheet_is_too_odd_and_no_row_goes_silently(rows, hidden):
    found = read(*(tuple(cell.strip() for cell in cells) for cells in rows), hidden=hidden)
    content = starting_plan(found.lines, "A", "A", "a.csv").encode()
    assert [line.line for line in load_plan(Path("a.toml"), content).lines] == sorted(
        (line.line for line in found.lines), key=lambda line: (line[:2] == "ou", int(line.split()[1]))
    )
    assert [row.number for row in found.rows] == list(range(1, len(rows) + 1))
    assert len({line.line for line in found.lines}) == len(found.lines)
    for row in found.rows:
        assert bool(row.lines) == (row.became == "lines")
        assert row.became != "left out" or row.unclear
