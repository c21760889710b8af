"""The tape: a line's number and name, the one thing that is read from two metres."""

from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Mesh, Rectangle
from kivy.lang import Builder
from kivy.properties import NumericProperty, StringProperty

from checkapp.touch.measure import largest_size
from checkapp.touch.theme import theme
from checkapp.touch.widgets.written import Trim


class Tape(Trim):
    """Black on warm white, torn at both ends, number first: as large as its width allows, as long as its words.

    It has ``rim_px`` above and below them. The text takes the largest size that fits the width and ``room_px`` of
    height, never less than ``least_px``; a name that is longer still makes the tape higher.
    """

    number = StringProperty("")
    name = StringProperty("")
    room_px = NumericProperty("96dp")
    least_px = NumericProperty("32sp")
    most_px = NumericProperty("160sp")
    rim_px = NumericProperty(0.0)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"least_px": theme.sp(32), "most_px": theme.sp(160), **kwargs})
        refit = Clock.create_trigger(self._fit, -1)
        for name in ("width", "text", "room_px", "least_px", "most_px"):
            self.fbind(name, refit)
        redraw = Clock.create_trigger(self._draw, -1)
        for name in ("pos", "size", "texture_size"):
            self.fbind(name, redraw)
        self._redraw = redraw
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

    def look_of(self, text: str) -> dict[str, Any]:
        """With the size that it will have."""
        size_px, wide = self._fitted(text), self.width - 2 * self.inset_px
        room = self.place_for(text, size_px, self.bold, self.padding, wide, None)
        return {"text": text, "font_size": size_px, "usersize": room}

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


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
