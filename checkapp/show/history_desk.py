"""The history as the app asks for it: read once, then looked at by kind, by show, by period and by item."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.rig.errors import CheckappError
from checkapp.show.history_views import (
    PERIODS,
    Chosen,
    HistoryView,
    LifeView,
    ShowChoice,
    history_view,
    life_view,
    shows_of,
)
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.history.analysis import History, ItemRow
    from checkapp.show.history_pictures import FiguresView, Look

_ALL = Chosen()


class UnknownItem(CheckappError):
    """An item that the history does not have."""


class HistoryDesk:
    """The history of the journal at ``journal``, as it was when it was opened last."""

    def __init__(self, journal: Path) -> None:
        self._journal = journal
        self._found: dict[tuple[str, str], History] = {}

    def opened(self) -> HistoryView:
        """All of it, the journal read anew. Errors: those of the journal."""
        self._found.clear()
        return self.view(_ALL)

    def view(self, chosen: Chosen) -> HistoryView:
        """The worst items of what is chosen. `UnknownShow`: none of that name; else errors of the journal."""
        return history_view(self._of(chosen), chosen)

    def shows(self) -> tuple[ShowChoice, ...]:
        """The shows that can be chosen, latest first. Errors: those of the journal."""
        return shows_of(self._of(_ALL))

    def life(self, item: str) -> LifeView:
        """An item's whole life, over all shows. `UnknownItem`: the history has none of that name."""
        self._row(item)
        return life_view(self._of(_ALL), item)

    def figures(self, chosen: Chosen, look: Look) -> FiguresView:
        """The figures of what is chosen. Errors: as `view`."""
        from checkapp.show.history_pictures import figures_view

        return figures_view(self._of(chosen), chosen, look)

    def life_figure(self, item: str, look: Look) -> FiguresView:
        """The figure of an item's life. Errors: as `life`."""
        from checkapp.show.history_pictures import life_figure

        return life_figure(self._of(_ALL), self._row(item), look)

    def drawn_again(self, view: FiguresView, look: Look) -> FiguresView:
        """Figures of the same as those of ``view``. Errors: as `figures`, or as `life_figure`."""
        return self.life_figure(view.item, look) if view.item else self.figures(view.chosen, look)

    def _of(self, chosen: Chosen) -> History:
        key = chosen.show, chosen.period
        if key not in self._found:
            from checkapp.show.history_now import Asked, history_of

            self._found[key] = history_of(self._journal, Asked(chosen.show or None, days=PERIODS[chosen.period]))
        return self._found[key]

    def _row(self, item: str) -> ItemRow:
        row = next((one for one in self._of(_ALL).items if one.life.item == item), None)
        if row is None:
            raise UnknownItem(tr("{item} is not in the history", item=item))
        return row
