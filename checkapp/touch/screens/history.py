"""The history: the worst items first, with what is advised and why."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.show.history_views import ALL_TIME, Chosen
from checkapp.tongue import later, tr, trn
from checkapp.touch import listing
from checkapp.touch.figure_look import look_now
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets import suspects as _suspects  # noqa: F401
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.history_views import HistoryRow, HistoryView

A_SHOW = later("a show")
"""The word that leads to the shows."""


class HistoryScreen(Page):
    """What failed how often, over all shows that the journal knows. A tap on an item opens its whole life."""

    wide = BooleanProperty(True)
    low = BooleanProperty(False)

    def title_of(self, view: HistoryView) -> str:
        """What is looked at, where that is one show."""
        return tr("History, {show}", show=view.chosen.show) if view.chosen.show else tr("History")

    def rows_of(self, view: HistoryView) -> list[listing.RowDict]:
        """What it comes to, the items, and the totals of the kinds."""
        rows = [listing.words(view.summary), *map(self._item, view.rows)]
        if view.left_out:
            rows.append(
                listing.words(
                    trn("{count} more item is in the report.", "{count} more items are in the report.", view.left_out)
                )
            )
        if not view.rows and not view.chosen.show and view.chosen.period == ALL_TIME:
            rows.append(self._line_check())
        totals = [listing.heading(tr("Kinds and spares")), *map(listing.words, view.totals)] if view.totals else []
        return [*rows, *totals]

    def _line_check(self) -> listing.RowDict:
        """Where a history begins."""
        detail = tr("Mark lines, and repair what is faulty: it is kept here")
        return listing.choice(tr("Line check"), detail, tr("go"), partial(self.moves.visit, "line check"))

    def _item(self, row: HistoryRow) -> listing.RowDict:
        return listing.life(row, partial(self.moves.life, row.item))

    def kinds_of(self, view: HistoryView) -> list[Choice]:
        """The kinds, the one that is shown marked."""
        return [_choice(kind, kind == view.chosen.kind) for kind in view.kinds]

    def periods_of(self, view: HistoryView) -> list[Choice]:
        """The periods and the shows, what is shown marked."""
        of_show = bool(view.chosen.show)
        periods = [_choice(period, period == view.chosen.period and not of_show) for period in view.periods]
        return [*periods, _choice(A_SHOW, of_show)]

    def chose(self, kind: str) -> None:
        """Another kind, of the same show or period."""
        self.moves.history_of(replace(self.view.chosen, kind=kind))

    def chose_when(self, word: str) -> None:
        """Another period, or which show."""
        if word == A_SHOW:
            self.moves.history_shows(self.view.chosen.kind)
        else:
            self.moves.history_of(Chosen(self.view.chosen.kind, period=word))

    def draw(self) -> None:
        """The figures of what is shown."""
        self.moves.history_figures(self.view.chosen, look_now(self.width))

    def leave(self) -> None:
        """Back to the rigs."""
        self.moves.rigs()


def _choice(word: str, chosen: bool) -> Choice:
    return Choice(word, status="next" if chosen else "open")


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
