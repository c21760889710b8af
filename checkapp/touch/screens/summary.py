"""The check as a whole: what was found, what is open, and the sign-off."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import CheckView


class SummaryScreen(Page):
    """What there is to know before signing off; a tap on a line goes to it.

    While lines are open the large button goes on with them, and the sign-off stands beside or above it.
    """

    wide = BooleanProperty(True)

    def rows_of(self, check: CheckView) -> list[listing.RowDict]:
        """The lists: faulty, open, ok."""
        return listing.to_pull(check, self.moves.fault_list) + listing.whole_check(check, self.moves.go_to)

    def main_words(self, check: CheckView) -> str:
        """What the large button says: back to work while lines are open, else the sign-off."""
        return tr("go on, {count} open", count=len(check.open)) if check.open else check.sign_off_words

    def why_not(self, check: CheckView) -> str:
        """Why it cannot be signed off yet."""
        return tr("Not all is saved yet.") if check.waiting else tr("Mark a line first.")

    def leave(self) -> None:
        """Back to the walk."""
        self.moves.walk()

    def sign_off(self) -> None:
        """Close the check."""
        self.moves.sign_off()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
