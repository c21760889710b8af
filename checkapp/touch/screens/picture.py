"""The rig as a picture: where boxes stand, what connects them, and where the findings are."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.keys import PLAN_KEYS
from checkapp.touch.page import Page
from checkapp.touch.widgets import plan as _plan
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.picturing import PictureView


class PictureScreen(Page):
    """The stage plan, what its strokes mean, and the findings with the numbers that they have in it."""

    wide = BooleanProperty(True)

    def rows_of(self, view: PictureView) -> list[listing.RowDict]:
        """Beside the plan: the summary, the key, what must be said of the plan, the findings."""
        keys = [listing.key(row) for row in view.keys]
        notes = [listing.words(note) for note in view.notes]
        tap = listing.words(tr("Tap a box for its card."))
        return [listing.heading(view.summary), tap, *listing.numbered(view.findings), *keys, *notes]

    def zoom(self, steps: int) -> None:
        """Closer, or with a number below 0 farther."""
        self.ids.plan.zoom(_plan.STEP**steps)

    def card(self, item: str) -> None:
        """Show what there is to know of an item."""
        self.moves.card(item)

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()

    def key(self, key: int) -> bool:
        """Plus and minus zoom."""
        if key not in PLAN_KEYS:
            return bool(super().key(key))
        self.zoom(PLAN_KEYS[key])
        return True


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
