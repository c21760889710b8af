"""What can be done about a suspect: each repair as one action."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.tongue import shown_names, tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets import suspects as _suspects  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.fault_views import SuspectRow


class BlameScreen(Page):
    """A suspect, and those that no mark can tell from it, each with what can be done."""

    def rows_of(self, suspect: SuspectRow) -> list[listing.RowDict]:
        """The suspect with what says so, and the repairs of each of its items."""
        rows = [listing.suspect(suspect, None)]
        at = ""
        for row in suspect.works:
            if row.item != at:
                rows.append(listing.heading(shown_names(row.item)))
            at = row.item
            rows.append(
                listing.choice(row.title, row.more, tr("do it"), partial(self.moves.repair, row.work, row.item))
            )
        return rows

    def leave(self) -> None:
        """Back to the fault sheet."""
        self.moves.sheet_again()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
