"""What a tap on the strip of places sets off, and the way back from where it led."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from checkapp.touch.asking import CHECK, SETUP
from checkapp.touch.way import Way
from checkapp.touch.whereabouts import PLACES, place_of

if TYPE_CHECKING:
    from checkapp.show.session import Session
    from checkapp.show.visiting import Visit
    from checkapp.touch.asking import Asked


class PlaceMoves(Way):
    """The moves from place to place; the others are `checkapp.touch.moves.Moves`."""

    _asked: Asked
    _show_walk: Any
    history: Any
    tags: Any
    settings: Any
    fault_sheet: Any
    summary: Any

    def visit(self, place: str) -> None:
        """Go to a place; tapped again where one is there already, to its top."""
        self._pages.leave_for(place)
        if place in ("history", "tags", "settings") and place not in self._pages.guide.places.shut:
            getattr(self, place)()
        else:
            first = next(one.screens[0] for one in PLACES if one.name == place)
            self._visit(place, again=self._pages.at == first)

    def come_back(self) -> None:
        """Back to where the place at the front was come to from, as that stands now."""
        to = self._pages.guide.back_to(self._pages.at, self._pages.shown)
        if to in ("rig", "setup", "walk", "faults"):
            self._visit(place_of(to), again=False)
        elif to == "fault":
            self.fault_sheet()
        elif to == "summary":
            self.summary()
        elif to and self._taken():
            self._pages.front(to)

    def unfold(self) -> None:
        """Bring the strip of places over the top of the screen, or take it away again."""
        if self._taken():
            self._pages.unfold()

    def _visit(self, place: str, *, again: bool) -> None:
        self._tap(lambda session: _visited(session, place, again=again), self._show_visit)

    def _show_visit(self, at: Visit) -> None:
        if at.target == "ask check" or at.target == "ask set-up":
            work = CHECK if at.target == "ask check" else SETUP
            self._pages.show("newcheck", self._asked.asking(work, at.view))
        elif at.target == "walk":
            self._show_walk(at.view)
        else:
            self._pages.show(at.target, at.view)
        if at.words:
            self._pages.say([at.words])


def _visited(session: Session, place: str, *, again: bool) -> Visit:
    """Where the tap leads; what it takes to tell that is loaded with the first tap, not with the app."""
    from checkapp.show.visiting import visit

    return visit(session, place, again)
