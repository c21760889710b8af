"""Labels as PDF, in true millimetres, everything vector: pages of a sheet, or one label a page."""

import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from checkapp.page import fonts
from checkapp.rig.errors import CheckappError
from checkapp.rig.writing import replace_file
from checkapp.tags.layout import Step
from checkapp.tags.margins import margins, sheet_title
from checkapp.tags.parts import LEAST_EDGE_MM, Code, Layout, Words
from checkapp.tags.qr import bars
from checkapp.tags.stock import Place, Stock

Drawn = TypeVar("Drawn")
_HAIRLINE_MM = 0.1
_TOLERANCE_MM = 1e-6
_CORNER = Place(0.0, 0.0)


class StartRefused(CheckappError):
    """A first label that the page of a stock does not have."""


class NudgeRefused(CheckappError):
    """A nudge that would push labels off the page."""


@dataclass(frozen=True, slots=True)
class Where:
    """Where printing starts: the first label of the first page, counted from 1 row by row, and a nudge in mm.

    A nudge moves everything on a page to the right and down, to make up for a printer that is a little off.
    """

    start: int = 1
    right_mm: float = 0.0
    down_mm: float = 0.0


AS_IT_IS = Where()
"""From the first label, with no nudge."""


def write_pdf(
    drawn: Sequence[Layout], stock: Stock, out: Path, title: str, where: Where = AS_IT_IS, step: Step | None = None
) -> int:
    """Write labels that are laid out for the stock to the PDF file ``out``; how many pages it has.

    The file is replaced as a whole or not touched; the same input gives the same bytes. ``step`` is
    called for each label. Errors: `StartRefused`, `NudgeRefused`, `FileNotWritten`.
    """
    check_where(stock, where)
    pages = list(pages_of(drawn, stock, where.start))
    content = io.BytesIO()
    size = (stock.page_width_mm * mm, stock.page_height_mm * mm)
    canvas = Canvas(content, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle(title)
    canvas.setViewerPreference("PrintScaling", "None")
    for number, page in enumerate(pages, 1):
        sheet = _Sheet(canvas, stock, where)
        if stock.paged:
            margins(sheet, stock, sheet_title(title, number, len(pages)))
        for place, label in page:
            sheet.label(place, label)
            if step:
                step()
        canvas.showPage()
    canvas.save()
    replace_file(out, content.getvalue())
    return len(pages)


def check_where(stock: Stock, where: Where) -> None:
    """Refuse a start that the stock does not have, or a nudge that it does not take: `StartRefused`, `NudgeRefused`."""
    most = len(stock.places)
    if not 1 <= where.start <= most:
        right = f"a page has labels 1 to {most}" if most > 1 else "with one label a page every label is the first"
        raise StartRefused(f"no label {where.start} to start at; {right}")
    for side, nudge_mm, room in (
        ("right", where.right_mm, stock.room_across),
        ("down", where.down_mm, stock.room_down),
    ):
        least_mm, most_mm = -room[0] - LEAST_EDGE_MM, room[1] + LEAST_EDGE_MM
        if not least_mm - _TOLERANCE_MM <= nudge_mm <= most_mm + _TOLERANCE_MM:
            raise NudgeRefused(
                f"a nudge of {nudge_mm:g} mm {side} would print beside the page; "
                f"{least_mm:.4g} to {most_mm:.4g} mm are possible"
            )
        if abs(10 * nudge_mm - round(10 * nudge_mm)) > _TOLERANCE_MM:
            tenth_mm = round(nudge_mm, 1)
            raise NudgeRefused(f"a nudge of {nudge_mm:g} mm {side} is finer than 0.1 mm; say {tenth_mm:g}")


def pages_of(drawn: Sequence[Drawn], stock: Stock, start: int = 1) -> Iterator[list[tuple[Place, Drawn]]]:
    """What stands on each page and where, labels or what stands for them; the first page begins at ``start``."""
    places = stock.places
    free = places[start - 1 :]
    yield list(zip(free, drawn, strict=False))
    for first in range(len(free), len(drawn), len(places)):
        yield list(zip(places, drawn[first:], strict=False))


class _Sheet:
    """One page being drawn; all measures in mm from its left and top edge."""

    def __init__(self, canvas: Canvas, stock: Stock, where: Where) -> None:
        self._canvas = canvas
        self._stock = stock
        self._where = where
        canvas.setLineWidth(_HAIRLINE_MM * mm)

    def label(self, place: Place, drawn: Layout) -> None:
        """Draw one label."""
        for code in drawn.codes:
            self._code(place, code)
        for words in drawn.words:
            self.write(words, place)

    def line(self, x1_mm: float, y1_mm: float, x2_mm: float, y2_mm: float) -> None:
        """A hairline."""
        self._canvas.line(self._across(x1_mm), self._up(y1_mm), self._across(x2_mm), self._up(y2_mm))

    def write(self, words: Words, place: Place = _CORNER) -> None:
        """A line of type on a label that stands there."""
        turn = -1 if words.turned else 1
        text = self._canvas.beginText()
        x, y = self._across(place.left_mm + words.left_mm), self._up(place.top_mm + words.base_mm)
        text.setTextTransform(turn, 0, 0, turn, x, y)
        for piece in fonts.pieces(words.text, words.face):
            text.setFont(piece.font, words.size_mm * mm)
            text.textOut(piece.text)
        self._canvas.drawText(text)

    def _code(self, place: Place, code: Code) -> None:
        """A QR symbol in units of its modules, its corner on a dot of the printer."""
        left = self._across(self._on_dot(place.left_mm + code.left_mm, self._where.right_mm))
        top = self._up(self._on_dot(place.top_mm + code.top_mm, self._where.down_mm))
        unit = code.module_mm * mm
        self._canvas.saveState()
        self._canvas.transform(unit, 0, 0, -unit, left, top)
        squares = [f"{bar.column} {bar.row} {bar.width} {bar.height} re" for bar in bars(code.symbol)]
        self._canvas.drawPath(PDFPathObject(["n", *squares]), stroke=0, fill=1)
        self._canvas.restoreState()

    def _on_dot(self, at_mm: float, nudge_mm: float) -> float:
        """The nearest place that is a whole number of dots from the page's edge once it is nudged."""
        dot_mm = self._stock.dot_mm
        return math.floor((at_mm + nudge_mm) / dot_mm + 0.5) * dot_mm - nudge_mm

    def _across(self, right_mm: float) -> float:
        """A PDF page's x, in points from its left edge."""
        return float((right_mm + self._where.right_mm) * mm)

    def _up(self, down_mm: float) -> float:
        """A PDF page's y, in points from its bottom edge."""
        return float((self._stock.page_height_mm - down_mm - self._where.down_mm) * mm)
