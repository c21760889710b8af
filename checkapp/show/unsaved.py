"""What was done and is not on the disk yet: a queue in the order in which it was done, and the thread that empties it.

The order never changes and nothing is left out: the first is written before the second is tried. What could not be
written stays first, and is tried again after a while and whenever something new comes.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Final, NamedTuple

from checkapp.rig.errors import CheckappError

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry

RETRY_S: Final = 3.0
"""How long after a failure it is tried again."""


class Waiting(NamedTuple):
    """An entry on its way to the disk, and the moment it tells of (milliseconds since 1970), whenever it is written."""

    entry: Entry
    now_ms: int


class Unsaved:
    """The queue.

    On a thread of its own ``write`` puts one entry on the disk, or raises a `CheckappError`. After a failure ``keep``
    is called there with all that waits, and with nothing once all is saved. ``told`` is called there when something has
    changed that was to be seen before: what waits, or why.
    """

    def __init__(
        self,
        write: Callable[[Waiting], None],
        keep: Callable[[tuple[Waiting, ...]], None],
        told: Callable[[], None],
        retry_s: float = RETRY_S,
    ) -> None:
        self._write, self._keep, self._told, self._retry_s = write, keep, told, retry_s
        self._queue: list[Waiting] = []
        self._trouble: CheckappError | None = None
        self._failures = 0
        self._now = self._seen = self._closing = self._over = False
        self._change = threading.Condition()
        self._thread = threading.Thread(target=self._work, name="unsaved", daemon=True)
        self._thread.start()

    @property
    def waiting(self) -> tuple[Waiting, ...]:
        """What is not saved, first things first."""
        with self._change:
            self._seen = self._seen or bool(self._queue)
            return tuple(self._queue)

    @property
    def trouble(self) -> CheckappError | None:
        """Why the first of them could not be saved at the last try; None while nothing has failed."""
        with self._change:
            return self._trouble if self._queue else None

    def add(self, new: Iterable[Waiting], wait_s: float | None = None) -> None:
        """Queue entries and have them written, after all that waits already.

        It returns when all are on the disk, when a try has failed, or after ``wait_s`` seconds (None: however long).
        """
        with self._change:
            self._look()
            self._queue += new
            failures, self._now = self._failures, True
            self._change.notify_all()
            self._change.wait_for(lambda: not self._queue or self._failures > failures or self._over, wait_s)
            self._look()

    def try_now(self) -> None:
        """Try again what could not be saved."""
        with self._change:
            self._now = True
            self._change.notify_all()

    def close(self) -> tuple[Waiting, ...]:
        """Try all once more and end; what could not be saved."""
        with self._change:
            self._closing = True
            self._change.notify_all()
        self._thread.join()
        return tuple(self._queue)

    def _look(self) -> None:
        if self._over:
            raise RuntimeError("the thread that writes the journal has ended")

    def _work(self) -> None:
        try:
            while (first := self._next()) is not None:
                last = self._closing
                if not self._save(first) and last:
                    break
        finally:
            with self._change:
                self._over = True
                self._change.notify_all()

    def _next(self) -> Waiting | None:
        """Wait until something is to be written; None at the end."""
        with self._change:
            while not self._closing and not (self._queue and (self._now or self._trouble is None)):
                again = self._change.wait(self._retry_s if self._queue else None)
                if not again and self._queue:
                    break
            self._now = False
            return self._queue[0] if self._queue else None

    def _save(self, first: Waiting) -> bool:
        try:
            self._write(first)
        except CheckappError as error:
            with self._change:
                self._trouble = error
                kept = tuple(self._queue)
            self._keep(kept)
            self._tell(failed=True)
            return False
        with self._change:
            self._queue.pop(0)
            had, self._trouble = self._trouble, None
            left = bool(self._queue)
        if not left:
            self._keep(())
        self._tell(failed=False, more=had is not None)
        return True

    def _tell(self, *, failed: bool, more: bool = False) -> None:
        with self._change:
            self._failures += failed
            seen = self._seen or failed or more
            self._seen = self._seen and bool(self._queue)
            self._change.notify_all()
        if seen:
            self._told()
