"""Whether keys that came one after another were sent by a hand scanner or struck by a person, told by their pace.

A hand scanner sends its keys 1 to 30 ms apart and ends with Enter. The quickest typists keep up about twenty keys a
second, 50 ms apart; two or three keys in a row can come together. (Both from memory.)
"""

from dataclasses import dataclass
from typing import Final, Literal

PAUSE_S: Final = 0.04
"""Keys further apart than this are not of one burst: a single key has to wait so long until it is known for one."""
PACE_S: Final = 0.035
"""The mean time from key to key, from five keys on, that no person keeps up."""
SWIFT_S: Final = 0.015
"""The same, for as few as three keys."""
_MOST_TOGETHER: Final = 4
_FEWEST: Final = 3

Sender = Literal["scanner", "person", "either"]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A key that writes something.

    It was pressed at some moment from ``since_s`` to ``at_s`` (seconds on any steady clock): keys are seen only between
    two frames, and a slow frame brings several at once.
    """

    key: int
    since_s: float
    at_s: float


class Run:
    """Keys without a pause between them."""

    def __init__(self) -> None:
        self.strokes: list[Stroke] = []

    def takes(self, stroke: Stroke) -> bool:
        """Whether the key may be the next one of this run; it is when the run is empty."""
        return not self.strokes or stroke.since_s - self.strokes[-1].at_s <= PAUSE_S

    def over(self, heard_s: float) -> bool:
        """Whether nothing can follow any more, when all keys until ``heard_s`` are here."""
        return bool(self.strokes) and heard_s - self.strokes[-1].at_s > PAUSE_S

    @property
    def sender(self) -> Sender:
        """Who sent the keys, as far as their pace tells. A key that repeats while it is held is no scanner's."""
        count = len(self.strokes)
        if len({stroke.key for stroke in self.strokes}) < _FEWEST:
            return "person"
        first, last, steps = self.strokes[0], self.strokes[-1], count - 1
        slowest_s, quickest_s = (last.at_s - first.since_s) / steps, (last.since_s - first.at_s) / steps
        if slowest_s <= SWIFT_S or (count > _MOST_TOGETHER and slowest_s <= PACE_S):
            return "scanner"
        return "either" if count > _MOST_TOGETHER and quickest_s <= PACE_S else "person"

    @property
    def struck(self) -> bool:
        """Whether it is sure already, before the run is over, that a person strikes the keys."""
        if len(self.strokes) < _FEWEST:
            return False
        first, last = self.strokes[0], self.strokes[-1]
        return (last.since_s - first.at_s) / (len(self.strokes) - 1) > PACE_S
