"""A tablet as a row of a list."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.measure import height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours


class ListedTablet(ButtonBehavior, BoxLayout):
    """What a tablet is called, and below it who worked on it, what it did, and what it has; a tap does ``tapped``."""

    title = StringProperty("")
    detail = StringProperty("")
    mine = BooleanProperty(False)
    word = StringProperty("")
    tapped = ObjectProperty(None)

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = 0.98 * (width_px - 4.0 * float(theme.unit))
        beside = wide - float(theme.unit) - width_of(row["word"], theme.body_px, bold=True)
        high = height_of(row["title"], theme.code_px, beside, bold=True) + height_of(row["detail"], theme.body_px, wide)
        return max(float(theme.row), high + 2.0 * float(theme.unit))

    def on_release(self) -> None:
        """Do what its word says."""
        self.tapped()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
