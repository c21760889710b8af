"""The first screen: which rig."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.beginning import RigRow


class RigsScreen(Page):
    """The rigs that can be picked. Its view is None until the rigs have been read."""

    def rows_of(self, rigs: tuple[RigRow, ...] | None) -> list[listing.RowDict]:
        """The list: one choice a rig."""
        if rigs is None:
            return [listing.words(tr("Reading what was at work here, and the plans."))]
        if not rigs:
            return [listing.words(tr("No plan is on this tablet. Open a file: a plan or an input list."))]
        pick = self.moves.open_rig
        return [listing.choice(rig.title, rig.detail, tr("pick"), partial(pick, rig.plan)) for rig in rigs]


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
