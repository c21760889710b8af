"""Rows of the changeover list: what is pulled, plugged or set, from what to what."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.measure import height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  its layout is used in ours


class ListedChange(ButtonBehavior, BoxLayout):
    """One thing to do: to what, which of its facts, from what to what; both stand side by side where there is room."""

    title = StringProperty("")
    fact = StringProperty("")
    from_words = StringProperty("")
    to_words = StringProperty("")
    wide = BooleanProperty(False)
    tapped = ObjectProperty(None, allownone=True)

    @staticmethod
    def is_wide(width_px: float, _unit: float = 0.0) -> bool:
        """Whether there is room side by side in a row ``width_px`` wide; naming the unit makes a layout follow it."""
        return bool(width_px >= 75.0 * float(theme.unit))

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        inner = 0.98 * (width_px - 3.0 * float(theme.unit))
        wide = ListedChange.is_wide(width_px)
        each = (inner - 2.0 * float(theme.unit)) / 2 if wide else inner
        what = height_of(row["title"], theme.code_px, each, bold=True) + height_of(row["fact"], theme.body_px, each)
        how = height_of(row["from_words"], theme.body_px, each) + height_of(
            row["to_words"], theme.code_px, each, bold=True
        )
        return max(float(theme.row), (max(what, how) if wide else what + how) + 1.5 * float(theme.unit))

    def on_release(self) -> None:
        """Show the card, where the new rig has one."""
        if self.tapped:
            self.tapped()


class ListedCautions(ButtonBehavior, BoxLayout):
    """That there is something to mind, folded to a line: a triangle, how much it is, the word for opening it."""

    text = StringProperty("")
    word = StringProperty("")
    tapped = ObjectProperty(None)

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = width_px - 3.0 * float(theme.unit) - 0.9 * theme.body_px - width_of(row["word"], theme.body_px, True)
        return max(float(theme.target), height_of(row["text"], theme.body_px, 0.97 * wide) + float(theme.unit))

    def on_release(self) -> None:
        """Open it, or fold it again."""
        self.tapped()


ROWS = (ListedChange, ListedCautions)

Builder.load_file(str(Path(__file__).with_suffix(".kv")))
