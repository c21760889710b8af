"""The first screen: which rig."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import RigRow


class RigsScreen(Page):
    """The rigs that can be picked. Its view is None until the rigs have been read."""

    def rows_of(self, rigs: tuple[RigRow, ...] | None) -> list[listing.RowDict]:
        """The list: one choice a rig."""
        if rigs is None:
            return [listing.words("Reading the plans.")]
        rows = [listing.choice(rig.title, rig.detail, "pick", partial(self.moves.open_rig, rig.plan)) for rig in rigs]
        past = "Of all shows: what failed how often, what to retire, how many spares"
        return [*rows, listing.choice("History", past, "see", self.moves.history)]


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
