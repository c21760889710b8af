"""The live picture of a camera, as large as its place, with a frame round each code that was read in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.graphics import Color, InstructionGroup, Line
from kivy.graphics.texture import Texture
from kivy.lang import Builder
from kivy.properties import ListProperty, ObjectProperty
from kivy.uix.floatlayout import FloatLayout

from checkapp.touch.theme import theme

if TYPE_CHECKING:
    from checkapp.scan.codes import Sighting
    from checkapp.touch.camera_worker import Picture


class Live(FloatLayout):
    """A picture on a panel.

    ``fit`` is where it stands: left, bottom, width and height in pixels. ``marks`` are the outlines that are drawn in
    it, each as its corners' distances from left and bottom.
    """

    texture = ObjectProperty(None, allownone=True)
    fit = ListProperty([0, 0, 0, 0])
    marks = ListProperty([])

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._frame_size = (1, 1)
        self._outlines = InstructionGroup()
        self.canvas.after.add(self._outlines)
        self.bind(pos=self._refit, size=self._refit)

    def show(self, picture: Picture) -> None:
        """Show a picture in place of the last."""
        if self.texture is None or tuple(self.texture.size) != picture.size:
            texture = Texture.create(size=picture.size, colorfmt="rgb")
            texture.flip_vertical()
            self.texture = texture
        self._frame_size = picture.frame_size
        self.texture.blit_buffer(picture.rows, colorfmt="rgb", bufferfmt="ubyte")
        self._refit()
        self.canvas.ask_update()

    def clear(self) -> None:
        """Show none."""
        self.texture = None
        self.mark(())

    def mark(self, found: tuple[Sighting, ...]) -> None:
        """Draw an outline round each of these codes, and round none else."""
        left, bottom, wide, high = self.fit
        across, down = wide / self._frame_size[0], high / self._frame_size[1]
        self.marks = [
            [at for x, y in one.corners for at in (left + x * across, bottom + high - y * down)]
            for one in (found if self.texture is not None else ())
        ]

    def on_marks(self, *_: object) -> None:
        """Draw them."""
        self._outlines.clear()
        self._outlines.add(Color(*theme.ok))
        for points in self.marks:
            self._outlines.add(Line(points=points, width=0.375 * theme.unit, close=True, joint="miter"))

    def _refit(self, *_: object) -> None:
        if self.texture is None:
            return
        wide, high = self.texture.size
        scale = min(self.width / wide, self.height / high)
        size = (wide * scale, high * scale)
        self.fit = [self.center_x - size[0] / 2, self.center_y - size[1] / 2, *size]


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
