"""The buttons: large ones for the verdicts, plain ones for everything else."""

from pathlib import Path
from typing import Final

from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.measure import fitted_size, height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import mark as _mark  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.shut import Shut
from checkapp.touch.widgets.written import Trim

_ONE_LINE: Final = 0.7
"""Words stay on one line down to this size, in the size that they are meant to have."""


class MainButton(Shut, ButtonBehavior, BoxLayout):
    """A main action, at least 120 dp high: colour, drawn shape and word say the same.

    It is filled while a finger is on it, and not a moment longer: what it did is shown in the very next frame.
    """

    status = StringProperty("next")
    word = StringProperty("")
    tint = ColorProperty(theme.next)


class PlainButton(Shut, ButtonBehavior, Trim):
    """A word in a frame, 64 dp high unless its place is short, never less than 48.

    A word that would be too small on one line goes on in further ones where there is room for them.
    """

    status = StringProperty("open")
    size_px = NumericProperty("24sp")
    aside_px = NumericProperty(0.0)

    @staticmethod
    def type_px(text: str, wide_px: float, high_px: float, most_px: float, _unit: float = 0.0) -> float:
        """The size of the words in a place; naming the unit makes a layout follow."""
        one_line = fitted_size(text, wide_px, most_px, bold=True)
        if one_line >= _ONE_LINE * most_px or " " not in text:
            return one_line
        for size in range(int(most_px), int(one_line), -1):
            widest = max(width_of(word, size, bold=True) for word in text.split())
            if widest <= 0.9 * wide_px and height_of(text, size, 0.9 * wide_px, bold=True) <= high_px:
                return float(size)
        return one_line


class BackButton(PlainButton):
    """The way back, the same on every screen: a stroke that ends in an open angle at its left, and where it leads."""

    tint = ColorProperty(theme.text)
    arm_px = NumericProperty("7dp")


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
