"""Tags: what is printed on what, a page of it to look at, and the file or the paper."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty

from checkapp.tongue import tr
from checkapp.touch import listing, tag_rows
from checkapp.touch.page import Page
from checkapp.touch.widgets import notice as _notice  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import rows as _rows  # noqa: F401
from checkapp.touch.widgets import setup_body as _setup_body  # noqa: F401
from checkapp.touch.widgets import sheet as _sheet  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.tag_views import TagsView


class TagsScreen(Page):
    """What is to be printed as rows to change, the page beside them; on a narrow screen the page is below them."""

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """A new view is there: what was being written is; what came of it stands first in the list."""
        self.saving = ""
        if self.ids and self.view.message:
            self.ids.list.bring(0)

    def rows_of(self, view: TagsView, roomy: bool) -> list[listing.RowDict]:
        """What can be changed; on a small screen the page comes after it."""
        moves = self.moves
        change = tr("change")
        said, _, more = view.message.partition("\n")
        rows = [listing.notice("ok", said, more, None, firm=False)] if said else []
        rows += [listing.caution(view.caution)] if view.caution else []
        rows.append(listing.choice(tr("Pick"), view.items, change, moves.tag_pick))
        rows.append(listing.choice(tr("Stock"), view.stock, change, moves.tag_stocks))
        if view.start:
            rows.append(listing.choice(tr("Start"), view.start, change, moves.tag_start))
        rows.append(listing.choice(view.says.capitalize(), view.says_detail, change, moves.tag_words))
        rows.append(listing.choice(tr("Save to"), view.folder, change, moves.tag_folders))
        rows += [listing.words(view.print_note)] if view.print_note else []
        if roomy or not view.picture:
            return rows
        turn = [listing.choice(view.page_words, "", tr("next"), partial(moves.tag_turn, 1))] if view.pages > 1 else []
        return [*rows, *turn, tag_rows.page(view)]

    def turn(self, pages: int) -> None:
        """Look at another page."""
        self.moves.tag_turn(pages)

    def save(self) -> None:
        """Write the file."""
        self.moves.save_tags()

    def print_out(self) -> None:
        """Send it to the printer."""
        self.moves.print_tags()

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
