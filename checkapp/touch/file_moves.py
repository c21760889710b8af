"""What a tap on the file chooser and on the preview of a file sets off."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from checkapp.tongue import tr
from checkapp.touch.way import Way

if TYPE_CHECKING:
    from checkapp.sheets.heading_words import Field
    from checkapp.show.browsing import FolderView
    from checkapp.show.incoming_views import Accepted, ColumnView, IncomingView, KeepView, NamingView
    from checkapp.show.session import Session
    from checkapp.touch.asking import Asked


class FileMoves(Way):
    """The moves of opening a file; the others are `checkapp.touch.moves.Moves`."""

    _asked: Asked

    def files(self) -> None:
        """The folder that was looked into last."""
        self._tap(lambda session: session.browser.opened(), self._show_files, tr("reading"))

    def folder(self, path: str) -> None:
        """What is in a folder."""
        self._tap(lambda session: session.browser.folder(path), self._show_files, tr("reading"))

    def look_at_file(self, path: str) -> None:
        """What a file would bring."""
        self._tap(lambda session: session.incoming.look(path), self._show_incoming, tr("reading"))

    def take_sheet(self, name: str) -> None:
        """Another sheet of the workbook."""
        self._tap(lambda session: session.incoming.take_sheet(name), self._show_incoming, tr("reading"))

    def columns(self, view: IncomingView) -> None:
        """The columns of the list, each of which can be changed."""
        if self._taken():
            self._pages.show("column", view)

    def column(self, key: str) -> None:
        """What a column can be."""
        self._tap(lambda session: session.incoming.column(key), self._show_column)

    def mean(self, key: str, field: Field) -> None:
        """Take a column for something else."""
        self._tap(lambda session: session.incoming.mean(key, field), self._show_incoming, tr("reading"))

    def use_columns(self, name: str) -> None:
        """Take the columns for what was kept of another list."""
        self._tap(lambda session: session.incoming.use(name), self._show_incoming, tr("reading"))

    def keep_columns(self) -> None:
        """Ask under which name the columns are to be kept."""
        self._tap(lambda session: session.incoming.keeping(), self._show_keeping)

    def keep_columns_as(self, name: str) -> None:
        """Keep them under a name."""
        self._tap(lambda session: session.incoming.keep(name), self._show_columns)

    def columns_again(self) -> None:
        """Back to the columns as they stand."""
        if self._taken():
            self._pages.front("column")

    def incoming_again(self) -> None:
        """Back to the preview as it stands."""
        if self._taken():
            self._pages.front("incoming")

    def take(self, view: IncomingView) -> None:
        """Take the file: open a plan, ask what a list or a workbook is to be called."""
        if view.kind == "plan":
            self.accept("")
        else:
            self._tap(lambda session: session.incoming.naming(), self._show_naming)

    def accept(self, name: str) -> None:
        """Write the plan and open it."""
        self._take(("accept", name), lambda session: session.incoming.accept(name))

    def accept_onto(self, name: str) -> None:
        """Write the plan of the open rig with the list, open it and show what has to be done."""
        self._take(("accept onto", name), lambda session: session.incoming.accept_onto(name))

    def _take(self, mark: tuple[str, ...], accept: Any) -> None:
        from checkapp.show.incoming_views import NamingView

        def taken(answer: NamingView | tuple[Accepted, str, Any]) -> None:
            if isinstance(answer, NamingView):
                self._show_naming(answer)
                return
            done, name, view = answer
            self._asked.forget_show()
            self._pages.show(name, view)
            if done.said:
                self._pages.say(done.said)

        self._mark(mark, lambda session: _opened(session, accept(session)), taken, tr("writing"))

    def _show_files(self, folder: FolderView) -> None:
        self._pages.show("files", folder)

    def _show_incoming(self, view: IncomingView) -> None:
        self._pages.show("incoming", view)

    def _show_columns(self, view: IncomingView) -> None:
        self._pages.renew("incoming", view)
        self._pages.show("column", view)

    def _show_keeping(self, view: KeepView) -> None:
        self._pages.show("keepcolumns", view)

    def _show_column(self, view: ColumnView) -> None:
        self._pages.show("column", view)

    def _show_naming(self, view: NamingView) -> None:
        self._pages.show("naming", view)


def _opened(session: Session, done: Accepted | NamingView) -> NamingView | tuple[Accepted, str, Any]:
    """What was taken, and the screen that shows it: what has to be done where a rig stands already, else the rig."""
    from checkapp.show.incoming_views import NamingView

    if isinstance(done, NamingView):
        return done
    if done.before:
        return done, "changeover", session.changeover.between(Path(done.before), Path(done.plan))
    return done, "rig", session.open_rig(done.plan)
