"""The card of an item: where it goes, what plugs into it, how it is powered, what was found and heard on it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.touch.page import Page
from checkapp.touch.widgets import card_body as _card_body  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.card import Card


class CardScreen(Page):
    """One item of the rig."""

    def tags_of(self, card: Card) -> str:
        """What its tags say."""
        return f"tag{'s' if len(card.tags) > 1 else ''} {', '.join(card.tags)}" if card.tags else ""

    def caution_of(self, card: Card) -> str:
        """Its cautions as one paragraph."""
        return " ".join(card.cautions)

    def on_view(self, *_: object) -> None:
        """Another card begins at its top."""
        if self.ids:
            self.ids.all.scroll_y = 1

    def leave(self) -> None:
        """Back to the picture, as it was looked at."""
        self.moves.plan()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
