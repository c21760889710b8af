"""What a tablet is called by whoever works at this one."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder

from checkapp.touch.page import Page
from checkapp.touch.widgets import one_field as _one_field  # noqa: F401  its layout is used in ours


class TabletNameScreen(Page):
    """One place to type. With nothing typed it is called by its digits again."""

    def save(self, name: str) -> None:
        """Call it so from now on."""
        self.moves.name_tablet(self.view.device, name)

    def leave(self) -> None:
        """Back to the tablets, nothing changed."""
        self.moves.tablets_again()

    def on_leave(self) -> None:
        """Let the keyboard go."""
        self.ids.all.let_go()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
