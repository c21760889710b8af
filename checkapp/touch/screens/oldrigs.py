"""Before a changeover: which rig stands now."""

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
    from checkapp.show.changeover_views import OldRigsView


class OldRigsScreen(Page):
    """The rigs that can have stood before the open one."""

    def rows_of(self, view: OldRigsView) -> list[listing.RowDict]:
        """The list: one choice a rig."""
        rows = [
            listing.choice(rig.title, rig.detail, tr("pick"), partial(self.moves.changeover, rig.plan, view.new))
            for rig in view.rigs
        ]
        return [listing.words(view.title), *rows]

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
