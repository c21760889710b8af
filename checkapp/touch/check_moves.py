"""What a tap sets off that leads to a line: by its number, through the list, or through some of the lines only."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from checkapp.touch.way import Way

if TYPE_CHECKING:
    from checkapp.show.jump import Numbers
    from checkapp.show.views import WalkView
    from checkapp.show.walk_only import Wanted


class JumpAsked(NamedTuple):
    """A number is asked for: which there are, the line that the walk is at, and what was typed already."""

    numbers: Numbers
    here: str
    typed: str = ""


class CheckMoves(Way):
    """The moves to a line; the others are `checkapp.touch.moves.Moves`."""

    _show_walk: Any
    _show_lines: Any

    def jump(self, walk: WalkView, typed: str) -> None:
        """Ask for a number. A digit that was typed opens it at once, so that the next one finds it open."""
        if typed or self._taken():
            self._pages.show("jump", JumpAsked(walk.numbers, walk.line, typed))

    def list_only(self, wanted: Wanted) -> None:
        """List these lines."""
        self._tap(lambda session: session.list_only(wanted), self._show_lines)

    def walk_only(self, wanted: Wanted) -> None:
        """Walk these lines only."""
        self._tap(lambda session: session.walk_only(wanted), self._show_walk)

    def walk_all(self) -> None:
        """Walk all lines again."""
        self._tap(lambda session: session.walk_all(), self._show_walk)
