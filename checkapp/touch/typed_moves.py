"""What was typed and not used yet: it stays typed when the screen is left, or built anew, before it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from checkapp.touch.asking import Asked, Asking
from checkapp.touch.way import Done, Way

if TYPE_CHECKING:
    from checkapp.touch.door import Door
    from checkapp.touch.pages import Pages


class TypedMoves(Way):
    """What the screens with places to type in keep here; no move waits for it."""

    def __init__(self, door: Door, pages: Pages, now_s: Callable[[], float]) -> None:
        super().__init__(door, pages, now_s)
        self._asked = Asked()
        self._note = ("", "")

    def keep_asked(self, shown: Asking, typed: Asking) -> None:
        """Keep what was typed of a show over what was ``shown``."""
        self._asked.typed(shown, typed)

    def keep_note(self, line: str, note: str) -> None:
        """Keep what was typed of a line that is about to be marked."""
        self._note = (line, note)

    def note_of(self, line: str) -> str:
        """What was typed of the line and not used yet."""
        return self._note[1] if self._note[0] == line else ""

    def _begun(self, done: Done) -> Done:
        """The same, then what was typed of the show is used."""

        def shown(answer: Any) -> None:
            done(answer)
            self._asked.used()

        return shown

    def _noted(self, done: Done) -> Done:
        """The same, then the note is used."""

        def shown(answer: Any) -> None:
            done(answer)
            self._note = ("", "")

        return shown
