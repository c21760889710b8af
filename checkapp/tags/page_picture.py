"""A page of labels as a picture, to look at before it is printed: the same labels at the same places as on the page."""

import io
from collections.abc import Sequence

from PIL import Image, ImageDraw

from checkapp.tags.margins import margins
from checkapp.tags.parts import Layout, Words
from checkapp.tags.picture import picture, type_on
from checkapp.tags.stock import Place, Stock

_WHITE, _EDGE_GREY = 255, 200


def page_picture(
    page: Sequence[tuple[Place, Layout]], stock: Stock, title: str, width_px: int, used: Sequence[Place] = ()
) -> bytes:
    """A page as a PNG ``width_px`` pixels wide: the labels that stand on it, their edges in grey, the margins.

    ``title`` is what the margin says, with the number of the sheet; ``used`` are places that are gone from a sheet that
    was begun: each is crossed out in grey. The edges and the crosses are not printed.
    """
    scale = width_px / stock.page_width_mm
    image = Image.new("L", (width_px, max(1, round(scale * stock.page_height_mm))), _WHITE)
    pen = _Pen(image, scale)
    for place in stock.places:
        pen.edge(place, stock)
    for place in used:
        pen.cross(place, stock)
    if stock.paged:
        margins(pen, stock, title)
    for place, layout in page:
        pen.label(place, layout, stock)
    content = io.BytesIO()
    image.save(content, "PNG")
    return content.getvalue()


class _Pen:
    """Draws on a picture with ``scale`` pixels a millimetre; all measures in mm from the page's left and top edge."""

    def __init__(self, image: Image.Image, scale: float) -> None:
        self._image, self._scale = image, scale
        self._canvas = ImageDraw.Draw(image)

    def line(self, x1_mm: float, y1_mm: float, x2_mm: float, y2_mm: float) -> None:
        """A hairline."""
        self._canvas.line([(x1_mm * self._scale, y1_mm * self._scale), (x2_mm * self._scale, y2_mm * self._scale)])

    def write(self, words: Words) -> None:
        """A line of type."""
        type_on(self._image, [words], 1 / self._scale)

    def edge(self, place: Place, stock: Stock) -> None:
        """Where the label ends."""
        radius_px = stock.corner_mm * self._scale
        self._canvas.rounded_rectangle(self._box(place, stock), radius_px, outline=_EDGE_GREY)

    def cross(self, place: Place, stock: Stock) -> None:
        """A label that is gone."""
        left, top, right, bottom = self._box(place, stock)
        self._canvas.line((left, top, right, bottom), fill=_EDGE_GREY)
        self._canvas.line((left, bottom, right, top), fill=_EDGE_GREY)

    def label(self, place: Place, layout: Layout, stock: Stock) -> None:
        """The label as the printer's dots make it, seen from farther away."""
        left, top, right, bottom = (round(edge) for edge in self._box(place, stock))
        dots = picture(layout, stock).convert("L")
        small = dots.resize((max(1, right - left - 1), max(1, bottom - top - 1)), Image.Resampling.BOX)
        self._image.paste(small, (left + 1, top + 1))

    def _box(self, place: Place, stock: Stock) -> tuple[float, float, float, float]:
        left, top = place.left_mm * self._scale, place.top_mm * self._scale
        return left, top, left + stock.width_mm * self._scale, top + stock.height_mm * self._scale
