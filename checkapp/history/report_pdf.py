"""The history on paper, A4: one page of conclusions, then figures and tables, then method and sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from checkapp.history.conclusions import NAMED, NOTHING, WHAT_TO_DO, conclusions, headline, is_empty
from checkapp.history.figure_drawing import drawing_of
from checkapp.history.figures import all_figures
from checkapp.history.method import method
from checkapp.history.printed import printed
from checkapp.page import fonts
from checkapp.page.bands import Band, NewPage, Page, kept, lines_of, paged, placed, side_by_side, space, together
from checkapp.page.drawing import Drawing, Shape, Stroke
from checkapp.page.pdf import pdf_bytes
from checkapp.page.pen import Pen
from checkapp.page.rect import Rect
from checkapp.page.table import table
from checkapp.review.paper.look import NOTE_MM, WIDTH, heading
from checkapp.rig.errors import printable
from checkapp.tongue import shown_word, tr
from checkapp.tongue.numbers import paper_day

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from checkapp.history.analysis import History

_PAGE: Final = Rect(0.0, 0.0, 210.0, 297.0)  # ISO A4 (ISO 216), upright, in mm
_LEFT: Final = (_PAGE.width - WIDTH) / 2
_TOP, _FOOT = 276.0, 13.0
_FIRST, _BODY = 3.6, 3.2
_TABLE: Final = 2.6
_SMALL: Final = 12
"""A table of up to so many lines stays on one page."""
_INDENT: Final = 46.0
_BETWEEN: Final = 3.0


def pdf_report(history: History, today: str, title: str) -> bytes:
    """The whole report; ``today`` and ``title`` are printed on each page. Nothing in it: one page that says so."""
    pen = Pen(fonts.measure)
    pages = paged(_items(history, pen), _TOP - _FOOT)
    drawings = [
        Drawing(_PAGE, tuple(_page(pen, page, title, today, f"{number}/{len(pages)}")))
        for number, page in enumerate(pages, 1)
    ]
    return pdf_bytes(drawings, printable(title), [page.section for page in pages])


def _items(history: History, pen: Pen) -> Iterator[Band | NewPage]:
    yield NewPage(tr("Conclusions"))
    if is_empty(history):
        yield from lines_of(pen, shown_word(NOTHING), WIDTH, 4.6, bold=True)
        yield space(_BETWEEN)
        yield from lines_of(pen, shown_word(WHAT_TO_DO), WIDTH, _FIRST)
        return
    yield from _first_page(history, pen)
    yield NewPage(tr("Figures"))
    for figure in all_figures(history):
        yield from _figure(figure)
    yield NewPage(tr("Tables"))
    yield from _tables(history, pen)
    yield NewPage(tr("Method and sources"))
    for topic, words in method(history):
        yield from _told(pen, topic, [words])


def _first_page(history: History, pen: Pen) -> list[Band]:
    """The conclusions, with as many names as one page takes."""
    found: list[Band] = []
    for most in range(NAMED, 0, -1):
        found = [*lines_of(pen, headline(history), WIDTH, 4.6, bold=True), space(_BETWEEN)]
        for one in conclusions(history, most):
            found += _told(pen, one.heading, one.lines, _FIRST)
        if sum(band.height for band in found) <= _TOP - _FOOT:
            break
    return found


def _told(pen: Pen, topic: str, lines: Sequence[str], size: float = _BODY) -> list[Band]:
    """A topic at the left and what there is to say of it beside, closed by a faint stroke."""
    left = lines_of(pen, topic, _INDENT - 4.0, size, bold=True)
    right = [band for words in lines for band in lines_of(pen, words, WIDTH - _INDENT, size)]
    end = Band(2.4, (Stroke(((0.0, -1.2), (WIDTH, -1.2)), 0.15, tone="faint"),))
    return together([*side_by_side(left, right, _INDENT), end])


def _figure(figure: Figure) -> list[Band]:
    drawing = drawing_of(figure)
    height = drawing.extent.height
    return [*kept([Band(height, drawing.moved(1.0, 0.0, -height).shapes)]), space(_BETWEEN)]


def _tables(history: History, pen: Pen) -> Iterator[Band]:
    for part in printed(history):
        yield from heading(pen, part.heading)
        if part.words:
            yield from kept(lines_of(pen, part.words, WIDTH, NOTE_MM, tone="quiet"))
        bands = table(part.columns, part.rows, pen, size=_TABLE) if part.rows else []
        rest = [space(0.8), *lines_of(pen, part.rest, WIDTH, NOTE_MM)] if part.rest else []
        if len(bands) <= _SMALL:
            yield from together([*bands, *rest])
        else:  # what is said of the rows that are left out goes with the last one
            yield from bands[:-1]
            yield from together([*bands[-1:], *rest])


def _page(pen: Pen, page: Page, title: str, today: str, number: str) -> Iterator[Shape]:
    """What stands on every page: whose it is, from when, which page; and its bands."""
    right = _PAGE.width - _LEFT
    which = pen.words(tr("page {page}", page=number), (right, 284.5), 3.4, bold=True, align="right")
    yield which
    yield pen.words(title, (_LEFT, 284.5), 4.6, bold=True, most=WIDTH - which.width - 4.0)
    yield pen.words(page.section, (right, 280.2), 2.8, align="right")
    yield pen.words(tr("written {day}, times in UTC", day=paper_day(today)), (_LEFT, 280.2), 2.8, most=WIDTH - 40.0)
    yield Stroke(((_LEFT, 278.4), (right, 278.4)), 0.35)
    yield from placed(page.bands, _LEFT, _TOP)
