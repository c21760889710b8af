"""The card of an item: where it goes, what plugs into it, how it is powered, what was found and heard on it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import ObjectProperty, StringProperty

from checkapp.show.setup_views import ScanView
from checkapp.touch.page import Page
from checkapp.touch.widgets import card_body as _card_body  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import notice as _notice  # noqa: F401


class CardScreen(Page):
    """One item of the rig: its card, and over it what is to be said to the scan that brought it up.

    Its view is a card, or a scan's answer with its card. ``came_from`` is the word of the way back.
    """

    card = ObjectProperty(None, allownone=True)
    answer = ObjectProperty(None, allownone=True)
    came_from = StringProperty("picture")

    def on_view(self, *_: Any) -> None:
        """Another card begins at its top."""
        scanned = isinstance(self.view, ScanView)
        self.answer = self.view.answer if scanned else None
        self.card = self.view.card if scanned else self.view
        if self.ids:
            self.ids.all.scroll_y = 1

    def leave(self) -> None:
        """Back to what the card was opened from, as it was looked at."""
        self.moves.under()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
