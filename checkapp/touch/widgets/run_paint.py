"""How a run is drawn: the instructions for a canvas, made when it is to be shown, or ahead."""

from collections.abc import Callable
from functools import lru_cache
from typing import Any, Final, NamedTuple

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Canvas, Color, Line, Rectangle

from checkapp.touch.theme import theme
from checkapp.touch.widgets.fills import Fills, frame_of
from checkapp.touch.widgets.fills import Place as Rect
from checkapp.touch.widgets.mark import draw_mark
from checkapp.touch.widgets.run_fit import BAR, Fit, Type
from checkapp.touch.widgets.run_layout import Place, Row, hung_words
from checkapp.touch.widgets.written import dot_for_dot

_THICK: Final = 3.0
"""Of the outlines and the tick of a port, in pixels."""
_KEPT: Final = 128
"""So many codes are kept as pictures."""


class Spot(NamedTuple):
    """Where a run is drawn, in pixels: its left end, the middle of its height, its width, and the room at the right
    that the button takes which turns its pages."""

    x: float
    middle_y: float
    width: float
    aside: float


class Picture(NamedTuple):
    """A page of a run as it is drawn: plain fills, and over them all else."""

    fit: Fit
    page: int
    spot: Spot
    fills: Canvas
    strokes: Canvas

    def shows(self, fit: Fit, page: int, spot: Spot) -> bool:
        """Whether it is the picture of that."""
        return self.fit is fit and (self.page, self.spot) == (page, spot)

    def let_go(self) -> None:
        """It is not shown any more: what it holds goes at once, not when somebody looks for rubbish."""
        for canvas in (self.fills, self.strokes):
            canvas.clear()


def picture_of(fit: Fit, page: int, spot: Spot, kind: Type) -> Picture:
    """Draw a page of a run, in the colours of now."""
    fills, strokes = Canvas(), Canvas()
    brush = _Brush(fit.size_px, kind.line_height(fit.size_px), spot)
    with strokes:
        brush.draw_page(fit, page, kind)
    with fills:
        brush.fills.paint()
    return Picture(fit, page, spot, fills, strokes)


class ByColour:
    """Plain rectangles, painted colour by colour."""

    def __init__(self) -> None:
        self._by_colour: dict[tuple[float, ...], list[Rect]] = {}

    def add(self, colour: Any, x: float, y: float, wide: float, high: float) -> None:
        """One more, from its lower left corner."""
        self._by_colour.setdefault(tuple(colour), []).append((x, y, wide, high))

    def paint(self) -> None:
        """Paint them all; called with a canvas as context."""
        for colour, places in self._by_colour.items():
            Color(*colour)
            Fills(places)


class _Brush:
    """Draws items one after another, in type of ``size_px``; a box's plate is as high, and all on the stroke fits into
    it. Called with a canvas as context."""

    def __init__(self, size_px: float, code_height: float, spot: Spot) -> None:
        self.size_px = self._plate = size_px
        self._code_height, self._spot, self.x = code_height, spot, spot.x
        self.fills = ByColour()
        self._tint: Any = None

    def draw_page(self, fit: Fit, page: int, kind: Type) -> None:
        """All rows of a page, from the top."""
        rows = fit.pages[page]
        top = self._spot.middle_y + kind.height(rows, self.size_px) / 2
        before = sum(map(len, fit.pages[:page]))
        last = sum(map(len, fit.pages)) - 1
        for number, row in enumerate(rows, before):
            stroke = top - kind.bars_height(row, self.size_px) - self._code_height - self._plate / 2
            self._draw_joins(row, stroke, first=number == 0, last=number == last)
            for place in row:
                self._draw_place(place, stroke)
            top -= kind.row_height(row, self.size_px)

    def _draw_joins(self, row: Row, y: float, *, first: bool, last: bool) -> None:
        """The stroke between neighbours, and to the edge where the run goes on in another row."""
        ends = [place.right for place in row]
        starts = [place.left for place in row]
        joins = list(zip(ends[:-1], starts[1:], strict=True))
        if not first:
            joins.append((0.0, starts[0]))
        if not last:
            joins.append((ends[-1], self._spot.width - self._spot.aside))
        for left, right in joins:
            if right - left > 0.5:
                self._stroke(left, right, y, theme.text)

    def _stroke(self, left: float, right: float, y: float, colour: Any) -> None:
        self.fills.add(colour, self.x + left, y - 1.0, right - left, 2.0)

    def _use(self, colour: Any) -> None:
        """Draw in this colour from now on."""
        if colour != self._tint:
            Color(*colour)
            self._tint = colour

    def _draw_place(self, place: Place, y: float) -> None:
        marked = place.item.status not in ("open", "ok")
        colour = theme.of(place.item.status) if marked else theme.text
        draw: Callable[[Place, float, Any], None] = getattr(self, f"_draw_{place.item.kind}", self._draw_source)
        draw(place, y, colour)
        code_y = y + self._plate / 2 if place.above else y - self._plate / 2 - self._code_height
        self._code(place.item.label, place.middle, code_y, colour)
        if marked:
            side = self._plate * 0.95
            draw_mark(place.item.status, self.x + place.middle - side / 2, y - side / 2, side, colour, theme.ground)
            self._tint = None
        if place.item.share_words:
            self._draw_bar(place, y)
        if place.hung:
            self._draw_supply(place, y)

    def _draw_bar(self, place: Place, y: float) -> None:
        """How likely it is to blame: a bar over its code, with the number on it."""
        low, wide = y + self._plate / 2 + (self._code_height if place.above else 0.0), self.size_px
        high = max(1.0, place.item.share * BAR * self.size_px)
        self.fills.add(theme.look, self.x + place.middle - wide / 2, low, wide, high)
        self._code(place.item.share_words, place.middle, low + high, theme.look)

    def _code(self, text: str, middle: float, y: float, colour: Any) -> None:
        texture = written(text, float(self.size_px))
        if texture:
            wide, high = texture.size
            self._use(colour)
            Rectangle(texture=texture, pos=(round(self.x + middle - wide / 2), round(y)), size=(wide, high))

    def _draw_source(self, place: Place, y: float, colour: Any) -> None:
        """Where the signal comes from: a heavy upright end."""
        wide = place.right - place.left
        self.fills.add(colour, self.x + place.left, y - self._plate / 2, wide, self._plate)

    def _draw_cable(self, place: Place, y: float, colour: Any) -> None:
        self._stroke(place.left, place.right, y, colour)

    _draw_hop = _draw_cable

    def _draw_chain(self, place: Place, y: float, colour: Any) -> None:
        """All hops together: a double stroke."""
        self._stroke(place.left, place.right, y + self._plate * 0.15, colour)
        self._stroke(place.left, place.right, y - self._plate * 0.15, colour)

    def _draw_port(self, place: Place, y: float, colour: Any) -> None:
        """A short tick across."""
        self._stroke(place.left, place.right, y, colour)
        left = self.x + place.middle - _THICK / 2
        self.fills.add(colour, left, y - self._plate * 0.4, _THICK, self._plate * 0.8)

    def _draw_box(self, place: Place, y: float, colour: Any) -> None:
        """A plate that the stroke goes through."""
        self._stroke(place.left, place.right, y, colour)
        half, high = _THICK / 2, self._plate * 0.8
        outer = self.x + place.left - half, y - high / 2 - half, place.right - place.left + _THICK, high + _THICK
        for side in frame_of(*outer, _THICK):
            self.fills.add(colour, *side)

    def _draw_desk(self, place: Place, y: float, colour: Any) -> None:
        """An open end."""
        half, wide, high = _THICK / 2, place.right - place.left + _THICK / 2, self._plate * 0.8
        x, low = self.x + place.left - half, y - high / 2 - half
        for bar in ((x, low, wide, _THICK), (x, low + high, wide, _THICK), (x, low + _THICK, _THICK, high - _THICK)):
            self.fills.add(colour, *bar)

    def _draw_supply(self, place: Place, y: float) -> None:
        """What feeds a box hangs below it, on a thin stroke beside the box's code."""
        if not place.hung:
            return
        marked = place.hung.status not in ("open", "ok")
        colour = theme.of(place.hung.status) if marked else theme.quiet
        self._use(colour)
        plate_low, low = y - self._plate * 0.4, y - self._plate / 2 - 1.5 * self._code_height
        x, right = self.x + place.code_left - 0.25 * self.size_px, self.x + place.left
        Line(points=(max(x, right), plate_low, x, plate_low, x, low, x + 0.5 * self.size_px, low), width=1)
        self._code(hung_words(place.hung), place.middle + 0.25 * self.size_px, low - self._code_height / 2, colour)


@lru_cache(maxsize=_KEPT)
def written(text: str, size_px: float) -> Any:
    """A code as a picture; lines on one chain have most of them in common."""
    label = CoreLabel(text=text, font_size=size_px)
    label.refresh()
    if label.texture is not None:
        dot_for_dot(label.texture)
        label.texture.bind()  # painted now, not in the midst of a frame
    return label.texture
