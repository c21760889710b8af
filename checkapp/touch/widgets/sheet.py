"""A page of labels to look at, and a sheet whose labels can be tapped."""

from __future__ import annotations

import io
from functools import partial
from pathlib import Path
from typing import Any, Final

from kivy.core.image import Image as Pixels
from kivy.lang import Builder
from kivy.properties import NumericProperty, ObjectProperty, OptionProperty
from kivy.uix.gridlayout import GridLayout
from kivy.uix.image import Image

from checkapp.touch.theme import theme
from checkapp.touch.widgets.buttons import PlainButton

CELLS: Final = ("gone", "start", "tag", "white")
"""What becomes of a label of the sheet: it is gone already, printed first, printed, or left white."""


class PageImage(Image):
    """A picture that comes as the bytes of a PNG; nothing is shown while there are none."""

    picture = ObjectProperty(b"")

    def on_picture(self, _image: object, picture: bytes) -> None:
        """Show it."""
        self.texture = Pixels(io.BytesIO(picture), ext="png", nocache=True).texture if picture else None


class ListedPage(PageImage):
    """A page as a row of a list, as wide as the list."""

    @staticmethod
    def height_for(row: dict[str, Any], width_px: float) -> float:
        """Height of the row in pixels in a list ``width_px`` wide."""
        return float(width_px * row["high"] / row["wide"])


class SheetCell(PlainButton):
    """One label of a sheet."""

    cell = OptionProperty("white", options=CELLS)


class SheetCells(GridLayout):
    """The labels of a sheet, none smaller than a finger; ``on_cell`` tells the number tapped, from 1, row by row."""

    view = ObjectProperty(None, rebind=True)
    least_px = NumericProperty("48dp")
    __events__ = ("on_cell",)

    def on_cell(self, _number: int) -> None:
        """A label was tapped."""

    def on_view(self, *_: object) -> None:
        """Show the sheet; its cells are made anew only when there are more or fewer of them."""
        view = self.view
        if view is None:
            return
        self.cols = view.across
        if len(self.children) != len(view.cells):
            self.clear_widgets()
            for number in range(1, len(view.cells) + 1):
                cell = SheetCell(size_hint_y=1)
                cell.bind(on_release=partial(_tapped, self.proxy_ref, number))
                self.add_widget(cell)
        for number, (cell, code) in enumerate(zip(reversed(self.children), view.cells, strict=True), 1):
            cell.cell = _cell_of(number, view.start, code)
            cell.status = "next" if cell.cell == "start" else "open"
            cell.text = code


def _cell_of(number: int, start: int, code: str) -> str:
    if number < start:
        return "gone"
    return "start" if number == start else "tag" if code else "white"


def _tapped(cells: SheetCells, number: int, _cell: object) -> None:
    cells.dispatch("on_cell", number)


def cells_height(rows: int, room_px: float, least_px: float) -> float:
    """Height of so many rows of labels in pixels: the room there is, but no row lower than a finger needs."""
    return max(room_px, rows * (least_px + float(theme.unit) / 2))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
