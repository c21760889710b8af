"""How quickly a check goes: the usual time of a line, and how long the open ones will take at that pace."""

from __future__ import annotations

import math
from bisect import insort
from collections.abc import Iterable
from datetime import datetime
from statistics import median
from typing import Final

from checkapp.tongue import tr

BREAK_S: Final = 180.0
"""Marks further apart have a break between them: that time is nobody's pace."""
LEAST_MARKS: Final = 5
"""So many marks in a row there must be before a pace is told."""


def line_s(times: Iterable[str]) -> float | None:
    """Seconds that a line takes: the median of what lies between one mark and the next.

    ``times`` are those of the marks as the journal has them (ISO 8601 with its zone), in any order; what is no time is
    left out, and so are breaks. None: there are too few marks to tell. The median is not moved by the few lines that
    took long, nor by two marks that came at once.
    """
    return Pace().line_s(tuple(times))


class Pace:
    """The usual time of a line as a check goes on: what is known already is not counted again."""

    def __init__(self) -> None:
        self._times: tuple[str, ...] = ()
        self._latest = -math.inf
        self._gaps: list[float] = []

    def line_s(self, times: tuple[str, ...]) -> float | None:
        """As the function of that name."""
        before, self._times = self._times, times
        new = _moments(times[len(before) :])
        if times[: len(before)] != before or (new and new[0] < self._latest):
            self._latest, self._gaps, new = -math.inf, [], _moments(times)
        for moment in new:
            if moment - self._latest <= BREAK_S:
                insort(self._gaps, moment - self._latest)
            self._latest = moment
        return median(self._gaps) if len(self._gaps) >= LEAST_MARKS - 1 else None


def left_s(each_s: float, open_lines: int) -> float:
    """Seconds that so many open lines take at so many seconds each."""
    return each_s * open_lines


def left_words(each_s: float | None, open_lines: int) -> str:
    """How long the rest takes, ``about 9 min left``; nothing where it cannot be told or nothing is open."""
    if each_s is None or open_lines <= 0:
        return ""
    seconds = left_s(each_s, open_lines)
    if seconds <= 45.0:
        return tr("under a minute left")
    minutes = max(1, round(seconds / 60.0))
    if minutes < 90:
        return tr("about {minutes} min left", minutes=minutes)
    return tr("about {hours} h {minutes} min left", hours=minutes // 60, minutes=minutes % 60)


def pace_words(each_s: float | None) -> str:
    """How long a line takes, ``12 s a line``; nothing where it cannot be told."""
    return "" if each_s is None else tr("{seconds} s a line", seconds=max(1, round(each_s)))


def _moments(times: Iterable[str]) -> list[float]:
    return sorted(moment for moment in map(_moment_s, times) if moment is not None)


def _moment_s(at: str) -> float | None:
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        return None
    return moment.timestamp() if moment.tzinfo is not None else None
