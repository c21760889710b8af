"""Rows of the set-up list: a place with how much of it is done, and what is to do there, each with its tick."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.tongue import tr
from checkapp.touch.measure import height_of, width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import progress as _progress  # noqa: F401


class ListedPlace(BoxLayout):
    """A place on stage: its name, and how many of its tasks are done."""

    name = StringProperty("")
    done = NumericProperty(0)
    total = NumericProperty(1)

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide = 0.98 * (width_px - ListedPlace.count_wide(row["done"], row["total"]))
        return height_of(row["name"], theme.code_px, wide, bold=True) + 2.5 * float(theme.unit)

    @staticmethod
    def count_wide(done: float, total: float, _size_px: float = 0.0) -> float:
        """The width in pixels of the count at its right; naming a size makes a layout follow it."""
        return width_of(tr("{value} of {limit}", value=int(done), limit=int(total)), theme.code_px, True) + 5.0 * float(
            theme.unit
        )


class ListedTask(ButtonBehavior, BoxLayout):
    """A box to place, a setting to make, or an end to plug: what and where, how it stands, who said so.

    What is said of it stands beside its title where there is room, else below.
    """

    title = StringProperty("")
    detail = StringProperty("")
    status = StringProperty("open")
    said = StringProperty("")
    is_next = BooleanProperty(False)
    tapped = ObjectProperty(None)
    ticked = ObjectProperty(None)

    @staticmethod
    def wide(width_px: float, _unit: float = 0.0) -> float:
        """The width of its words in pixels, in a row ``width_px`` wide; naming the unit makes a layout follow it."""
        return 0.98 * (width_px - 19.0 * float(theme.unit))

    @staticmethod
    def is_below(title: str, said: str, wide_px: float, _size_px: float = 0.0) -> bool:
        """Whether title and what is said do not stand side by side in ``wide_px``; naming a size as in `wide`."""
        beside = width_of(title, theme.code_px, True) + width_of(said, theme.body_px) + 3.0 * float(theme.unit)
        return bool(beside > wide_px)

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        wide, said = ListedTask.wide(width_px), row["said"]
        below = bool(said) and ListedTask.is_below(row["title"], said, wide)
        high = height_of(row["title"], theme.code_px, wide, bold=True) + height_of(row["detail"], theme.body_px, wide)
        high += height_of(said, theme.body_px, wide) if below else 0.0
        return max(float(theme.row), high + 1.5 * float(theme.unit))

    def on_release(self) -> None:
        """Show its card."""
        self.tapped()


ROWS = (ListedPlace, ListedTask)

Builder.load_file(str(Path(__file__).with_suffix(".kv")))
