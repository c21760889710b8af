"""An item's whole life: what it comes to, and what happened when."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.figure_look import look_now
from checkapp.touch.page import Page
from checkapp.touch.widgets import notice as _notice  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import rows as _rows  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.history_views import LifeView


class LifeScreen(Page):
    """One item over all shows."""

    def rows_of(self, view: LifeView) -> list[listing.RowDict]:
        """What is advised, the figures in words, then the events, latest first."""
        first, *more = view.lines
        rows = [listing.notice(view.status, first, "", None), *map(listing.words, more)]
        events = [listing.words(f"{at}  {words}") for at, words in view.events]
        return [*rows, listing.heading(tr("What happened") if events else tr("Nothing happened to it")), *events]

    def draw(self) -> None:
        """The figures of its life."""
        self.moves.life_figure(self.view.item, look_now(self.width))

    def leave(self) -> None:
        """Back to the history."""
        self.moves.history_again()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
