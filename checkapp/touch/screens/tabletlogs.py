"""Where this tablet's log is given to, or whose log is taken in."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.tablet_views import LogsView


class TabletLogsScreen(Page):
    """The folders, or the files; a tap gives or takes, and leads back. The last row looks once more what there is."""

    wide = BooleanProperty(True)
    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """A new view is there: what was under way is done."""
        self.saving = ""

    def rows_of(self, view: LogsView) -> list[listing.RowDict]:
        """What to do, and a row for each."""
        give = view.of == "give"
        word, move = (tr("give"), self.moves.give_log_to) if give else (tr("take in"), self.moves.take_log_in)
        rows = [listing.choice(row.title, row.detail, word, partial(move, row.path)) for row in view.rows]
        again = self.moves.give_log if give else self.moves.take_log
        rows += [listing.choice(tr("Not in the list?"), tr("Put the stick in, then tap."), tr("look again"), again)]
        return [listing.words(view.note), *rows]

    def leave(self) -> None:
        """Back to the tablets."""
        self.moves.tablets_again()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
