"""The history as the app asks for it: read once, then looked at by kind and by item."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.rig.errors import CheckappError
from checkapp.show.history_views import ALL, HistoryView, LifeView, history_view, life_view

if TYPE_CHECKING:
    from checkapp.history.analysis import History


class UnknownItem(CheckappError):
    """An item that the history does not have."""


class HistoryDesk:
    """The history of the journal at ``journal``, as it was when it was opened last."""

    def __init__(self, journal: Path) -> None:
        self._journal = journal
        self._found: History | None = None

    def view(self, kind: str = ALL) -> HistoryView:
        """The worst items of a kind; all kinds read the journal anew. Errors: those of the journal."""
        if self._found is None or kind == ALL:
            from checkapp.show.history_now import history_of

            self._found = history_of(self._journal)
        return history_view(self._found, kind)

    def life(self, item: str) -> LifeView:
        """An item's whole life. `UnknownItem`: the history has none of that name."""
        if self._found is None:
            self.view()
        try:
            return life_view(self._found, item)  # type: ignore[arg-type]
        except KeyError:
            raise UnknownItem(f"{item} is not in the history") from None
