"""Words as a picture that is no wider than they are: what is painted takes time, whether anything is on it or not."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final
from weakref import WeakSet

from kivy.core.text import Label as CoreLabel
from kivy.graphics.opengl import glFlush
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, StringProperty
from kivy.uix.label import Label

from checkapp.touch.measure import surely_fits, width_of

_SURELY: Final = 1.08
"""Words are drawn up to so much wider than they are measured: the widths of their letters are rounded."""
_OF_OLD: Final = ("text", "text_size")
"""What the toolkit keeps among its options as it was in the beginning."""

Room = tuple[float | None, float | None]
Looks = tuple[str, tuple[Any, ...], tuple[float, ...], tuple[Any, ...]]


class Written(Label):
    """Words, each time a picture of their own, painted before the frame that it is in is begun.

    To change the one that the last frame still has in use would hold up this frame until that one is painted, and so
    would painting it in the midst of this one. The words that are ``coming`` are painted while nothing else is to be
    done; should others come, nothing is lost but the time. They are to be told when nobody waits for a frame.
    """

    texture: Any
    texture_size: Any
    coming = StringProperty("")
    written_as: type[CoreLabel] = CoreLabel
    _painted: Looks | None = None
    _ahead: tuple[Looks, CoreLabel] | None = None

    def _create_label(self) -> None:
        """As the toolkit does; what is made is ``written_as`` it should be."""
        super()._create_label()
        self._label.__class__ = self.written_as

    def texture_update(self, *args: Any) -> None:
        """Show the words as they were painted ahead, else have them painted, unless they look as they did: a button
        goes down and up between two frames."""
        looks = _looks(self._label)
        if looks == self._painted and self.texture is not None:
            return
        self._painted, self._label.texture = looks, None
        if self._ahead is not None and self._ahead[0] == looks:
            (_looks_ahead, label), self._ahead = self._ahead, None
            self.texture, self.texture_size = label.texture, list(label.texture.size)
            self.is_shortened = label.is_shortened
            return
        super().texture_update(*args)
        if self.texture is not None:
            dot_for_dot(self.texture)
        _FRESH.add(self)

    def on_coming(self, *_: object) -> None:
        """Paint them, out of sight."""
        self._ahead = None
        if self.coming.strip():
            looks = {name: getattr(self, name) for name in self._font_properties} | self.look_of(self.coming)
            label = self.written_as(**looks)
            label.options |= {name: value for name, value in self._label.options.items() if name not in label.options}
            label.refresh()
            if label.texture is not None:
                dot_for_dot(label.texture)
                label.texture.bind()
                self._ahead = _looks(label), label

    def look_of(self, text: str) -> dict[str, Any]:
        """How a text is going to look, as far as it is not known from how the words look now."""
        return {"text": text, "usersize": self.text_size}


def _looks(label: CoreLabel) -> Looks:
    """All that a picture of words depends on."""
    kept = dict(label.options)
    for name in _OF_OLD:
        kept.pop(name, None)
    return label.text, tuple(label.usersize), tuple(kept.pop("color")), tuple(kept.values())


def dot_for_dot(picture: Any) -> None:
    """Have a picture shown as it is: nothing need be mixed from its neighbours."""
    picture.min_filter = picture.mag_filter = "nearest"


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
