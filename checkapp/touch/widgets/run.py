"""The run: a line's path from source to desk, drawn the same way wherever a line is spoken of."""

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.lang import Builder
from kivy.properties import NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from checkapp.tongue import tr
from checkapp.touch.measure import line_height, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets.buttons import PlainButton
from checkapp.touch.widgets.run_fit import Fit, Type, fit, least_height
from checkapp.touch.widgets.run_layout import Row
from checkapp.touch.widgets.run_paint import Picture, Spot, picture_of

if TYPE_CHECKING:
    from checkapp.show.views import RunItem

_LISTED: Final = 22.0
"""Height of a run in a list, in the one measure."""
_LAID_OUT: Final = 32
"""So many runs are kept as they were laid out."""


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
        self._ready: Picture | None = None
        self._shown: Picture | None = None
        super().__init__(**kwargs)
        relay = Clock.create_trigger(self._lay, -1)
        for name in ("size", "items"):
            self.fbind(name, relay)
        redraw = Clock.create_trigger(self._draw, -1)
        for name in ("pos", "size", "page"):
            self.fbind(name, redraw)
        self._redraw = redraw
        self._relay = relay
        theme.follow(self._restyle, "text")
        theme.follow(self._refit, "note_px")
        relay()

    def _restyle(self, *_: object) -> None:
        self._make_ready(None)
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

    def on_coming(self, *_: object) -> None:
        """Lay out what is coming and draw it, out of sight: most of what it then takes to show it."""
        _least_px, fitted = self._fitted(self.coming)
        self._make_ready(picture_of(fitted, 0, self._spot(fitted), self.lettering))

    def _make_ready(self, picture: Picture | None) -> None:
        before, self._ready = self._ready, picture
        self._let_go_of(before)

    def _let_go_of(self, picture: Picture | None) -> None:
        if picture is not None and picture is not self._shown and picture is not self._ready:
            picture.let_go()

    def _spot(self, fitted: Fit) -> Spot:
        return Spot(self.x, self.center_y, self.width, _aside_px() if len(fitted.pages) > 1 else 0.0)

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

    def _draw(self, *_: object) -> None:
        for canvas in (self.canvas, self.canvas.before):
            canvas.clear()
        self._show_more()
        picture, spot = self._ready, self._spot(self.fit)
        if picture is None or not picture.shows(self.fit, self.page, spot):
            picture = picture_of(self.fit, self.page, spot, self.lettering)
        self.canvas.add(picture.strokes)
        self.canvas.before.add(picture.fills)
        before, self._shown = self._shown, picture
        Clock.schedule_once(lambda _dt: self._let_go_of(before))

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


@lru_cache(maxsize=_LAID_OUT)
def _laid_out(
    items: tuple["RunItem", ...], sizes_px: tuple[float, ...], width_px: float, height_px: float, aside_px: float
) -> tuple[float, Fit]:
    """The height that a run needs, and how it fits into a place of that size."""
    kind = Type(sizes_px, width_of, line_height)
    return least_height(items, width_px, aside_px, kind), fit(items, width_px, height_px, aside_px, kind)


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
