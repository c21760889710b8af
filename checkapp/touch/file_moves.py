"""What a tap on the file chooser and on the preview of a file sets off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checkapp.tongue import tr
from checkapp.touch.way import Way

if TYPE_CHECKING:
    from checkapp.show.browsing import FolderView


class FileMoves(Way):
    """The moves of opening a file; the others are `checkapp.touch.moves.Moves`."""

    def files(self) -> None:
        """The folder that was looked into last."""
        self._tap(lambda session: session.browser.opened(), self._show_files, tr("reading"))

    def folder(self, path: str) -> None:
        """What is in a folder."""
        self._tap(lambda session: session.browser.folder(path), self._show_files, tr("reading"))

    def _show_files(self, folder: FolderView) -> None:
        self._pages.show("files", folder)
