"""Tables: in another language each column has room for its words, and all of them together are as wide as before."""

import pytest

from checkapp.page import fonts
from checkapp.page.drawing import Stroke, Words
from checkapp.page.pen import Pen
from checkapp.page.table import Column, Row, table
from checkapp.tongue import speaking

COLUMNS = (Column("kind", 12.0), Column("by", 6.0, write=True), Column("why", 60.0, lines=3))
LONG = "a text that is so long that it takes two lines even where it has all of the room that there is for it"


def drawn(code, *rows):
    with speaking(code):
        bands = table(COLUMNS, [Row(cells) for cells in rows], Pen(fonts.measure))
    return [shape for band in bands for shape in band.shapes]


def texts(shapes):
    return [shape.text for shape in shapes if isinstance(shape, Words)]


def test_in_english_widths_are_as_they_are_laid_out():
    found = texts(drawn("en", ("Einspeisung", "", "short")))
    assert found[:3] == ["kind", "by", "why"]
    assert "Einspeisung" not in found
    assert "".join(found[3:-1]) == "Einspeisung"


@pytest.mark.parametrize("why", ["short", LONG])
def test_in_german_no_title_is_cut_no_word_broken_and_the_table_is_as_wide(why):
    shapes = drawn("de", ("Einspeisung", "", why))
    found = texts(shapes)
    assert found[:4] == ["Art", "von", "warum", "Einspeisung"]
    assert " ".join(found[4:]) == why
    assert max(shape.rect.right for shape in shapes if isinstance(shape, Stroke)) == pytest.approx(78.0, abs=0.2)
    columns = sorted({shape.x for shape in shapes if isinstance(shape, Words)})
    assert columns[2] - columns[1] == pytest.approx(6.0)  # room to write in is not taken


def test_no_more_is_given_than_the_others_can_spare():
    shapes = drawn("de", ("W" * 40, "", LONG))
    columns = sorted({shape.x for shape in shapes if isinstance(shape, Words)})
    assert columns[1] == pytest.approx(18.01)
    assert " ".join(texts(shapes)[-2:]).endswith("for it")
