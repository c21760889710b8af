"""All lines: go to any of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import LineRow


class LinesScreen(Page):
    """The list of lines; its view is the rows and the line at which the walk stands."""

    def rows_of(self, view: tuple[tuple[LineRow, ...], str]) -> list[listing.RowDict]:
        """The list, one row a line."""
        rows, here = view
        return [listing.line(row, self.moves.go_to, here) for row in rows]

    def start_of(self, view: tuple[tuple[LineRow, ...], str]) -> int:
        """The row of the line at which the walk stands."""
        rows, here = view
        return next((number for number, row in enumerate(rows) if row.line == here), 0)

    def leave(self) -> None:
        """Back to the walk."""
        self.moves.walk()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
