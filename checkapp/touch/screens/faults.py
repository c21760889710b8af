"""All faults of the rig that are not cleared, and what is to be tagged and pulled at load-out."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import StringProperty

from checkapp.tongue import shown_names, tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.fault_views import FaultListView


class FaultsScreen(Page):
    """The list of faults and the list for load-out. A tap on an item says that it was tagged and pulled, or is back."""

    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """A new view is there: what was being saved is."""
        self.saving = ""

    def rows_of(self, view: FaultListView) -> list[listing.RowDict]:
        """The faults that are open or led round, what is to be pulled, then the known faults, last what was pulled."""
        pull = [
            listing.choice(shown_names(row.item), row.words, tr("mark pulled"), partial(self.moves.pull, row.item))
            for row in view.pull
        ]
        pulled = [
            listing.choice(shown_names(row.item), row.words, tr("is back"), partial(self.moves.returned, row.item))
            for row in view.pulled
        ]
        return [
            listing.words(view.summary),
            *([listing.words(view.to_do)] if view.to_do else []),
            *listing.lines_under(tr("Faulty"), view.open, None),
            *listing.lines_under(tr("Led round a fault"), view.around, None),
            *([listing.heading(tr("Tag and pull: {count}", count=len(pull))), *pull] if pull else []),
            *listing.lines_under(tr("Known, signed off so"), view.known, None),
            *([listing.heading(tr("Pulled: {count}", count=len(pulled))), *pulled] if pulled else []),
        ]

    def words_of(self, work: str) -> str:
        """What the large button says."""
        return {"suspects": tr("suspects"), "line check": tr("line check")}.get(work, "")

    def go(self) -> None:
        """On to what is next."""
        if self.view.next_work == "suspects":
            self.moves.fault_sheet()
        else:
            self.moves.visit("line check")

    def way_back(self, view: FaultListView) -> str:
        """Where the way back leads."""
        return tr("walk") if view.can_walk else tr("rig")

    def leave(self) -> None:
        """Back to the walk where a check is open, else to the rig."""
        if self.view.can_walk:
            self.moves.walk_on()
        else:
            self.moves.rig()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
