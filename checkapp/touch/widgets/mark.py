"""The status shapes, drawn: fonts lack the glyphs."""

from math import acos, ceil, pi
from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle, SmoothEllipse, SmoothLine, SmoothQuad, SmoothTriangle
from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from checkapp.touch.theme import theme

_OFF_PX: Final = 0.1


def draw_mark(status: str, x: float, y: float, side: float, tint: Any, cut: Any) -> None:
    """Draw a status shape of colour ``tint`` into the square at ``x, y``, on a ground of colour ``cut``.

    ok is a disc, faulty a square on its corner with a bar through it, open a ring, look a triangle, next an arrow head,
    note a short stroke. Called with a canvas as context.
    """
    half = side / 2
    Color(*tint)
    if status == "ok":
        SmoothEllipse(pos=(x, y), size=(side, side), segments=_corners_of(side))
    elif status == "faulty":
        SmoothQuad(points=(x + half, y, x + side, y + half, x + half, y + side, x, y + half))
        Color(*cut)
        Rectangle(pos=(x + side * 0.22, y + half - side * 0.08), size=(side * 0.56, side * 0.16))
    elif status == "look":
        SmoothTriangle(points=(x, y + side * 0.06, x + side, y + side * 0.06, x + half, y + side * 0.94))
    elif status == "next":
        notch = x + side * 0.38
        SmoothTriangle(points=(x + side * 0.1, y, x + side, y + half, notch, y + half))
        SmoothTriangle(points=(x + side * 0.1, y + side, x + side, y + half, notch, y + half))
    elif status == "note":
        Rectangle(pos=(x + side * 0.1, y + half - side * 0.1), size=(side * 0.8, side * 0.2))
    else:
        width = side * 0.07
        SmoothLine(circle=(x + half, y + half, half - width, 0, 360, _corners_of(side)), width=width)


def _corners_of(side: float) -> int:
    """With so many corners something round of that width looks round: no side of it is off by more than `_OFF_PX`."""
    return max(12, ceil(pi / acos(1 - _OFF_PX / max(1.0, side / 2))))


class StatusMark(Widget):
    """One status shape in its colour, as large as its place allows."""

    status = StringProperty("open")
    tint = ColorProperty(theme.quiet)
    cut = ColorProperty(theme.ground)
    _drawn: tuple[Any, ...] = ()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        again = Clock.create_trigger(self._draw, -1)
        self.fbind("pos", again)
        self.fbind("size", again)
        self.fbind("status", again)
        self.fbind("tint", again)
        self.fbind("cut", again)
        again()

    def _draw(self, *_: object) -> None:
        """Draw the shape anew, unless it comes out as it stands: a button goes down and up between two frames."""
        side = min(self.size)
        place = self.center_x - side / 2, self.center_y - side / 2, side
        drawn = (self.status, *place, tuple(self.tint), tuple(self.cut))
        if drawn == self._drawn:
            return
        self._drawn = drawn
        self.canvas.clear()
        if side > 0:
            with self.canvas:
                draw_mark(self.status, *place, self.tint, self.cut)


class StatusWord(BoxLayout):
    """A status as shape and word, side by side; the word that is ``coming`` is painted ahead."""

    status = StringProperty("open")
    word = StringProperty("")
    coming = StringProperty("")
    size_px = NumericProperty(theme.body_px)


class StatusLine(BoxLayout):
    """A sentence that wraps, with a status shape before it; no room taken while there is none."""

    status = StringProperty("look")
    text = StringProperty("")
    size_px = NumericProperty(theme.body_px)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
