"""Two marks of one line that disagree: which of them it is, said by a new mark."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty

from checkapp.touch.page import Page
from checkapp.touch.widgets import foot as _foot  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import notice as _notice  # noqa: F401
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401
from checkapp.touch.widgets import tape as _tape  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.tablet_views import MarkSaid


class SettleScreen(Page):
    """The line, both marks with who made them, where and when, and the two verdicts at the foot."""

    wide = BooleanProperty(True)
    saving = StringProperty("")

    def settle(self, way: MarkSaid) -> None:
        """Mark the line anew."""
        self.moves.settle(self.view.line, way.status, way.symptom)

    def leave(self) -> None:
        """Back to the tablets, nothing marked."""
        self.moves.tablets_again()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
