"""The tape: a line's number and name, the one thing that is read from two metres."""

from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.core.image import ImageData
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Mesh
from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from PIL import Image

from checkapp.touch.measure import largest_size
from checkapp.touch.theme import theme
from checkapp.touch.widgets.fills import Fills, Place, around
from checkapp.touch.widgets.written import Trim


class OnGround(CoreLabel):
    """Words with their ``ground`` painted into their picture: it is then not painted twice in each frame."""

    def _render_end(self) -> ImageData:
        words = super()._render_end()
        size = words.width, words.height
        ground = Image.new("RGBA", size, tuple(round(255 * part) for part in self.options["ground"]))
        ground.alpha_composite(Image.frombuffer("RGBA", size, words.data))
        return ImageData(*size, words.fmt, ground.tobytes())


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
    ground = ColorProperty(theme.tape)
    written_as = OnGround

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"least_px": theme.sp(32), "most_px": theme.sp(160), **kwargs})
        refit = Clock.create_trigger(self._fit, -1)
        for name in ("width", "text", "room_px", "least_px", "most_px"):
            self.fbind(name, refit)
        redraw = Clock.create_trigger(self._draw, -1)
        for name in ("pos", "size", "texture_size", "ground"):
            self.fbind(name, redraw)
        self._label.options["ground"] = self.ground
        self.fbind("ground", self._trigger_texture_update, "ground")
        refit()

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
        """The strip around its words, with a row of small teeth where it was torn off."""
        tooth = theme.unit
        right = self.x + min(self.width, self.texture_size[0] + 2 * self.inset_px)
        count = max(1, round(self.height / tooth))
        step = self.height / count
        self.canvas.before.clear()
        with self.canvas.before:
            Color(*self.ground)
            Fills(around((self.x + tooth, self.y, right - self.x - 2 * tooth, self.height), self._words_place()))
            corners: list[float] = []
            for i in range(count):
                low, high = self.y + i * step, self.y + (i + 1) * step
                for edge, point in ((self.x + tooth, self.x), (right - tooth, right)):
                    corners += (edge, low, 0, 0, edge, high, 0, 0, point, (low + high) / 2, 0, 0)
            Mesh(vertices=corners, indices=range(len(corners) // 4), mode="triangles")

    def _words_place(self) -> Place:
        wide, high = self.texture_size
        left = self.left_of(self.x + self.inset_px, self.width - 2 * self.inset_px, wide, self.halign)
        return left, self.low_of(self.y, self.height, high, "middle"), wide, high


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
