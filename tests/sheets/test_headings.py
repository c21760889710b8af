"""Columns are found by their words, in six languages and any order; what is no word of ours is not guessed at."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.sheets.grid import letters
from checkapp.sheets.heading_words import EITHER, OUTPUT_NAMES, OUTPUT_NUMBERS, PHRASES, TOTALS
from checkapp.sheets.headings import by_content, continued, fold, read_headings
from checkapp.sheets.input_list import read_list
from checkapp.sheets.preview import MapRefused, read_map
from checkapp.sheets.table import Row, Sheet

FIELDS = ("number", "name", "source", "phantom", "level", "stand", "note", "zone", "box")
WORDS = {
    "English": (
        "Channel",
        "Input Name",
        "Mic/DI",
        "Phantom +48V",
        "Signal level",
        "Stand",
        "Comments",
        "Position",
        "Stage box",
    ),
    "German": (
        "Kanal-Nr.",
        "Bezeichnung",
        "Mikrofon",
        "Phantomspeisung",
        "Pegel",
        "Stativ",
        "Bemerkungen",
        "Bühnenposition",
        "Bühnenbox",
    ),
    "French": (
        "Voie",
        "Désignation",
        "Micro / DI",
        "Alim. fantôme",
        "Niveau",
        "Pied de micro",
        "Remarques",
        "Emplacement",
        "Boîtier",
    ),
    "Spanish": (
        "Canal",
        "Descripción",
        "Micrófono",
        "Alimentación phantom",
        "Nivel de señal",
        "Soporte",
        "Observaciones",
        "Ubicación",
        "Cajetín",
    ),
    "Italian": (
        "Canale",
        "Nome",
        "Microfono",
        "Alimentazione phantom",
        "Livello",
        "Asta",
        "Annotazioni",
        "Posizione",
        "Ciabatta",
    ),
    "Dutch": (
        "Kanaal",
        "Omschrijving",
        "Microfoon",
        "Fantoomvoeding",
        "Niveau",
        "Statief",
        "Opmerkingen",
        "Plek",
        "Podiumkast",
    ),
}
YES = {"English": "yes", "German": "ja", "French": "oui", "Spanish": "sí", "Italian": "si", "Dutch": "ja"}
LEVELS = {
    "English": "line",
    "German": "Line",
    "French": "ligne",
    "Spanish": "línea",
    "Italian": "linea",
    "Dutch": "lijn",
}


def row(*cells, number=1):
    return Row(number, cells)


def fields(*cells, asked=None):
    blocks = read_headings(row(*cells), asked)
    return [heading.field for block in blocks for heading in block.headings]


@given(
    language=st.sampled_from(sorted(WORDS)),
    order=st.permutations(range(len(FIELDS))),
    shout=st.booleans(),
    above=st.integers(0, 3),
    left=st.integers(0, 2),
)
def test_a_clean_list_is_the_same_in_any_order_of_columns_and_any_language(language, order, shout, above, left):
    words = [word.upper() if shout else word for word in WORDS[language]]
    rows = [
        ("1", "Kettle drum", "clip", YES[language], "", "short", "mind the skin", "Left", "SB1-4"),
        ("2", "Tape", "deck", "", LEVELS[language], "", "", "Right", ""),
    ]
    blank = [("",)] * above
    table = [*blank, *(("",) * left + tuple(cells[at] for at in order) for cells in (words, *rows))]
    read = read_list(Sheet("x", tuple(Row(at, cells) for at, cells in enumerate(table, 1))))
    first, second = read.lines
    assert (first.line, first.name, first.level, first.phantom) == ("in 1", "Kettle drum", "mic", True)
    assert (first.stand, first.note, first.zone) == ("short", "clip; mind the skin", "Left")
    assert (first.plugged.code, first.plugged.port) == ("SB1", 4)
    assert (second.line, second.name, second.level, second.phantom) == ("in 2", "Tape", "line", False)
    assert (second.stand, second.note, second.zone, second.plugged) == ("", "deck", "Right", None)
    assert not read.unclear
    assert not any(found.unclear for found in read.rows)


def test_every_word_is_written_as_it_is_looked_up():
    for words in (*PHRASES.values(), EITHER, OUTPUT_NUMBERS, OUTPUT_NAMES, TOTALS):
        assert {word for word in words if fold(word) != word} == set()


def test_no_word_means_two_things():
    seen = {}
    for field, words in (*PHRASES.items(), ("either", EITHER), ("out", OUTPUT_NUMBERS), ("out name", OUTPUT_NAMES)):
        for word in words:
            assert seen.setdefault(word, field) == field, word


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Ch. No.", "ch no"),
        ("BÜHNE", "buhne"),
        ("Größe", "grosse"),
        ("  Mic/DI ", "mic di"),
        ("+48V", "48v"),
        ("Nº", "no"),
    ],
)
def test_case_accents_and_signs_do_not_matter(text, folded):
    assert fold(text) == folded


def test_source_and_instrument_are_the_name_unless_there_is_one():
    assert fields("Ch", "Source", "Mic") == ["number", "name", "source"]
    assert fields("Ch", "Name", "Source") == ["number", "name", "source"]
    assert fields("Ch", "Instrument", "Source") == ["number", "name", "source"]
    assert fields("Quelle", "Kanal") == ["name", "number"]


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Mic stand", "stand"),
        ("Input name", "name"),
        ("Stage box", "box"),
        ("Stage box #", "box"),
        ("Box channel", "port"),
        ("Phantom (48V)", "phantom"),
        ("Stand / Clip", "stand"),
        ("Preferred mic", "source"),
        ("Stage position", "zone"),
    ],
)
def test_headings_of_several_words(heading, field):
    assert fields("Ch", heading)[1] == field


@pytest.mark.parametrize("cells", [("Ch", "7"), ("1", "Kick", "Mic"), ("Thursday", "the 5th"), ("Name",), ("",), ()])
def test_rows_that_are_no_headings(cells):
    assert fields(*cells) == []


def test_a_column_of_outputs_that_is_no_list_makes_no_outputs():
    (block,) = read_headings(row("Ch", "Name", "Mic", "Out"))
    assert block.direction == "in"
    assert block.headings[3].field is None


def test_what_a_person_says_goes_before_the_words():
    assert fields("Ch", "Name", "Mic", asked={"mic": "name", "name": "ignore"}) == ["number", "ignore", "name"]
    assert fields("Ch", "Blurb", asked={"column b": "name"}) == ["number", "name"]


def test_lists_side_by_side_are_two():
    blocks = read_headings(row("Ch", "Name", "Mic", "", "Out", "Destination"))
    assert [(block.direction, sorted(block.fields)) for block in blocks] == [
        ("in", ["name", "number", "source"]),
        ("out", ["name", "number"]),
    ]


def test_a_second_row_of_headings_parts_what_the_first_one_spans():
    first = read_headings(row("Ch", "Name", "Stage box", ""))
    (block,) = continued(first, row("", "", "Box", "Port", number=2))
    assert [(heading.column, heading.field) for heading in block.headings] == [
        (0, "number"),
        (1, "name"),
        (2, "box"),
        (3, "port"),
    ]
    assert continued(first, row("1", "Kick", "A", "3", number=2)) == ()


def test_columns_by_content():
    (block,) = by_content([row("x", "1", "Kick"), row("", "2", "Snare"), row("", "3", "Hat")])
    assert (block.column("number"), block.column("name")) == (1, 2)
    assert by_content([row("a", "b"), row("c", "d")]) == ()


@given(st.integers(0, 16383))
def test_letters_of_columns_are_those_of_spreadsheet_programs(column):
    from openpyxl.utils import get_column_letter

    assert letters(column + 1) == get_column_letter(column + 1)


def test_maps():
    assert read_map("Ch=number, Quelle = name") == {"ch": "number", "quelle": "name"}
    assert read_map("a=b=name") == {"a b": "name"}


@pytest.mark.parametrize(
    ("text", "said"),
    [("Ch", "is no pair"), ("=name", "is no pair"), ("Ch=nummer", "fields are number, name"), ("", "is no pair")],
)
def test_maps_that_cannot_be(text, said):
    with pytest.raises(MapRefused, match=said):
        read_map(text)


@pytest.mark.parametrize(
    ("headings", "expected"),
    [
        ("Ch|Input|Mic|Stand|Insert|Notes", "number name source stand ignore note"),
        (
            "Channel Number|Channel Name|Microphone Type|Mic Stand|Phantom Power (Y/N)",
            "number name source stand phantom",
        ),
        (
            "Kanal|Instrument|Mikrofon / DI|Phantom|Stativ|Position|Stagebox / Port",
            "number name source phantom stand zone port",
        ),
        ("Nr.|Eingang|Mikro-Wunsch|Alternativ|Stativ|48 V", "number name source note stand phantom"),
        ("Tranche|Source|Micro|Pied|Patch|48v", "number name source stand box phantom"),
        ("Nº|Canal|Micrófono/DI|Soporte|Phantom", "number name source stand phantom"),
        ("N.|Canale|Microfono o DI|Asta|Phantom|Ciabatta", "number name source stand phantom box"),
        ("Kanaal|Bron|Mic/DI|Statief|48V|Opmerking|Stageblok", "number name source stand phantom note box"),
        ("FOH|MON|Instrument|Mic|Stand", "number ignore name source stand"),
        ("Desk Ch|Stage Rack|Input|Name|Mic", "number box port name source"),
        ("Ausgang|Ziel|Typ|Bemerkung", "number name source note"),
        ("Ch|Instr.|Mic.|Std.|Ph.", "number name source stand phantom"),
    ],
)
def test_headings_as_lists_have_them(headings, expected):
    assert " ".join(map(str, fields(*headings.split("|")))) == expected
