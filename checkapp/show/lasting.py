"""Answers drawn from the log that last: what came since is added to them, as long as that is known for sure.

Nothing is guessed. Where another program wrote to the file, and where it could not be read or was opened anew, all is
read again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import islice
from typing import TYPE_CHECKING, Generic, NamedTuple, Protocol, TypeVar

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry

Answer = TypeVar("Answer")


class Moment(NamedTuple):
    """A moment of a log.

    ``state`` is another object after anything that is not told by the rest: the file was opened anew, or not read.
    ``anybody`` and, asked after it, ``others`` are what `checkapp.journal.journal.Journal.others_wrote` told of the
    connections that read and write: of the former the one that writes is another. None: not known. ``written`` is how
    many entries the log has put on the disk, ``waiting`` are those that are not there yet.
    """

    state: object
    anybody: int | None
    others: int | None
    written: int
    waiting: tuple[Entry, ...]

    def until(self, now: Moment, written: Iterable[Entry]) -> Since | None:
        """What came up to ``now``, when nothing else happened; None: there may be more.

        ``written`` are all that the log has put on the disk. An entry that waits is not the same once it is there.
        """
        if self.state != now.state:
            return None
        if not self.waiting and not now.waiting and self.others == now.others is not None:
            return Since(tuple(islice(written, self.written, now.written)), now)
        same = (self.anybody, self.written) == (now.anybody, now.written) and now.anybody is not None
        known = len(self.waiting)
        if not same or now.waiting[:known] != self.waiting:
            return None
        return Since(now.waiting[known:], now._replace(others=self.others))  # others may have written since anybody


class Since(NamedTuple):
    """What came after a moment, in its order, and the moment up to which that is all."""

    entries: tuple[Entry, ...]
    now: Moment


class Telling(Protocol):
    """A log that tells what came since a moment."""

    def moment(self) -> Moment | None:
        """This moment; None: it cannot be told."""

    def since(self, moment: Moment) -> Since | None:
        """What came after a moment, when nothing else happened; None: there may be more, and all is to be read."""


class Lasting(Generic[Answer]):
    """One answer drawn from a log.

    ``go_on`` makes of an answer and one more entry the answer after it; None: it is to be drawn anew.
    """

    def __init__(self, go_on: Callable[[Answer, Entry], Answer | None]) -> None:
        self._go_on = go_on
        self._known: list[tuple[Moment, Answer]] = []
        """The latest, and before it the latest at which nothing waited."""

    def now(self, log: Telling | None, draw: Callable[[], Answer]) -> Answer:
        """The answer as it is now; ``draw`` draws it from all that the log holds. Without a log that tells: always."""
        if log is None:
            return draw()
        for moment, answer in reversed(self._known):
            since = log.since(moment)
            if since is not None and (following := self._after(answer, since.entries)) is not None:
                self._keep(since.now, following)
                return following
        drawn_at, self._known = log.moment(), []
        drawn = draw()
        if drawn_at is not None:
            self._keep(drawn_at, drawn)
        return drawn

    def _after(self, answer: Answer, entries: Iterable[Entry]) -> Answer | None:
        for entry in entries:
            following = self._go_on(answer, entry)
            if following is None:
                return None
            answer = following
        return answer

    def _keep(self, moment: Moment, answer: Answer) -> None:
        settled = [known for known in self._known if not known[0].waiting] if moment.waiting else []
        self._known = [*settled, (moment, answer)]


def unless(*kinds: str) -> Callable[[Answer, Entry], Answer | None]:
    """An answer that stays as it is until there is another entry of one of these kinds."""

    def go_on(answer: Answer, entry: Entry) -> Answer | None:
        return None if entry.kind in kinds else answer

    return go_on
