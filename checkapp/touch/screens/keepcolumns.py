"""Under which name the columns of a list are kept, for the next list like it."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder

from checkapp.touch.page import Page
from checkapp.touch.widgets import one_field as _one_field  # noqa: F401  its layout is used in ours


class KeepColumnsScreen(Page):
    """One place to type, with the file's name filled in."""

    def save(self, name: str) -> None:
        """Keep them so."""
        self.moves.keep_columns_as(name)

    def leave(self) -> None:
        """Back to the columns, nothing kept."""
        self.moves.columns_again()

    def on_leave(self) -> None:
        """Let the keyboard go."""
        self.ids.all.let_go()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
