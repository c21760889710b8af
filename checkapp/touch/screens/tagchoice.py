"""One of several: the stock that tags are printed on, or the folder that they are saved in."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.touch import listing, tag_rows
from checkapp.touch.page import Page
from checkapp.touch.widgets import picks as _picks  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.tag_views import ChoiceView


class TagChoiceScreen(Page):
    """What can be chosen; a tap chooses and leads back."""

    wide = BooleanProperty(True)

    def rows_of(self, view: ChoiceView) -> list[listing.RowDict]:
        """A row for each, under a word on what they are for."""
        take = self.moves.tag_stock if view.of == "stock" else self.moves.tag_folder
        return [listing.words(view.note), *(tag_rows.option(row, partial(take, row.key)) for row in view.rows)]

    def leave(self) -> None:
        """Back to the tags, nothing changed."""
        self.moves.tags()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
