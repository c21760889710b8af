"""The hub that tablets sync with: its address."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.touch.page import Page
from checkapp.touch.widgets import field as _field  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401


class HubScreen(Page):
    """One place to type. With nothing typed there is no hub any more."""

    wide = BooleanProperty(True)

    def save(self, url: str) -> None:
        """Sync with that hub from now on."""
        self.moves.set_hub(url)

    def leave(self) -> None:
        """Back to the tablets, nothing changed."""
        self.moves.tablets_again()

    def on_leave(self) -> None:
        """Let the keyboard go."""
        self.ids.url.typing = False


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
