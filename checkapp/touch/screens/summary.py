"""The check as a whole: what was found, what is open, and the sign-off."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import CheckView


class SummaryScreen(Page):
    """What there is to know before signing off; a tap on a line goes to it.

    While lines are open the large button goes on with them, and the sign-off stands beside or above it. A button does
    what it said when it was touched: another tablet's marks may come in while a finger rests on it.
    """

    wide = BooleanProperty(True)
    touched = ObjectProperty(None)

    def rows_of(self, check: CheckView) -> list[listing.RowDict]:
        """The lists: faulty, open, ok."""
        return listing.to_pull(check, self.moves.fault_list) + listing.whole_check(check, self.moves.go_to)

    def main_words(self, check: CheckView) -> str:
        """What the large button says: back to work while lines are open, else the sign-off."""
        return tr("go on, {count} open", count=len(check.open)) if check.open else check.sign_off_words

    def why_not(self, check: CheckView) -> str:
        """Why it cannot be signed off yet."""
        return tr("Not all is saved yet.") if check.waiting else tr("Mark a line first.")

    def touch(self) -> None:
        """A finger is on a button: what it does is what it says now."""
        self.touched = self.view

    def leave(self) -> None:
        """Back to the walk."""
        self.moves.walk()

    def go_on(self) -> None:
        """What the large button said: back to the open lines, else the sign-off."""
        if self.touched.open:
            self.leave()
        else:
            self.sign_off()

    def sign_off(self) -> None:
        """Close the check; when what it comes to has changed under the finger, that is to be read first."""
        if self.view.sign_off_words == self.touched.sign_off_words:
            self.moves.sign_off()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
