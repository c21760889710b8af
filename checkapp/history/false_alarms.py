"""Which of many tests tell something: the part of false alarms among those that are told is kept small.

Of a thousand items that do not get worse, chance has one in forty look as if it did. The step-up rule of Benjamini and
Hochberg ("Controlling the false discovery rate", Journal of the Royal Statistical Society B 57, 1995, section 3.1)
orders the probabilities and tells the first k of m, k the last whose probability is at most k/m times the level: of
those that are told, no more than that part is expected to be there by chance.
"""

from __future__ import annotations

from collections.abc import Sequence


def told(probabilities: Sequence[float], level: float) -> list[bool]:
    """For each test, in the order given, whether it is told at this level, both from 0 to 1.

    ``probabilities`` are those of being so far off by chance alone (p-values). ValueError: one outside 0 to 1.
    """
    if not all(0 <= one <= 1 for one in (*probabilities, level)):
        raise ValueError("a probability is from 0 to 1")
    many = len(probabilities)
    under = (p for k, p in enumerate(sorted(probabilities), 1) if p <= k * level / many)
    limit = max(under, default=-1.0)
    return [p <= limit for p in probabilities]
