"""The line check sheet: every line with room for its verdict, its symptom and who heard it."""

from collections.abc import Iterator

from checkapp.page.bands import Band, NewPage, lines_of, space
from checkapp.page.drawing import Shape, Stroke
from checkapp.page.pen import Pen
from checkapp.page.table import Column, Row, table
from checkapp.review.paper.look import BODY_MM, NOTE_MM, WIDTH, level_cells, title
from checkapp.rig.hookup import cable_words
from checkapp.rig.model import Line
from checkapp.rig.rig import Rig
from checkapp.rig.words import SYMPTOMS
from checkapp.tongue import later, shown_word, tr

_CHECK = (
    Column("line", 13.0, bold=True),
    Column(later("name"), 38.0, bold=True),
    Column(later("port"), 24.0),
    Column(later("cable"), 20.0),
    Column(later("zone"), 18.0),
    Column(later("level"), 16.0),
    Column("phantom", 12.0),
    Column(later("ok"), 8.0, align="middle", tick=True),
    Column(later("faulty"), 10.0, align="middle", tick=True),
    Column(later("symptom"), 18.0, write=True),
    Column("by", 9.0, write=True),
)
_BLANKS = ((later("show"), 62.0), (later("date"), 34.0), (later("began"), 26.0), (later("signed off by"), 64.0))
_LEAST_ROW = 6.4


def check_sheet(rig: Rig, pen: Pen) -> Iterator[Band | NewPage]:
    """Every line, inputs first, by number."""
    yield NewPage(tr("line check sheet"))
    yield from title(pen, tr("Line check"))
    yield _blanks(pen)
    yield space(3.0)
    symptoms = ", ".join(shown_word(symptom) for symptom in SYMPTOMS)
    yield from lines_of(pen, tr("symptom: {symptoms}", symptoms=symptoms), WIDTH, NOTE_MM)
    yield space(1.6)
    yield from table(_CHECK, [_row(rig, line) for line in rig.lines], pen, least=_LEAST_ROW)


def _row(rig: Rig, line: Line) -> Row:
    cells = (line.line, line.name, line.port, cable_words(rig, line), line.zone or "", *level_cells(line))
    return Row((*cells, "", "", "", ""))


def _blanks(pen: Pen) -> Band:
    """Words with a rule after each, to write on."""
    height, left = 8.0, 0.0
    shapes: list[Shape] = []
    for words, wide in _BLANKS:
        said = pen.words(shown_word(words), (left, -height + 1.2), BODY_MM, tone="quiet")
        shapes += [said, Stroke(((said.rect.right + 1.5, -height + 0.6), (left + wide - 4.0, -height + 0.6)), 0.2)]
        left += wide
    return Band(height, tuple(shapes))
