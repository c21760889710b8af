"""The status shapes, drawn: fonts lack the glyphs."""

from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.graphics.texture import Texture
from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget
from PIL import Image, ImageDraw

from checkapp.touch.theme import theme
from checkapp.touch.widgets.written import dot_for_dot

Corners = tuple[tuple[float, float], ...]
_CORNERS: Final[dict[str, tuple[Corners, ...]]] = {
    "faulty": (((0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)),),
    "look": (((0.0, 0.06), (1.0, 0.06), (0.5, 0.94)),),
    "next": (((0.1, 0.0), (1.0, 0.5), (0.38, 0.5)), ((0.1, 1.0), (1.0, 0.5), (0.38, 0.5))),
    "note": (((0.1, 0.4), (0.9, 0.4), (0.9, 0.6), (0.1, 0.6)),),
}
"""The corners of what is not round, in a square of side 1, from its lower left corner."""
_RING: Final = 0.11
"""How thick a ring is, in its width."""
_DOTS: Final = 8
"""So many dots a pixel, each way, make an edge smooth."""
_KEPT: Final = 64
"""So many shapes are kept as pictures."""


def draw_mark(status: str, x: float, y: float, side: float, tint: Any, cut: Any) -> None:
    """Draw a status shape of colour ``tint`` into the square at ``x, y``, on a ground of colour ``cut``.

    ok is a disc, faulty a square on its corner with a bar through it, open a ring, look a triangle, next an arrow head,
    note a short stroke. Called with a canvas as context.
    """
    whole = round(side) + 1  # smooth edges make it look smaller
    left, low = round(x + (side - whole) / 2), round(y + (side - whole) / 2)
    Color(*tint)
    Rectangle(texture=_picture_of(status, whole), pos=(left, low), size=(whole, whole))
    if status == "faulty":
        Color(*cut)
        Rectangle(pos=(left + whole * 0.22, low + whole * 0.42), size=(whole * 0.56, whole * 0.16))


@lru_cache(maxsize=_KEPT)
def _picture_of(status: str, side: int) -> Any:
    """The shape in white, ``side`` pixels wide and high, to be tinted: one picture takes less time than its corners."""
    white = Image.new("RGBA", (side, side), "white")
    white.putalpha(_shape_of(status, side * _DOTS).resize((side, side), Image.Resampling.BOX))
    dots = white.transpose(Image.Transpose.FLIP_TOP_BOTTOM).tobytes()
    picture = Texture.create(size=(side, side), colorfmt="rgba")

    def fill(texture: Any) -> None:
        texture.blit_buffer(dots, colorfmt="rgba")

    fill(picture)
    picture.add_reload_observer(fill)
    dot_for_dot(picture)
    return picture


def _shape_of(status: str, side: int) -> Image.Image:
    """Where the shape is, and where it is not: what is none of those with corners is round, all but ok a ring."""
    shape = Image.new("L", (side, side))
    draw, last = ImageDraw.Draw(shape), side - 1
    for corners in _CORNERS.get(status, ()):
        draw.polygon([(x * last, (1 - y) * last) for x, y in corners], fill=255)
    if status not in _CORNERS:
        draw.ellipse((0, 0, last, last), fill=255)
        if status != "ok":
            off = _RING * side
            draw.ellipse((off, off, last - off, last - off), fill=0)
    return shape


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
