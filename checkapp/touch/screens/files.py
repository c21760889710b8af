"""A file chooser without typing: folders and the files in them that can be opened."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import StringProperty

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import file_rows as _rows  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.browsing import FolderView


class FilesScreen(Page):
    """What is in a folder. A tap on a folder looks into it, one on a file shows what it would bring."""

    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """Another folder is there: nothing is being read any more."""
        self.saving = ""

    def on_leave(self) -> None:
        """What was being read has come, or is of no use now."""
        self.saving = ""

    def rows_of(self, view: FolderView) -> list[listing.RowDict]:
        """The folders, then the files, then what is not shown."""
        row = listing.one_of(len(view.folders) + len(view.files))
        folders = [row(one.name, one.detail, tr("open"), partial(self.moves.folder, one.path)) for one in view.folders]
        files = [
            row(one.name, one.detail, tr("look"), partial(self.moves.look_at_file, one.path)) for one in view.files
        ]
        none = [] if folders or files else [listing.words(tr("Nothing here that can be opened. Pick another folder."))]
        heading = [listing.heading(tr("Files, newest first"))] if files and folders else []
        return [*none, *folders, *heading, *files, *([listing.words(view.left_out)] if view.left_out else [])]

    def places_of(self, view: FolderView) -> list[Choice]:
        """The folder above, and the places that are one tap away, with the one that is shown marked."""
        up = Choice(tr("up"), able=bool(view.up), why=tr("Nothing is above this folder."))
        return [up, *(Choice(place.name, status="next" if place.here else "open") for place in view.places)]

    def go(self, word: str) -> None:
        """To the folder above, or to a place."""
        places = {place.name: place.path for place in self.view.places}
        path = self.view.up if word == tr("up") else places[word]
        self.moves.folder(path)

    def leave(self) -> None:
        """Back to the rigs."""
        self.moves.rigs()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
