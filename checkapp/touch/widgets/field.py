"""A place to type a few words, with what they are above it."""

from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.textinput import TextInput


class Entry(TextInput):
    """One line of typing; Tab goes on to the next.

    The toolkit follows the cursors of all places to type with one trigger, which keeps the last of them for good, and
    with it its screen and all that were built beside that. Here each has its own.
    """

    def __init__(self, **kwargs: Any) -> None:
        self._cursor_at = 0, 0
        self._follow = Clock.create_trigger(self._follow_cursor, -1)
        super().__init__(**kwargs)

    def get_cursor_from_xy(self, x: float, y: float) -> tuple[int, int]:
        """Where in the words a finger is: at their beginning while they are not laid out; the toolkit fails there."""
        if not self._lines:
            return 0, 0
        column, row = super().get_cursor_from_xy(x, y)
        return int(column), int(row)

    def _adjust_viewport(self, column: int, row: int) -> None:
        self._cursor_at = column, row
        self._follow()

    def _follow_cursor(self, _dt: float) -> None:
        """Scroll what is typed so that the cursor is in sight."""
        TextInput._adjust_viewport.__wrapped__(self, *self._cursor_at)


class Field(BoxLayout):
    """A label and the place to type."""

    label = StringProperty("")
    text = StringProperty("")
    typing = BooleanProperty(False)
    __events__ = ("on_enter",)

    def on_enter(self) -> None:
        """Enter was pressed while typing here."""


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
