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

_CHECK = (
    Column("line", 13.0, bold=True),
    Column("name", 38.0, bold=True),
    Column("port", 24.0),
    Column("cable", 20.0),
    Column("zone", 18.0),
    Column("level", 16.0),
    Column("phantom", 12.0),
    Column("ok", 8.0, align="middle", tick=True),
    Column("faulty", 10.0, align="middle", tick=True),
    Column("symptom", 18.0, write=True),
    Column("by", 9.0, write=True),
)
_BLANKS = (("show", 62.0), ("date", 34.0), ("began", 26.0), ("signed off by", 64.0))
_LEAST_ROW = 6.4


def check_sheet(rig: Rig, pen: Pen) -> Iterator[Band | NewPage]:
    """Every line, inputs first, by number."""
    yield NewPage("line check sheet")
    yield from title(pen, "Line check")
    yield _blanks(pen)
    yield space(3.0)
    yield from lines_of(pen, f"symptom: {', '.join(SYMPTOMS)}", WIDTH, NOTE_MM)
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
        said = pen.words(words, (left, -height + 1.2), BODY_MM, tone="quiet")
        shapes += [said, Stroke(((said.rect.right + 1.5, -height + 0.6), (left + wide - 4.0, -height + 0.6)), 0.2)]
        left += wide
    return Band(height, tuple(shapes))
