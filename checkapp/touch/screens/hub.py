"""The hub that tablets sync with: its address."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder

from checkapp.touch.page import Page
from checkapp.touch.widgets import one_field as _one_field  # noqa: F401  its layout is used in ours


class HubScreen(Page):
    """One place to type. With nothing typed there is no hub any more."""

    def save(self, url: str) -> None:
        """Sync with that hub from now on."""
        self.moves.set_hub(url)

    def leave(self) -> None:
        """Back to the tablets, nothing changed."""
        self.moves.tablets_again()

    def on_leave(self) -> None:
        """Let the keyboard go."""
        self.ids.all.let_go()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
