"""Drawings in millimetres as the pages of a PDF, everything vector, type as type."""

import io
from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from checkapp.page import fonts
from checkapp.page.drawing import GREYS, Area, Drawing, Stroke, Words
from checkapp.page.rect import Point


def pdf_bytes(pages: Sequence[Drawing], title: str, sections: Sequence[str] = ()) -> bytes:
    """One page for each drawing, of the size of its extent in mm. The same drawings give the same bytes.

    ``sections`` names what each page belongs to; a reader's list of contents then shows where each one begins.
    """
    content = io.BytesIO()
    canvas = Canvas(content, pageCompression=1, invariant=1)
    canvas.setTitle(title)
    canvas.setLineJoin(1)
    for number, page in enumerate(pages):
        if sections and sections[number] not in sections[:number]:
            canvas.bookmarkPage(f"page {number}")
            canvas.addOutlineEntry(sections[number], f"page {number}", 0)
        canvas.setPageSize((page.extent.width * mm, page.extent.height * mm))
        sheet = _Sheet(canvas, page.extent.left, page.extent.bottom)
        for part in page.parts():
            sheet.draw(part)
        canvas.showPage()
    canvas.save()
    return content.getvalue()


class _Sheet:
    def __init__(self, canvas: Canvas, left: float, bottom: float) -> None:
        self._canvas = canvas
        self._left, self._bottom = left, bottom

    def draw(self, part: Area | Stroke | Words) -> None:
        """Draw one part."""
        grey = GREYS[part.tone]
        if isinstance(part, Words):
            self._canvas.setFillGray(grey)
            self._write(part)
        elif isinstance(part, Area):
            self._canvas.setFillGray(grey)
            self._trace(part.points, filled=True)
        else:
            self._canvas.setStrokeGray(grey)
            self._canvas.setLineWidth(part.width * mm)
            for points in part.dashes():
                self._trace(points, filled=False)

    def _trace(self, points: Sequence[Point], *, filled: bool) -> None:
        path = self._canvas.beginPath()
        path.moveTo(*self._at(points[0]))
        for point in points[1:]:
            path.lineTo(*self._at(point))
        if filled:
            path.close()
        self._canvas.drawPath(path, stroke=not filled, fill=filled)

    def _write(self, words: Words) -> None:
        face = fonts.bold_face() if words.bold else fonts.plain_face()
        left, base = self._at((words.left, words.y))
        for piece in fonts.pieces(words.text, face):
            self._canvas.setFont(piece.font, words.size * mm)
            self._canvas.drawString(left, base, piece.text)
            left += fonts.piece_width(piece) * words.size * mm

    def _at(self, point: Point) -> Point:
        return (point[0] - self._left) * mm, (point[1] - self._bottom) * mm
