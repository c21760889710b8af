"""Several tablets at one show: where their marks disagree, who has what, and how they come together."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import notice as _notice  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import rows as _rows  # noqa: F401
from checkapp.touch.widgets import tablet_rows as _tablet_rows  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.tablet_views import Dispute, TabletRow, TabletsView


class TabletsScreen(Page):
    """What is to be settled first, then the tablets; at the foot what brings them together."""

    wide = BooleanProperty(True)
    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """A new view is there: what was under way is done."""
        self.saving = ""

    def title_of(self, view: TabletsView) -> str:
        """The show, and how many tablets."""
        return tr("{show}: {summary}", show=view.show, summary=view.summary) if view.show else view.summary

    def rows_of(self, view: TabletsView) -> list[listing.RowDict]:
        """What came of the last exchange, what is to be settled, the tablets, the hub."""
        said, _, more = view.message.partition("\n")
        rows = [listing.notice("ok", said, more, None, firm=False)] if said else []
        rows += [listing.caution(words) for words in view.wrong]
        rows += [self._dispute(one, view.can_settle) for one in view.disputes]
        if view.tablets:
            rows += [listing.heading(tr("Who has what")), *map(self._tablet, view.tablets)]
        return [*rows, listing.choice(tr("Hub"), view.hub, tr("change"), self.moves.hub)]

    def _dispute(self, one: Dispute, can_settle: bool) -> listing.RowDict:
        words = tr("{number}  {name}: two marks disagree", number=one.number, name=one.name)
        if one.unlike:
            words = tr("{number}  {name}: heard in two ways", number=one.number, name=one.name)
        more = "\n".join(f"{mark.said}: {mark.who}" for mark in one.marks)
        return listing.notice("look", words, more, partial(self.moves.dispute, one) if can_settle else None)

    def _tablet(self, row: TabletRow) -> listing.RowDict:
        return listing.tablet(row, partial(self.moves.tablet_name, row.device))

    def give(self) -> None:
        """Give this tablet's log."""
        self.moves.give_log()

    def take(self) -> None:
        """Take another tablet's log in."""
        self.moves.take_log()

    def sync(self) -> None:
        """Bring this tablet and the hub together."""
        self.moves.sync()

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
