"""A check that was signed off, to read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import CheckView


class PastScreen(Page):
    """What was found in a check, and what was left."""

    def rows_of(self, check: CheckView) -> list[listing.RowDict]:
        """What is to be pulled, else what comes after this check; then the lists: faulty, open, ok, to read only."""
        over = listing.words(tr("This check is over. The next one is started at the rig."))
        return (listing.to_pull(check, self.moves.fault_list) or [over]) + listing.whole_check(check, None)

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
