"""Rows of lists that may have thousands: each is as high as all of its kind, so that none has to be measured."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.tongue import tr
from checkapp.touch.measure import height_of, width_of
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


class ListedRead(BoxLayout):
    """A row of a sheet and what it became: its number, the line, where that goes, what was guessed.

    ``whole``: as many lines of words as it takes; else one each, cut where there is no room.
    """

    row = StringProperty("")
    title = StringProperty("")
    detail = StringProperty("")
    note = StringProperty("")
    status = StringProperty("open")
    whole = BooleanProperty(True)

    @staticmethod
    def height_for(row: RowDict, width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        one_line = 1.4 * float(theme.body_px)
        texts = [text for text in (row["title"], row["detail"], row["note"]) if text]
        if row["whole"]:
            unit, body_px = float(theme.unit), float(theme.body_px)
            wide = width_px - ListedRead.aside_px(row["status"], unit, body_px) - 4.0 * unit
            high = sum(height_of(text, theme.body_px, wide, bold=text is row["title"]) for text in texts)
        else:
            high = one_line * len(texts)
        beside = int(bool(row["row"])) + int(row["status"] == "look")
        return max(high, one_line * beside) + 2.0 * float(theme.unit)

    @staticmethod
    def aside_px(status: str, unit: float, body_px: float) -> float:
        """Width in pixels of the number, or the word in its place, and of the mark where there is one."""
        word = max(width_of(tr("look"), body_px, bold=True), width_of("10000", body_px))
        return word + unit + (4.0 * unit if status == "look" else 0.0)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
