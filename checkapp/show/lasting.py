"""Answers drawn from the log that last: what came since is added to them, as long as that is known for sure.

Nothing is guessed. Where another program wrote to the file, where it could not be read or was opened anew, and while
something waits for the disk, all is read again.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Generic, NamedTuple, Protocol, TypeVar

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry

Answer = TypeVar("Answer")


class Moment(NamedTuple):
    """A moment of a log at which nothing waits for the disk.

    ``state`` is another object after anything that is not told by the rest: the file was opened anew, or not read.
    ``others`` is what `checkapp.journal.journal.Journal.others_wrote` told, ``written`` how many entries the log has
    put on the disk.
    """

    state: object
    others: int
    written: int


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
        self._known: tuple[Moment, Answer] | None = None

    def now(self, log: Telling | None, draw: Callable[[], Answer]) -> Answer:
        """The answer as it is now; ``draw`` draws it from all that the log holds. Without a log that tells: always."""
        if log is None:
            return draw()
        if (known := self._gone_on(log)) is not None:
            return known
        moment, self._known = log.moment(), None
        drawn = draw()
        if moment is not None:
            self._known = moment, drawn
        return drawn

    def _gone_on(self, log: Telling) -> Answer | None:
        if self._known is None:
            return None
        moment, answer = self._known
        since = log.since(moment)
        if since is None:
            return None
        for entry in since.entries:
            following = self._go_on(answer, entry)
            if following is None:
                return None
            answer = following
        self._known = since.now, answer
        return answer


def unless(*kinds: str) -> Callable[[Answer, Entry], Answer | None]:
    """An answer that stays as it is until there is another entry of one of these kinds."""

    def go_on(answer: Answer, entry: Entry) -> Answer | None:
        return None if entry.kind in kinds else answer

    return go_on
