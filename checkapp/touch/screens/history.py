"""The history: the worst items first, with what is advised and why."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets import suspects as _suspects  # noqa: F401
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.history_views import HistoryRow, HistoryView


class HistoryScreen(Page):
    """What failed how often, over all shows that the journal knows. A tap on an item opens its whole life."""

    wide = BooleanProperty(True)

    def rows_of(self, view: HistoryView) -> list[listing.RowDict]:
        """What it comes to, the items, and the totals of the kinds."""
        rows = [listing.words(view.summary), *map(self._item, view.rows)]
        if view.left_out:
            rows.append(listing.words(f"{view.left_out} more items are in the report."))
        totals = [listing.heading("Kinds and spares"), *map(listing.words, view.totals)] if view.totals else []
        return [*rows, *totals]

    def _item(self, row: HistoryRow) -> listing.RowDict:
        return listing.life(row, partial(self.moves.life, row.item))

    def kinds_of(self, view: HistoryView) -> list[Choice]:
        """The kinds, the one that is shown marked."""
        return [Choice(kind, status="next" if kind == view.kind else "open") for kind in view.kinds]

    def chose(self, kind: str) -> None:
        """Another kind."""
        self.moves.history(kind)

    def leave(self) -> None:
        """Back to the rigs."""
        self.moves.rigs()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
