"""Words as a picture that is no wider than they are: what is painted takes time, whether anything is on it or not."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final
from weakref import WeakSet

from kivy.graphics.opengl import glFlush
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty
from kivy.uix.label import Label

from checkapp.touch.measure import surely_fits, width_of

_SURELY: Final = 1.08
"""Words are drawn up to so much wider than they are measured: the widths of their letters are rounded."""

Room = tuple[float | None, float | None]


class Written(Label):
    """Words, each time a picture of their own, painted before the frame that it is in is begun.

    To change the one that the last frame still has in use would hold up this frame until that one is painted, and so
    would painting it in the midst of this one.
    """

    _painted: tuple[Any, ...] | None = None

    def texture_update(self, *args: Any) -> None:
        """Have the words painted anew, unless they look as they did: a button goes down and up between two frames.

        They are shown dot for dot, so nothing need be mixed from its neighbours.
        """
        label = self._label
        looks = label.text, label.usersize, tuple(label.options["color"]), dict(label.options)
        if looks == self._painted and self.texture is not None:
            return
        self._painted = looks
        label.texture = None
        super().texture_update(*args)
        if self.texture is not None:
            self.texture.min_filter = self.texture.mag_filter = "nearest"
        _FRESH.add(self)


_FRESH: Final[WeakSet[Written]] = WeakSet()
"""Words that are not painted yet."""


def paint_fresh(*_: object) -> None:
    """Paint the words that are new; for the moment before a frame is drawn."""
    if _FRESH:
        for words in tuple(_FRESH):
            if words.texture is not None:
                words.texture.bind()
        _FRESH.clear()
        glFlush()


class Trim(Written):
    """Words on one line where that is long enough, at the side that ``halign`` says; in all their width where not.

    They are then wrapped, or, with ``flat``, cut to the height of their place. ``inset_px`` is left free at both sides.
    The picture has its colour already and is shown ``as_painted``.
    """

    flat = BooleanProperty(False)
    inset_px = NumericProperty(0.0)
    as_painted = ColorProperty((1, 1, 1, 1))

    @staticmethod
    def place_for(
        text: str, size_px: float, bold: bool, padding: Sequence[float], width_px: float, height_px: float | None
    ) -> Room:
        """The ``text_size`` for words in a place of that size."""
        if "\n" in text:
            return width_px, height_px
        room_px = width_px - padding[0] - padding[2]
        fits = surely_fits(text, size_px, room_px) or _SURELY * width_of(text, size_px, bold) <= room_px
        return (None, None) if fits else (width_px, height_px)

    @staticmethod
    def left_of(x: float, width_px: float, wide_px: float, halign: str) -> int:
        """Where words ``wide_px`` wide begin in a place that begins at ``x``."""
        share = {"center": 0.5, "right": 1.0}.get(halign, 0.0)
        return int(x + share * (width_px - wide_px))

    @staticmethod
    def low_of(y: float, height_px: float, high_px: float, valign: str) -> int:
        """Where words ``high_px`` high end at their foot in a place whose foot is at ``y``."""
        share = {"bottom": 0.0, "top": 1.0}.get(valign, 0.5)
        return int(y + share * (height_px - high_px))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
