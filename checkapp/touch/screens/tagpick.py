"""What tags are wanted for: all, none, a kind, everything at a place, or one by one."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty

from checkapp.tongue import tr
from checkapp.touch import listing, tag_rows
from checkapp.touch.page import Page
from checkapp.touch.widgets import picks as _picks  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.tag_views import PickView


class TagPickScreen(Page):
    """Everything of the rig that can be tagged, in groups. A tap picks, another leaves out."""

    wide = BooleanProperty(True)

    def choices_of(self, view: PickView) -> list[Choice]:
        """All, none, and the kinds."""
        kinds = [Choice(kind.word, status="next" if kind.picked else "open") for kind in view.kinds]
        return [Choice(tr("all")), Choice(tr("none")), *kinds]

    def rows_of(self, view: PickView) -> list[listing.RowDict]:
        """The groups with their things."""
        rows = []
        for group in view.groups:
            rows.append(tag_rows.group(group, partial(self.moves.tag_pick_group, group.key)))
            rows += [tag_rows.thing(row, partial(self.moves.tag_pick_one, row.code)) for row in group.rows]
        return rows

    def chose(self, word: str) -> None:
        """A button over the list was tapped."""
        kind = next((kind.kind for kind in self.view.kinds if kind.word == word), None)
        if kind is not None:
            self.moves.tag_pick_kind(kind)
        else:
            self.moves.tag_pick_all(word == tr("all"))

    def leave(self) -> None:
        """Back to the tags."""
        self.moves.tags()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
