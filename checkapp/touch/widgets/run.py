"""The run: a line's path from source to desk, drawn the same way wherever a line is spoken of."""

from collections.abc import Callable
from functools import lru_cache
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Line, Mesh, Rectangle
from kivy.lang import Builder
from kivy.properties import NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from checkapp.tongue import tr
from checkapp.touch.measure import line_height, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets.buttons import PlainButton
from checkapp.touch.widgets.mark import draw_mark
from checkapp.touch.widgets.run_fit import BAR, Fit, Type, fit, least_height
from checkapp.touch.widgets.run_layout import Place, Row, hung_words

if TYPE_CHECKING:
    from checkapp.show.views import RunItem

_LISTED: Final = 22.0
"""Height of a run in a list, in the one measure."""
_KEPT: Final = 128
"""So many codes are kept as pictures."""
_LAID_OUT: Final = 32
"""So many runs are kept as they were laid out."""


class Fills:
    """Plain rectangles, painted colour by colour, each in one go."""

    def __init__(self) -> None:
        self._by_colour: dict[tuple[float, ...], list[float]] = {}

    def add(self, colour: Any, x: float, y: float, wide: float, high: float) -> None:
        """One more, from its lower left corner."""
        right, top = x + wide, y + high
        corners = (x, y, 0, 0, right, y, 0, 0, right, top, 0, 0, x, y, 0, 0, right, top, 0, 0, x, top, 0, 0)
        self._by_colour.setdefault(tuple(colour), []).extend(corners)

    def paint(self) -> None:
        """Paint them all; called with a canvas as context."""
        for colour, corners in self._by_colour.items():
            Color(*colour)
            Mesh(vertices=corners, indices=range(len(corners) // 4), mode="triangles")


class Run(Widget):
    """A run of ``items`` in the middle of its place, as large as that takes it; ``least_px`` is the height it needs.

    A run that does not fit is shown page by page, in whole rows, the source's end first; a button says which page of
    how many, and leads to the next. The run ``coming`` is made ready while nothing else is to be done.
    """

    items = ObjectProperty(())
    coming = ObjectProperty(())
    least_px = NumericProperty(0.0)
    page = NumericProperty(0)

    def __init__(self, **kwargs: Any) -> None:
        self.fit = Fit(float(theme.note_px), ((),))
        self._more = PlainButton(on_release=self._turn)
        self._fills, self._tint = Fills(), None
        super().__init__(**kwargs)
        relay = Clock.create_trigger(self._lay, -1)
        for name in ("size", "items"):
            self.fbind(name, relay)
        redraw = Clock.create_trigger(self._draw, -1)
        for name in ("pos", "size", "page"):
            self.fbind(name, redraw)
        self._redraw = redraw
        self._relay = relay
        self.fbind("coming", self._later)
        theme.follow(self._restyle, "text")
        theme.follow(self._refit, "note_px")
        relay()

    def _restyle(self, *_: object) -> None:
        self._redraw()

    def _refit(self, *_: object) -> None:
        self._relay()

    def on_items(self, *_: object) -> None:
        """Another run begins at its first page."""
        self.page = 0

    def _turn(self, *_: object) -> None:
        self.page = (self.page + 1) % len(self.fit.pages)

    def _lay(self, *_: object) -> None:
        self.least_px, self.fit = self._fitted(self.items)
        self.page = min(self.page, len(self.fit.pages) - 1)
        self._redraw()

    def _fitted(self, items: tuple["RunItem", ...]) -> tuple[float, Fit]:
        return _laid_out(items, self.lettering.sizes_px, self.width, self.height, _aside_px())

    def _later(self, *_: object) -> None:
        """What is coming waits until the frame that is at work now is drawn."""
        Clock.schedule_once(lambda _dt: Clock.schedule_once(self._make_ready))

    def _make_ready(self, *_: object) -> None:
        """Lay out what is coming and write its codes: most of what it then takes to show it."""
        _least_px, fitted = self._fitted(self.coming)
        for place in chain.from_iterable(fitted.pages[0]):
            for words in (place.item.label, place.item.share_words, hung_words(place.hung) if place.hung else ""):
                if words:
                    _written(words, float(fitted.size_px))

    @property
    def lettering(self) -> Type:
        """The type in which codes are written."""
        return Type((theme.name_px, theme.code_px, theme.body_px, theme.note_px), width_of, line_height)

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows that are shown."""
        return self.fit.pages[min(self.page, len(self.fit.pages) - 1)]

    @property
    def size_px(self) -> float:
        """Size of the codes."""
        return self.fit.size_px

    @property
    def _code_height(self) -> float:
        return line_height(self.size_px)

    @property
    def _plate(self) -> float:
        """Height of a box's plate; everything on the stroke fits into it."""
        return self.size_px

    def _draw(self, *_: object) -> None:
        for canvas in (self.canvas, self.canvas.before):
            canvas.clear()
        self._show_more()
        self._fills, self._tint = Fills(), None
        kind = self.lettering
        top = self.center_y + kind.height(self.rows, self.size_px) / 2
        before = sum(len(page) for page in self.fit.pages[: self.page])
        for number, row in enumerate(self.rows, before):
            stroke = top - kind.bars_height(row, self.size_px) - self._code_height - self._plate / 2
            with self.canvas:
                self._draw_joins(row, stroke, number)
                for place in row:
                    self._draw_place(place, stroke)
            top -= kind.row_height(row, self.size_px)
        with self.canvas.before:
            self._fills.paint()

    def _show_more(self) -> None:
        """The button that turns the page, where there is more than one."""
        self.clear_widgets()
        count = len(self.fit.pages)
        if count > 1:
            high = min(self.height, theme.row)
            self._more.text = tr("{value} of {limit}", value=self.page + 1, limit=count)
            self._more.size = _aside_px() - theme.unit, high
            self._more.pos = self.right - self._more.width, self.center_y - high / 2
            self.add_widget(self._more)

    def _draw_joins(self, row: Row, y: float, number: int) -> None:
        """The stroke between neighbours, and to the edge where the run goes on in another row."""
        ends = [place.right for place in row]
        starts = [place.left for place in row]
        joins = list(zip(ends[:-1], starts[1:], strict=True))
        if number > 0:
            joins.append((0.0, starts[0]))
        if number + 1 < sum(len(page) for page in self.fit.pages):
            aside = _aside_px() if len(self.fit.pages) > 1 else 0.0
            joins.append((ends[-1], self.width - aside))
        for left, right in joins:
            if right - left > 0.5:
                self._stroke(left, right, y, theme.text)

    def _stroke(self, left: float, right: float, y: float, colour: Any) -> None:
        self._fills.add(colour, self.x + left, y - 1.0, right - left, 2.0)

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
            side = self._plate * 0.8
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
        self._fills.add(theme.look, self.x + place.middle - wide / 2, low, wide, high)
        self._code(place.item.share_words, place.middle, low + high, theme.look)

    def _code(self, text: str, middle: float, y: float, colour: Any) -> None:
        texture = _written(text, float(self.size_px))
        if texture:
            wide, high = texture.size
            self._use(colour)
            Rectangle(texture=texture, pos=(round(self.x + middle - wide / 2), round(y)), size=(wide, high))

    def _draw_source(self, place: Place, y: float, colour: Any) -> None:
        """Where the signal comes from: a heavy upright end."""
        wide = place.right - place.left
        self._fills.add(colour, self.x + place.left, y - self._plate / 2, wide, self._plate)

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
        self._fills.add(colour, self.x + place.middle - 1.5, y - self._plate * 0.4, 3.0, self._plate * 0.8)

    def _draw_box(self, place: Place, y: float, colour: Any) -> None:
        """A plate that the stroke goes through."""
        self._stroke(place.left, place.right, y, colour)
        self._use(colour)
        low = y - self._plate * 0.4
        Line(rectangle=(self.x + place.left, low, place.right - place.left, self._plate * 0.8), width=1.5)

    def _draw_desk(self, place: Place, y: float, colour: Any) -> None:
        """An open end."""
        self._use(colour)
        x, right, half = self.x + place.left, self.x + place.right, self._plate * 0.4
        Line(points=(right, y + half, x, y + half, x, y - half, right, y - half), width=1.5)

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


@lru_cache(maxsize=_LAID_OUT)
def _laid_out(
    items: tuple["RunItem", ...], sizes_px: tuple[float, ...], width_px: float, height_px: float, aside_px: float
) -> tuple[float, Fit]:
    """The height that a run needs, and how it fits into a place of that size."""
    kind = Type(sizes_px, width_of, line_height)
    return least_height(items, width_px, aside_px, kind), fit(items, width_px, height_px, aside_px, kind)


@lru_cache(maxsize=_KEPT)
def _written(text: str, size_px: float) -> Any:
    """A code as a picture; lines on one chain have most of them in common."""
    label = CoreLabel(text=text, font_size=size_px)
    label.refresh()
    if label.texture is not None:
        label.texture.min_filter = label.texture.mag_filter = "nearest"
        label.texture.bind()  # painted now, not in the midst of a frame
    return label.texture


class ListedRun(Run):
    """A run as a row of a list."""

    @staticmethod
    def height_for(_row: dict[str, Any], _width_px: float) -> float:
        """Height of the row in pixels."""
        return _LISTED * float(theme.unit)


def _aside_px() -> float:
    """Width in pixels of the button that turns the page and of the gap before it."""
    return float(theme.step + theme.unit)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
