"""Where a half-used sheet begins: the sheet as a picture, its labels to tap."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.touch.page import Page
from checkapp.touch.widgets import sheet as _sheet  # noqa: F401  its layout is used in ours


class TagStartScreen(Page):
    """The first sheet. Labels before the one tapped are gone already and stay as they are."""

    wide = BooleanProperty(True)

    def start(self, number: int) -> None:
        """Begin at that label."""
        self.moves.tag_start_at(number)

    def leave(self) -> None:
        """Back to the tags."""
        self.moves.tags()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
