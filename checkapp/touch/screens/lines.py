"""All lines: go to any of them, and choose the order in which they are walked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.show.line_list import MINUTES
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.checking_order import Order
    from checkapp.show.views import LinesView

_ORDERS: Final[dict[str, Order]] = {
    "list": "list",
    "place": "walk",
    "reverse": "reverse",
    "likeliest": "likely",
    "changed": "changed",
}
"""The order that each button brings about."""
_NO_END: Final = "no limit"
_TIMES: Final[dict[str, float | None]] = {**{f"{minutes:g} min": minutes for minutes in MINUTES}, _NO_END: None}


class LinesScreen(Page):
    """The list of lines in the order in which they are walked."""

    wide = BooleanProperty(True)

    def rows_of(self, view: LinesView) -> list[listing.RowDict]:
        """The list, one row a line; before it what there is time for."""
        rows = [listing.line(row, self.moves.go_to, view.here) for row in view.rows]
        return [listing.words(view.words), *rows] if view.words else rows

    def start_of(self, view: LinesView) -> int:
        """The row of the line at which the walk stands; with the likeliest first the top."""
        if view.words:
            return 0
        return next((number for number, row in enumerate(view.rows) if row.line == view.here), 0)

    def orders_of(self, view: LinesView) -> list[Choice]:
        """The orders, the one that is walked in marked; what changed first only where something did."""
        orders = {word: order for word, order in _ORDERS.items() if view.changed or order != "changed"}
        return [Choice(word, status="next" if order == view.order else "open") for word, order in orders.items()]

    def times_of(self, view: LinesView) -> list[Choice]:
        """The minutes that there may be; nothing to choose where the order does not ask for it."""
        if view.order != "likely":
            return []
        chosen = view.minutes
        return [Choice(word, status="next" if minutes == chosen else "open") for word, minutes in _TIMES.items()]

    def chose(self, word: str) -> None:
        """An order, or the minutes that there are."""
        if word in _ORDERS:
            self.moves.reorder(_ORDERS[word], None)
        else:
            self.moves.reorder("likely", _TIMES[word])

    def leave(self) -> None:
        """Back to the walk, which may be at another line now."""
        self.moves.walk_on()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
