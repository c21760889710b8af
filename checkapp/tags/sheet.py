"""Label sheets and rolls as PDF, in true millimetres, everything vector."""

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from checkapp.page import fonts
from checkapp.rig.errors import CheckappError
from checkapp.rig.writing import replace_file
from checkapp.tags.label import Label
from checkapp.tags.layout import Layout, layout
from checkapp.tags.qr import bars
from checkapp.tags.stock import Place, Stock

RULER_MM = 100.0
"""Length of the ruler in the margin: a page that was printed to scale shows it as long as that."""
_MARGIN_FOR_WORDS_MM = 12.0
_PRINTERS_EDGE_MM = 5.0
_CUT_MM = 3.0
_HAIRLINE_MM = 0.1


class NothingToPrint(CheckappError):
    """No label was asked for."""


@dataclass(frozen=True, slots=True)
class Printed:
    """What was written: pages, labels, and the names with characters that no typeface has."""

    pages: int
    labels: int
    without_glyphs: tuple[str, ...]


def write_pdf(labels: Sequence[Label], stock: Stock, out: Path, title: str) -> Printed:
    """Write the labels to the PDF file ``out``, which is replaced as a whole or not touched.

    The same input gives the same bytes. Errors: `NothingToPrint`, `LabelTooSmall`, `FileNotWritten`.
    """
    if not labels:
        raise NothingToPrint("no label to print; name at least one item")
    pages = list(_pages(labels, stock))
    content = io.BytesIO()
    size = (stock.page_width_mm * mm, stock.page_height_mm * mm)
    canvas = Canvas(content, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle(title)
    canvas.setViewerPreference("PrintScaling", "None")
    for number, page in enumerate(pages, 1):
        sheet = _Sheet(canvas, stock)
        if stock.kind == "sheet":
            sheet.margins(f"{title}, sheet {number} of {len(pages)}")
        for place, label in zip(stock.places, page, strict=False):
            sheet.label(place, layout(label, stock))
        canvas.showPage()
    canvas.save()
    replace_file(out, content.getvalue())
    return Printed(len(pages), len(labels), tuple(_without_glyphs(labels)))


def _pages(labels: Sequence[Label], stock: Stock) -> Iterator[Sequence[Label]]:
    most = len(stock.places)
    for start in range(0, len(labels), most):
        yield labels[start : start + most]


def _without_glyphs(labels: Sequence[Label]) -> Iterator[str]:
    face = fonts.plain_face()
    names = dict.fromkeys(words for label in labels for words in (label.name, label.place, label.what))
    return (name for name in names if not fonts.has_glyphs(name, face))


class _Sheet:
    """One page being drawn; all measures in mm from its left and top edge."""

    def __init__(self, canvas: Canvas, stock: Stock) -> None:
        self._canvas = canvas
        self._stock = stock
        canvas.setLineWidth(_HAIRLINE_MM * mm)

    def label(self, place: Place, drawn: Layout) -> None:
        """Draw one label."""
        path = self._canvas.beginPath()
        module_mm = drawn.module_mm
        for bar in bars(drawn.symbol):
            left_mm = place.left_mm + drawn.qr_left_mm + bar.column * module_mm
            bottom_mm = place.top_mm + drawn.qr_top_mm + (bar.row + bar.height) * module_mm
            width, height = bar.width * module_mm * mm, bar.height * module_mm * mm
            path.rect(left_mm * mm, self._up(bottom_mm), width, height)
        self._canvas.drawPath(path, stroke=0, fill=1)
        for words in drawn.words:
            left_mm, base_mm = place.left_mm + words.left_mm, place.top_mm + words.base_mm
            self._write(words.text, words.face, words.size_mm, left_mm, base_mm)

    def margins(self, title: str) -> None:
        """Draw what helps to cut and to check the scale, and say which sheet this is."""
        stock = self._stock
        self._cut_marks()
        if stock.top_margin_mm >= _MARGIN_FOR_WORDS_MM:
            face = fonts.plain_face()
            shown = fonts.cut(title, face, (stock.page_width_mm - 2 * stock.left_margin_mm) / 3.0)
            self._write(shown, face, 3.0, stock.left_margin_mm, _PRINTERS_EDGE_MM + 2.5)
        below_mm = stock.page_height_mm - self._edges_down()[-1]
        if below_mm >= _MARGIN_FOR_WORDS_MM and stock.page_width_mm >= RULER_MM + 50:
            self._ruler(stock.left_margin_mm, stock.page_height_mm - _PRINTERS_EDGE_MM)

    def _ruler(self, left_mm: float, base_mm: float) -> None:
        self._line(left_mm, base_mm, left_mm + RULER_MM, base_mm)
        for step in range(11):
            at_mm = left_mm + step * RULER_MM / 10
            self._line(at_mm, base_mm, at_mm, base_mm - (3.0 if step % 5 == 0 else 2.0))
        note = f"{RULER_MM:.0f} mm; if it is not, print again at 100 %, not fitted to the page"
        self._write(note, fonts.plain_face(), 2.6, left_mm + RULER_MM + 2, base_mm)

    def _edges_across(self) -> list[float]:
        lefts = sorted({place.left_mm for place in self._stock.places})
        return [edge for left in lefts for edge in (left, left + self._stock.width_mm)]

    def _edges_down(self) -> list[float]:
        tops = sorted({place.top_mm for place in self._stock.places})
        return [edge for top in tops for edge in (top, top + self._stock.height_mm)]

    def _cut_marks(self) -> None:
        """Where to cut: short strokes in gaps and margins, along the labels' edges; a line where there is no gap."""
        across, down = self._edges_across(), self._edges_down()
        for x_mm in across:
            for from_mm, to_mm in _gaps(down, self._stock.page_height_mm):
                self._line(x_mm, from_mm, x_mm, to_mm)
        for y_mm in down:
            for from_mm, to_mm in _gaps(across, self._stock.page_width_mm):
                self._line(from_mm, y_mm, to_mm, y_mm)
        for x_mm in _shared(across):
            self._line(x_mm, down[0], x_mm, down[-1])
        for y_mm in _shared(down):
            self._line(across[0], y_mm, across[-1], y_mm)

    def _line(self, x1_mm: float, y1_mm: float, x2_mm: float, y2_mm: float) -> None:
        self._canvas.line(x1_mm * mm, self._up(y1_mm), x2_mm * mm, self._up(y2_mm))

    def _write(self, text: str, face: fonts.Face, size_mm: float, left_mm: float, base_mm: float) -> None:
        at = left_mm * mm
        for piece in fonts.pieces(text, face):
            self._canvas.setFont(piece.font, size_mm * mm)
            self._canvas.drawString(at, self._up(base_mm), piece.text)
            at += self._canvas.stringWidth(piece.text, piece.font, size_mm * mm)

    def _up(self, down_mm: float) -> float:
        """A PDF page's y, in points from its bottom edge."""
        return float((self._stock.page_height_mm - down_mm) * mm)


def _gaps(edges: list[float], page_mm: float) -> Iterator[tuple[float, float]]:
    """The stretches between labels and, a little way, into the margins."""
    yield max(0.0, edges[0] - _CUT_MM), edges[0]
    yield from ((end, start) for end, start in _inner(edges) if start - end > _HAIRLINE_MM)
    yield edges[-1], min(page_mm, edges[-1] + _CUT_MM)


def _shared(edges: list[float]) -> list[float]:
    """Edges at which one label ends and the next begins."""
    return [end for end, start in _inner(edges) if start - end <= _HAIRLINE_MM]


def _inner(edges: list[float]) -> Iterator[tuple[float, float]]:
    return zip(edges[1:-1:2], edges[2::2], strict=True)
