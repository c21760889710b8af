"""The one way a tap takes: through the gate, through the door, and its answer onto a screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from checkapp.rig.errors import CheckappError
from checkapp.show.tapgate import TapGate
from checkapp.tongue import later

if TYPE_CHECKING:
    from checkapp.show.session import Session
    from checkapp.touch.door import Door
    from checkapp.touch.pages import Pages

_SOON_S: Final = 0.01
"""A mark that is saved so soon shows what comes next in the very next frame."""

Call = Callable[["Session"], Any]
Done = Callable[[Any], None]
Failed = Callable[[CheckappError], None]


class Way:
    """What all moves have in common. A tap within 300 ms of the last is the same tap reported twice."""

    def __init__(self, door: Door, pages: Pages, now_s: Callable[[], float]) -> None:
        self._door = door
        self._pages = pages
        self._now_s = now_s
        self._gate = TapGate()
        self._under_way: set[tuple[str, ...]] = set()

    def _taken(self) -> bool:
        return self._gate.take(self._now_s())

    def _tap(self, call: Call, done: Done, words: str = "") -> None:
        if self._taken():
            if words:
                self._pages.saving(words)
            self._ask(call, done)

    def _mark(self, mark: tuple[str, ...], call: Call, done: Done, words: str = later("writing")) -> None:
        if not self._taken() or mark in self._under_way:
            return
        self._under_way.add(mark)

        def saved(answer: Any) -> None:
            self._under_way.discard(mark)
            done(answer)

        def failed(error: CheckappError) -> None:
            self._under_way.discard(mark)
            self._failed(error)

        if not self._submit(call, saved, failed, _SOON_S):
            self._pages.saving(words)

    def _ask(self, call: Call, done: Done) -> None:
        self._submit(call, done, self._failed)

    def _submit(self, call: Call, done: Done, failed: Failed, within_s: float = 0.0) -> bool:
        """Through the door; whether the answer is there at once.

        An answer that came late shuts the gate anew: a tap meant for what was shown before it must not act on what is
        shown now.
        """

        def shown(answer: Any) -> None:
            done(answer)
            self._gate.take(self._now_s())

        return self._door.submit(call, shown, failed, within_s)

    def _failed(self, error: CheckappError) -> None:
        self._pages.saving("")
        self._pages.failed(error)
