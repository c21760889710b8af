"""The changeover list: what is done from the rig that stands to the one that comes, and which lines to check again."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.tongue import tr, trn
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import changes as _changes  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import rows as _rows  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.changeover_views import ChangeoverView, ChangeRow

_FOLDED: Final = 2
"""So many cautions are folded where there is little room."""


class ChangeoverScreen(Page):
    """The work in its order, then the lines to check again, which the large button begins with.

    ``roomy``: how much there is to do stands over the list; on a small screen that is the first of its rows, and
    cautions are folded to a line until they are ``opened``.
    """

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    opened = BooleanProperty(False)

    def rows_of(self, view: ChangeoverView, roomy: bool, opened: bool) -> list[listing.RowDict]:
        """The list: from which rig to which, what to mind, the work group by group, the lines to check again."""
        rows = [listing.words(view.title if roomy else view.headline), *self._cautions(view, roomy, opened)]
        for group in view.groups:
            rows += [listing.heading(group.title), *map(self._change, group.rows)]
        if view.again:
            rows.append(listing.heading(view.again_title))
        return [*rows, *(listing.line(row, self.moves.card) for row in view.again)]

    def _cautions(self, view: ChangeoverView, roomy: bool, opened: bool) -> list[listing.RowDict]:
        """What to mind; where there is little room several are folded to a line."""
        cautions = [listing.caution(words) for words in view.cautions]
        if roomy or len(cautions) < _FOLDED:
            return cautions
        count = trn("{count} caution before you plug", "{count} cautions before you plug", len(cautions))
        folded = listing.cautions(count, tr("close") if opened else tr("read"), self.fold)
        return [folded, *cautions] if opened else [folded]

    def fold(self) -> None:
        """Open the cautions, or fold them again."""
        self.opened = not self.opened

    def _change(self, row: ChangeRow) -> listing.RowDict:
        return listing.change(row, partial(self.moves.card, row.item) if row.item else None)

    def check(self) -> None:
        """Check the lines that changed."""
        self.moves.check_changed(self.view)

    def set_up(self) -> None:
        """Set up the new rig, where each end that is plugged is ticked or scanned."""
        self.moves.new_setup(self.view.rig)

    def leave(self) -> None:
        """Back to the new rig."""
        self.moves.rig()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
