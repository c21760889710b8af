"""Is an item getting worse: the Laplace test over its own exposures.

Under no trend the faults of a Poisson process lie evenly over the time in which it was watched. The test asks whether
their mean lies later (worse) or earlier (better) than the middle of it (Cox and Lewis, "The Statistical Analysis of
Series of Events", 1966, chapter 3; NIST/SEMATECH e-Handbook 8.2.3.4).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

Word = Literal["worse", "steady", "better", "too few"]
FEWEST = 3
"""Under so many faults nothing is said of a trend."""
LEVEL = 0.05
"""A two-sided probability below this is taken for a trend. A choice, no source."""


class Trend(NamedTuple):
    """The word for it, the two-sided probability of being so far off without a trend, and Laplace's statistic.

    Both are None where there are too few faults.
    """

    word: Word
    p: float | None
    z: float | None


def laplace(times: Sequence[float], end: float | None) -> float:
    """Laplace's statistic of events at ``times`` above 0; None for ``end``: watched until the last of them.

    Positive: they come later than evenly. ValueError: fewer than one event that counts, or one after the end.
    """
    ordered = sorted(times)
    if end is None:
        end, ordered = ordered[-1], ordered[:-1]
    if not ordered or ordered[-1] > end:
        raise ValueError("no events within the time that was watched")
    number = len(ordered)
    return (math.fsum(ordered) / number - end / 2) / (end * math.sqrt(1 / (12 * number)))


def trend(faults_at: Sequence[int], exposures: int, *, pulled_at_last: bool = False) -> Trend:
    """The trend of an item that failed at these of its exposures (1, 2, ...; once or more often each).

    Exposure k counts as the time k - 0.5. ``pulled_at_last``: it was pulled at its last fault, and watched until then.
    """
    if len(faults_at) < FEWEST:
        return Trend("too few", None, None)
    times = [at - 0.5 for at in faults_at]
    z = laplace(times, None if pulled_at_last else float(exposures))
    p = math.erfc(abs(z) / math.sqrt(2))
    if p >= LEVEL:
        return Trend("steady", p, z)
    return Trend("worse" if z > 0 else "better", p, z)
