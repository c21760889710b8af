"""The preview of a file: what a list, a plan or a workbook would bring, before it is taken."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder
from kivy.properties import StringProperty

from checkapp.show.incoming_views import ReadLine
from checkapp.tongue import tr, trn
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import file_rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.incoming_views import IncomingView, SheetPart

_MOST_LOOKS: Final = 60


class IncomingScreen(Page):
    """What a file holds, row by row, what is unclear first. A tap on the columns lets one change what they are."""

    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """Something else is there: nothing is being read any more."""
        self.saving = ""

    def on_leave(self) -> None:
        """What was asked for has come."""
        self.saving = ""

    def rows_of(self, view: IncomingView) -> list[listing.RowDict]:
        """All of it: what it comes to, what to look at, other sheets, columns and rows; of a plan its findings."""
        return [
            listing.words(view.summary),
            *map(listing.words, view.said),
            *self._looks(view),
            *self._sheets(view),
            *(row for part in view.parts for row in self._part(part, view)),
            *self._changes(view),
            *([listing.heading(tr("The review"))] if view.findings else []),
            *map(listing.finding, view.findings),
        ]

    def _looks(self, view: IncomingView) -> Iterator[listing.RowDict]:
        """What was not understood."""
        if view.look:
            yield listing.heading(trn("Look at this: {count}", "Look at these: {count}", len(view.look)))
        for said in view.look[:_MOST_LOOKS]:
            yield listing.read(ReadLine("", said, status="look"))
        if len(view.look) > _MOST_LOOKS:
            more = len(view.look) - _MOST_LOOKS
            yield listing.words(trn("and {count} more, marked below", "and {count} more, marked below", more))

    def _sheets(self, view: IncomingView) -> Iterator[listing.RowDict]:
        """The sheets that can be taken instead."""
        for row in view.sheets:
            title = tr("Or sheet {name}", name=row.title) if row.name else row.title
            yield listing.choice(title, row.detail, tr("take"), partial(self.moves.take_sheet, row.name))

    def _part(self, part: SheetPart, view: IncomingView) -> Iterator[listing.RowDict]:
        """A sheet: its columns in a few words, then its rows."""
        columns = "; ".join(f"{column.title}: {column.meaning}" for column in part.columns)
        title = tr("Sheet {name}: columns", name=part.name)
        yield listing.choice(title, columns, tr("change"), partial(self.moves.columns, view))
        yield from map(listing.words, part.notes)
        whole = sum(len(one.lines) for one in view.parts) <= listing.MOST_MEASURED
        yield from (listing.read(line, whole=whole) for line in part.lines)

    def _changes(self, view: IncomingView) -> Iterator[listing.RowDict]:
        """What a workbook changes."""
        if view.changes:
            yield listing.heading(tr("What it changes"))
        yield from map(listing.words, view.changes)

    def leave(self) -> None:
        """Back to the files."""
        self.moves.files()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
