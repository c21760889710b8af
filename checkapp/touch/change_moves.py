"""What a tap on the changeover list and on the choice of the rig before sets off."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from checkapp.tongue import tr
from checkapp.touch.asking import CHANGED
from checkapp.touch.way import Way

if TYPE_CHECKING:
    from checkapp.show.changeover_views import ChangeoverView, OldRigsView
    from checkapp.touch.asking import Asked


class ChangeMoves(Way):
    """The moves of a changeover, from the rig that stands to the one that comes."""

    _asked: Asked
    _begun: Any
    _show_walk: Any

    def old_rigs(self) -> None:
        """Which rig stands before the open one."""
        self._tap(lambda session: session.changeover.choices(), self._show_old_rigs, tr("reading"))

    def changeover(self, old_path: str | Path, new_path: str | Path) -> None:
        """The changeover list from one plan file to another, which becomes the open rig."""
        old, new = Path(old_path), Path(new_path)
        self._tap(lambda session: session.changeover.between(old, new), self._show_changeover, tr("reading"))

    def changeover_again(self) -> None:
        """Back to the changeover list, as it stands now."""
        self._tap(lambda session: session.changeover.view(), self._show_changeover)

    def check_changed(self, view: ChangeoverView) -> None:
        """Check the lines that changed: go on with the open check, or ask for what a new one needs to know."""
        if view.rig.going_on:
            self._tap(lambda session: session.changeover.go_on(view.rig.going_on), self._show_walk)
        elif self._taken():
            self._pages.show("newcheck", self._asked.asking(CHANGED, view.rig))

    def start_changed(self, name: str, venue: str, date: str, by: str) -> None:
        """Open a check for a show and walk it, the lines that changed first."""
        self._asked.answered(CHANGED, name, venue, date, by)
        self._tap(lambda session: session.changeover.start(name, venue, date, by), self._begun(self._show_walk))

    def _show_old_rigs(self, view: OldRigsView) -> None:
        self._pages.show("oldrigs", view)

    def _show_changeover(self, view: ChangeoverView) -> None:
        self._pages.show("changeover", view)
