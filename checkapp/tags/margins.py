"""The margins of a page of labels: where to cut, a ruler that shows whether the scale is right, which sheet this is."""

from collections.abc import Iterator
from typing import Protocol

from checkapp.page import fonts
from checkapp.tags.parts import Room, Words
from checkapp.tags.stock import Stock
from checkapp.tongue import tr

RULER_MM = 100.0
"""Length of the ruler in the margin: a page that was printed to scale shows it as long as that."""
_MARGIN_FOR_WORDS_MM = 12.0
_PRINTERS_EDGE_MM = 5.0
_CUT_MM = 3.0
_GAP_MM = 0.1
_TITLE_MM, _NOTE_MM = 3.0, 2.6


class Pen(Protocol):
    """What draws; all measures in mm from the page's left and top edge."""

    def line(self, x1_mm: float, y1_mm: float, x2_mm: float, y2_mm: float) -> None:
        """A hairline."""

    def write(self, words: Words) -> None:
        """A line of type."""


def margins(pen: Pen, stock: Stock, title: str) -> None:
    """Draw what helps to cut and to check the scale, and say which sheet this is."""
    across, down = _edges_across(stock), _edges_down(stock)
    _cut_marks(pen, stock, across, down)
    if stock.top_margin_mm >= _MARGIN_FOR_WORDS_MM:
        face = fonts.plain_face()
        shown = fonts.cut(title, face, (stock.page_width_mm - 2 * stock.left_margin_mm) / _TITLE_MM)
        pen.write(Words(shown, face, _TITLE_MM, stock.left_margin_mm, _PRINTERS_EDGE_MM + 2.5))
    below_mm = stock.page_height_mm - down[-1]
    if below_mm >= _MARGIN_FOR_WORDS_MM and stock.page_width_mm >= RULER_MM + 50:
        _ruler(pen, stock.left_margin_mm, stock.page_height_mm - _PRINTERS_EDGE_MM, stock.page_width_mm)


def sheet_title(title: str, number: int, count: int) -> str:
    """What the margin of a page says: the rig, and which sheet of how many it is."""
    return tr("{rig}, sheet {number} of {count}", rig=title, number=number, count=count)


def _ruler(pen: Pen, left_mm: float, base_mm: float, page_mm: float) -> None:
    pen.line(left_mm, base_mm, left_mm + RULER_MM, base_mm)
    for step in range(11):
        at_mm = left_mm + step * RULER_MM / 10
        pen.line(at_mm, base_mm, at_mm, base_mm - (3.0 if step % 5 == 0 else 2.0))
    note = tr("{length} mm; if it is not, print again at 100 %, not fitted to the page", length=f"{RULER_MM:.0f}")
    room = Room(left_mm + RULER_MM + 2, base_mm, page_mm - _PRINTERS_EDGE_MM - left_mm - RULER_MM - 2, _NOTE_MM)
    face = fonts.plain_face()
    pen.write(room.line(note, face, room.size_mm(note, face, _NOTE_MM), base_mm))


def _edges_across(stock: Stock) -> list[float]:
    lefts = sorted({place.left_mm for place in stock.places})
    return [edge for left in lefts for edge in (left, left + stock.width_mm)]


def _edges_down(stock: Stock) -> list[float]:
    tops = sorted({place.top_mm for place in stock.places})
    return [edge for top in tops for edge in (top, top + stock.height_mm)]


def _cut_marks(pen: Pen, stock: Stock, across: list[float], down: list[float]) -> None:
    """Where to cut: short strokes in gaps and margins, along the labels' edges; a line where there is no gap."""
    for x_mm in across:
        for from_mm, to_mm in _gaps(down, stock.page_height_mm):
            pen.line(x_mm, from_mm, x_mm, to_mm)
    for y_mm in down:
        for from_mm, to_mm in _gaps(across, stock.page_width_mm):
            pen.line(from_mm, y_mm, to_mm, y_mm)
    for x_mm in _shared(across):
        pen.line(x_mm, down[0], x_mm, down[-1])
    for y_mm in _shared(down):
        pen.line(across[0], y_mm, across[-1], y_mm)


def _gaps(edges: list[float], page_mm: float) -> Iterator[tuple[float, float]]:
    """The stretches between labels and, a little way, into the margins."""
    yield max(0.0, edges[0] - _CUT_MM), edges[0]
    yield from ((end, start) for end, start in _inner(edges) if start - end > _GAP_MM)
    yield edges[-1], min(page_mm, edges[-1] + _CUT_MM)


def _shared(edges: list[float]) -> list[float]:
    """Edges at which one label ends and the next begins."""
    return [end for end, start in _inner(edges) if start - end <= _GAP_MM]


def _inner(edges: list[float]) -> Iterator[tuple[float, float]]:
    return zip(edges[1:-1:2], edges[2::2], strict=True)
