"""Rows that are picked or left out with a tap."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ColorProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from checkapp.touch.measure import height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours


class PickBox(Widget):
    """A square that is filled when something is picked."""

    picked = BooleanProperty(False)
    ink = ColorProperty(theme.text)


class ListedPick(ButtonBehavior, BoxLayout):
    """A thing, or all things at a place (``whole``): a box that is filled when it is picked, its name, the word."""

    title = StringProperty("")
    detail = StringProperty("")
    word = StringProperty("")
    picked = BooleanProperty(False)
    whole = BooleanProperty(False)
    tapped = ObjectProperty(None)

    @staticmethod
    def word_px(word: str, _size_px: float = 0.0) -> float:
        """The room for the word at its right in pixels; naming a size makes a layout follow it."""
        return width_of(word, theme.body_px, True) + float(theme.unit)

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = 0.98 * (width_px - 9.5 * float(theme.unit) - ListedPick.word_px(row["word"]))
        high = height_of(row["title"], theme.code_px, wide, bold=True)
        high += height_of(row["detail"], theme.body_px, wide) if row["detail"] else 0.0
        return max(float(theme.row), high + 2.0 * float(theme.unit))

    def on_release(self) -> None:
        """Pick it, or leave it out."""
        self.tapped()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
