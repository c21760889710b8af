"""Which show the history is looked at for."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.show.history_views import Chosen
from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.touch.fault_moves import ShowsAsked


class ShowsScreen(Page):
    """The shows, latest first; a tap opens the history of that one."""

    def rows_of(self, view: ShowsAsked) -> list[listing.RowDict]:
        """A row a show."""
        if not view.shows:
            return [listing.words(tr("No show was checked yet."))]
        return [listing.choice(one.show, one.detail, tr("see"), partial(self._chose, one.show)) for one in view.shows]

    def _chose(self, show: str) -> None:
        self.moves.history_of(Chosen(self.view.kind, show))

    def leave(self) -> None:
        """Back to the history."""
        self.moves.history_again()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
