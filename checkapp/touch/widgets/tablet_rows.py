"""A tablet as a row of a list."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.measure import height_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours


class ListedTablet(BoxLayout):
    """What a tablet is called, and below it who worked on it, what it did, and what it has."""

    title = StringProperty("")
    detail = StringProperty("")
    mine = BooleanProperty(False)

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = 0.98 * (width_px - 4.0 * float(theme.unit))
        high = height_of(row["title"], theme.code_px, wide, bold=True) + height_of(row["detail"], theme.body_px, wide)
        return max(float(theme.row), high + 2.0 * float(theme.unit))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
