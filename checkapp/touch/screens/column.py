"""The columns of a list, and what one of them can be."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import StringProperty

from checkapp.show.incoming_views import ColumnView
from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import file_rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.incoming_views import IncomingView


class ColumnScreen(Page):
    """All columns, one row each; then one of them, with what stands in it and what it can be."""

    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """Something else is there: nothing is being read any more."""
        self.saving = ""

    def on_leave(self) -> None:
        """What was asked for has come."""
        self.saving = ""

    def title_of(self, view: ColumnView | IncomingView) -> str:
        """The column, or that these are all of them."""
        return view.title if isinstance(view, ColumnView) else tr("Columns")

    def rows_of(self, view: ColumnView | IncomingView) -> list[listing.RowDict]:
        """The meanings that a column can have, or the columns."""
        return self._meanings(view) if isinstance(view, ColumnView) else self._columns(view)

    def _columns(self, view: IncomingView) -> list[listing.RowDict]:
        rows = [self._kept(name) for name in view.kept]
        for part in view.parts:
            rows += [listing.heading(tr("Sheet {name}", name=part.name))] if len(view.parts) > 1 else []
            rows += [
                listing.choice(one.title, one.meaning, tr("change"), partial(self.moves.column, one.key))
                for one in part.columns
            ]
        if view.can_keep:
            detail = tr("under a name, for the next list like this")
            rows.append(listing.choice(tr("These columns"), detail, tr("keep"), self.moves.keep_columns))
        return rows

    def _kept(self, name: str) -> listing.RowDict:
        use = partial(self.moves.use_columns, name)
        return listing.choice(tr("As in {name}", name=name), tr("kept of another list"), tr("use"), use)

    def _meanings(self, view: ColumnView) -> list[listing.RowDict]:
        samples = ", ".join(view.samples)
        return [
            listing.words(tr("What is in this column?")),
            *([listing.words(tr("It holds: {samples}", samples=samples))] if samples else []),
            *(
                listing.choice(
                    row.words,
                    tr("as it is taken now") if row.chosen else "",
                    "" if row.chosen else tr("choose"),
                    partial(self.moves.mean, view.key, row.field),
                )
                for row in view.meanings
            ),
        ]

    def leave(self) -> None:
        """Back to the preview, as it stands."""
        self.moves.incoming_again()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
