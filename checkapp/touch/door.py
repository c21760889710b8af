"""The one door off the UI thread: one worker that owns the session; results come back on the main thread."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from typing import TYPE_CHECKING, Any, TypeVar

from kivy.clock import Clock

from checkapp.rig.errors import CheckappError

if TYPE_CHECKING:
    from checkapp.show.session import Session

Answer = TypeVar("Answer")
Failed = Callable[[CheckappError], None]


class Door:
    """Runs calls on the session one after another, in the order in which they were submitted.

    The session is made by ``make_session`` on the worker, at the first call: nothing of it is loaded before. An error
    that a person can do something about goes to ``failed``; any other is raised on the main thread. ``left`` says, once
    it is closed, what could not be saved.
    """

    def __init__(self, make_session: Callable[[], Session]) -> None:
        self._make_session = make_session
        self._session: Session | None = None
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="session")
        self._closed = False
        self._told: Callable[[], None] | None = None
        self.waiting = 0
        self.left = ""

    def listen(self, told: Callable[[], None]) -> None:
        """Have ``told`` called on the main thread whenever the session says that saving stands otherwise."""
        self._told = told

    def submit(
        self, call: Callable[[Session], Answer], done: Callable[[Answer], None], failed: Failed, within_s: float = 0.0
    ) -> bool:
        """Queue ``call``; later, on the main thread, exactly one of ``done`` and ``failed`` is called.

        An answer that comes ``within_s`` is taken at once, before another frame is drawn; less than a frame's time.
        Whether it was.
        """
        alone, self.waiting = not self.waiting, self.waiting + 1
        future = self._worker.submit(self._run, call)
        if alone and within_s and _is_over(future, within_s):
            self._deliver(future, done, failed)
            return True
        future.add_done_callback(lambda over: Clock.schedule_once(lambda _dt: self._deliver(over, done, failed), 0))
        return False

    def _run(self, call: Callable[[Session], Answer]) -> Answer:
        if self._session is None:
            self._session = self._make_session()
            if self._told is not None:
                self._session.listen(lambda: Clock.schedule_once(self._tell, 0))
        return call(self._session)

    def _deliver(self, future: Future[Any], done: Callable[[Any], None], failed: Failed) -> None:
        self.waiting -= 1
        try:
            answer = future.result()
        except CheckappError as error:
            failed(error)
            return
        done(answer)

    def _tell(self, _dt: float) -> None:
        if self._told is not None and not self._closed:
            self._told()

    def close(self) -> None:
        """Finish what is queued, close the session, let the worker go; once closed, nothing more."""
        if not self._closed:
            self._closed = True
            self._worker.submit(self._close_session)
            self._worker.shutdown(wait=True)

    def _close_session(self) -> None:
        if self._session is not None:
            self.left = self._session.close()
            self._session = None


def _is_over(future: Future[Any], within_s: float) -> bool:
    """Wait so long at most; whether the answer, or what went wrong, is there."""
    with suppress(TimeoutError):
        future.exception(within_s)
    return future.done()
