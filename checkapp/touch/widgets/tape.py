"""The tape: a line's number and name, the one thing that is read from two metres."""

from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Mesh, Rectangle
from kivy.lang import Builder
from kivy.properties import NumericProperty, StringProperty

from checkapp.touch.measure import largest_size
from checkapp.touch.theme import theme
from checkapp.touch.widgets.written import Trim, Written


class Tape(Trim):
    """Black on warm white, torn at both ends, number first: as large as its width allows, as long as its words.

    It has ``rim_px`` above and below them. The text takes the largest size that fits the width and ``room_px`` of
    height, never less than ``least_px``; a name that is longer still makes the tape higher.

    The text ``coming`` is painted while nothing else is to be done: it takes longer than all other words of a screen.
    """

    number = StringProperty("")
    name = StringProperty("")
    room_px = NumericProperty("96dp")
    least_px = NumericProperty("32sp")
    most_px = NumericProperty("160sp")
    rim_px = NumericProperty(0.0)
    coming = StringProperty("")
    _ready: tuple[tuple[Any, ...], Any] | None = None

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"least_px": theme.sp(32), "most_px": theme.sp(160), **kwargs})
        refit = Clock.create_trigger(self._fit, -1)
        for name in ("width", "text", "room_px", "least_px", "most_px"):
            self.fbind(name, refit)
        redraw = Clock.create_trigger(self._draw, -1)
        for name in ("pos", "size", "texture_size"):
            self.fbind(name, redraw)
        self._redraw = redraw
        self.fbind("coming", self._later)
        theme.follow(self._restyle, "tape")
        refit()

    def _restyle(self, *_: object) -> None:
        self._redraw()

    def _fit(self, *_: object) -> None:
        if self.text.strip():
            self.font_size = self._fitted(self.text)

    def _fitted(self, text: str) -> int:
        wide, room = self.width - 2 * self.inset_px, self.room_px - 2 * self.rim_px
        sizes = int(self.least_px), int(theme.line_px), int(self.most_px)
        return largest_size(text, wide, room, sizes, bold=True)

    def _later(self, *_: object) -> None:
        """What is coming waits until the frame that is at work now is drawn."""
        Clock.schedule_once(lambda _dt: Clock.schedule_once(self._make_ready))

    def _make_ready(self, *_: object) -> None:
        """Paint what is coming as it will be painted when it is the text."""
        self._ready = None
        if self.coming.strip():
            size_px = self._fitted(self.coming)
            wide = self.width - 2 * self.inset_px
            room = self.place_for(self.coming, size_px, self.bold, self.padding, wide, None)
            made = Written(
                text=self.coming,
                bold=self.bold,
                font_size=size_px,
                color=self.color,
                halign=self.halign,
                line_height=self.line_height,
                text_size=room,
            )
            made.texture_update()
            made.texture.bind()
            self._ready = _looks(made), made.texture

    def texture_update(self, *args: Any) -> None:
        """Show the words as they were painted ahead, else have them painted."""
        if self._ready is not None and self._ready[0] == _looks(self):
            self.texture, self._painted = self._ready[1], None
            self.texture_size = list(self.texture.size)
        else:
            super().texture_update(*args)

    def _draw(self, *_: object) -> None:
        """The strip, with a row of small teeth where it was torn off."""
        tooth = theme.unit
        right = self.x + min(self.width, self.texture_size[0] + 2 * self.inset_px)
        count = max(1, round(self.height / tooth))
        step = self.height / count
        self.canvas.before.clear()
        with self.canvas.before:
            Color(*theme.tape)
            Rectangle(pos=(self.x + tooth, self.y), size=(right - self.x - 2 * tooth, self.height))
            corners: list[float] = []
            for i in range(count):
                low, high = self.y + i * step, self.y + (i + 1) * step
                for edge, point in ((self.x + tooth, self.x), (right - tooth, right)):
                    corners += (edge, low, 0, 0, edge, high, 0, 0, point, (low + high) / 2, 0, 0)
            Mesh(vertices=corners, indices=range(len(corners) // 4), mode="triangles")


def _looks(words: Written) -> tuple[Any, ...]:
    """What a picture of words depends on, as far as it changes in a tape."""
    return words.text, words.font_size, tuple(words.text_size), tuple(words.color)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
