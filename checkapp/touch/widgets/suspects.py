"""A suspect as a row of a list: what it is, how likely it is to blame as a bar and a number, what says so."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from kivy.lang import Builder
from kivy.properties import NumericProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.measure import height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  its layout is used in ours

_WORD: Final = 0.22
"""The word that says what a tap does takes at most this part of a row."""


class ListedSuspect(ButtonBehavior, BoxLayout):
    """Something that may be to blame. A tap leads to what can be done about it."""

    title = StringProperty("")
    percent = StringProperty("")
    share = NumericProperty(0.0)
    speaks_for = StringProperty("")
    speaks_against = StringProperty("")
    tapped = ObjectProperty(None, allownone=True)
    word = StringProperty("")

    @staticmethod
    def percent_wide(percent: str, _size_px: float = 0.0) -> float:
        """The width in pixels of the number at its right; naming a size makes a layout follow it."""
        return width_of(percent, theme.code_px, True) + float(theme.unit)

    @staticmethod
    def word_wide(word: str, wide_px: float, _size_px: float = 0.0) -> float:
        """The width in pixels of the word that says what a tap does, in a row ``wide_px`` wide: none in a narrow one.

        Naming a size as in `percent_wide`.
        """
        wide = width_of(word, theme.body_px, True) + float(theme.unit)
        return wide if word and wide <= _WORD * wide_px else 0.0

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = 0.98 * (width_px - 4 * theme.unit)
        aside = ListedSuspect.percent_wide(row["percent"]) + ListedSuspect.word_wide(row["word"], width_px)
        beside = wide - aside - 2.0 * float(theme.unit)
        high = height_of(row["title"], theme.code_px, beside, bold=True)
        high += height_of(row["speaks_for"], theme.body_px, wide)
        high += height_of(row["speaks_against"], theme.body_px, wide)
        return max(float(theme.row), high + 5.0 * float(theme.unit))

    def on_release(self) -> None:
        """Say what can be done about it."""
        if self.tapped:
            self.tapped()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
