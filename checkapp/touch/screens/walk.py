"""The walk: one line after another, each marked with one touch."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from checkapp.touch import listing
from checkapp.touch.keys import WALK_KEYS
from checkapp.touch.measure import width_of
from checkapp.touch.page import Page
from checkapp.touch.widgets import facts as _facts  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import foot as _foot  # noqa: F401
from checkapp.touch.widgets import progress as _progress  # noqa: F401
from checkapp.touch.widgets import run as _run  # noqa: F401
from checkapp.touch.widgets import tape as _tape  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.views import WalkView

_THEN: Final = "then   "


class WalkScreen(Page):
    """The line that is being listened to.

    A button marks the line that was shown when it was touched, not the one that is there when it is let go. ``lead`` is
    who is to blame the most while lines are faulty.
    """

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    tall = BooleanProperty(False)
    saving = StringProperty("")
    lead = StringProperty("")
    touched = ObjectProperty(None)
    _line = ""

    def on_view(self, *_: object) -> None:
        """A new view is there, which says what became of the last tap; a new line begins at its name."""
        self.saving = ""
        if self.ids and self.view.line != self._line:
            self.ids.middle.scroll_y = 1
        self._line = self.view.line

    def said_of(self, walk: WalkView) -> str:
        """What the line's mark says; nothing while it has none."""
        return "" if walk.status == "open" else listing.mark_words(walk.status, walk.said)

    def then_of(self, walk: WalkView, width_px: float, size_px: float) -> str:
        """The next lines, both where they have room in whole, else only the first; nothing after the last."""
        both = _THEN + "      ".join(walk.then)
        if not walk.then:
            return ""
        return both if 1.03 * width_of(both, size_px) <= width_px else _THEN + walk.then[0]

    def touch(self) -> None:
        """A button went down: remember which line was shown."""
        self.touched = self.view

    def ok(self) -> None:
        """Mark it ok."""
        self.moves.ok(self.touched.line)

    def faulty(self) -> None:
        """Ask what was heard."""
        self.moves.ask_symptom(self.touched)

    def back(self) -> None:
        """The line before."""
        self.moves.back(self.touched.line)

    def forward(self) -> None:
        """The line after."""
        self.moves.forward(self.touched.line)

    def skip(self) -> None:
        """Leave it open."""
        self.moves.skip(self.touched.line)

    def undo(self) -> None:
        """Take the last mark back."""
        self.moves.undo()

    def lead_words(self, lead: str) -> str:
        """Who is to blame, for the button that leads to the fault sheet."""
        return f"Suspect: {lead}" if lead else ""

    def suspects(self) -> None:
        """Who is to blame, and what to try next."""
        self.moves.fault_sheet()

    def lines(self) -> None:
        """Go to any line."""
        self.moves.lines(self.view.line)

    def finish(self) -> None:
        """What was found, what is left, sign off."""
        self.moves.summary()

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()

    def key(self, key: int) -> bool:
        """Space, F, U and the arrows do what the buttons do."""
        if key not in WALK_KEYS:
            return bool(super().key(key))
        self.touch()
        getattr(self, WALK_KEYS[key])()
        return True


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
