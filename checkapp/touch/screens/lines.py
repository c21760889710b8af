"""All lines: go to any of them, and choose the order in which they are walked."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.show.line_list import MINUTES
from checkapp.show.walk_only import Wanted
from checkapp.tongue import later, shown_word, tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.checking_order import Order
    from checkapp.show.views import LinesView
    from checkapp.show.walk_only import Which, ZoneRow

_ORDERS: Final[dict[str, Order]] = {
    later("list"): "list",
    later("place"): "walk",
    later("reverse"): "reverse",
    later("likeliest"): "likely",
    later("changed"): "changed",
}
"""The order that each button brings about."""
_WHICH: Final[dict[str, Which]] = {later("all"): "all", later("open"): "open", later("faulty"): "faulty"}
"""The lines that each button lists; one more asks for a zone."""


class LinesScreen(Page):
    """The list of lines in the order in which they are walked."""

    wide = BooleanProperty(True)

    picking = BooleanProperty(False)

    def on_view(self, *_: object) -> None:
        """Other lines are listed: no zone is asked for any more."""
        self.picking = False

    def rows_of(self, view: LinesView, picking: bool) -> list[listing.RowDict]:
        """The list, one row a line, before it what there is time for and that these lines can be walked on their own;
        while a zone is asked for the zones."""
        if picking:
            return [self._zone(zone) for zone in view.zones]
        rows = [listing.line(row, self.moves.go_to, view.here) for row in view.rows]
        if view.walk_words and view.rows:
            rows.insert(0, self._walk_these(view))
        elif view.walk_words:
            rows.insert(0, listing.words(view.walk_words))
        return [listing.words(view.words), *rows] if view.words else rows

    def _zone(self, zone: ZoneRow) -> listing.RowDict:
        wanted = Wanted("zone", zone.zone)
        return listing.choice(zone.title, zone.words, tr("show"), partial(self.moves.list_only, wanted))

    def _walk_these(self, view: LinesView) -> listing.RowDict:
        walk = partial(self.moves.walk_only, view.wanted)
        return listing.choice(view.walk_words, tr("Then the others are offered."), tr("walk"), walk)

    def start_of(self, view: LinesView) -> int:
        """The row of the line at which the walk stands; the top where something stands before the lines."""
        if view.words or view.walk_words:
            return 0
        return next((number for number, row in enumerate(view.rows) if row.line == view.here), 0)

    def orders_of(self, view: LinesView) -> list[Choice]:
        """The orders, the one that is walked in marked; what changed first only where something did."""
        orders = {word: order for word, order in _ORDERS.items() if view.changed or order != "changed"}
        return [Choice(shown_word(word), status=_chosen(order == view.order)) for word, order in orders.items()]

    def which_of(self, view: LinesView, picking: bool) -> list[Choice]:
        """Which lines are listed, that one marked."""
        wanted = view.wanted
        choices = [
            Choice(shown_word(word), status=_chosen(which == wanted.which and not picking))
            for word, which in _WHICH.items()
        ]
        in_zone = picking or wanted.which == "zone"
        why = tr("The plan says no zone of any line.")
        return [*choices, Choice(tr("zone"), able=bool(view.zones), status=_chosen(in_zone), why=why)]

    def times_of(self, view: LinesView) -> list[Choice]:
        """The minutes that there may be; nothing to choose where the order does not ask for it."""
        if view.order != "likely":
            return []
        times = _times()
        return [Choice(word, status=_chosen(minutes == view.minutes)) for word, minutes in times.items()]

    def chose_order(self, word: str) -> None:
        """An order was tapped."""
        self.moves.reorder(next(order for one, order in _ORDERS.items() if shown_word(one) == word), None)

    def chose_which(self, word: str) -> None:
        """Which lines was tapped; the last button asks for the zone first."""
        which = next((one for name, one in _WHICH.items() if shown_word(name) == word), None)
        if which is None:
            self.picking = not self.picking
        else:
            self.moves.list_only(Wanted(which))

    def chose_time(self, word: str) -> None:
        """The minutes that there are."""
        self.moves.reorder("likely", _times()[word])

    def leave(self) -> None:
        """Back to the walk, which may be at another line now."""
        self.moves.walk_on()


def _times() -> dict[str, float | None]:
    """The minutes that each button stands for."""
    times: dict[str, float | None] = {tr("{count} min", count=f"{minutes:g}"): minutes for minutes in MINUTES}
    return times | {tr("no limit"): None}


def _chosen(is_so: bool) -> str:
    return "next" if is_so else "open"


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
