"""Rows of lists that may have thousands: each is as high as all of its kind, so that none has to be measured."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.theme import theme
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.rows import RowDict


class ListedFile(ButtonBehavior, BoxLayout):
    """A folder or a file: its name, what there is to know of it, the word for opening it."""

    title = StringProperty("")
    detail = StringProperty("")
    word = StringProperty("")
    tapped = ObjectProperty(None)

    @staticmethod
    def height_for(row: RowDict, _width_px: float) -> float:
        """Height of the row in pixels."""
        lines = 1.4 * float(theme.code_px) + (1.4 * float(theme.body_px) if row["detail"] else 0.0)
        return max(float(theme.row), lines + 2.0 * float(theme.unit))

    def on_release(self) -> None:
        """Open it."""
        self.tapped()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
