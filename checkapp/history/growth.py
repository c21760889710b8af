"""Whether a whole kind gets better or worse over a tour: the power law of reliability growth (Crow-AMSAA).

The expected number of faults up to time t is ``scale`` t ** ``shape``: below 1 they get rarer, above 1 more frequent
(MIL-HDBK-189, "Reliability Growth Management", 1981, appendix C; NIST/SEMATECH e-Handbook 8.4.5.2).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple


class Growth(NamedTuple):
    """The power law: maximum likelihood shape and scale, and the shape with its bias taken out (None below 2 faults).

    ``rate`` is the rate of faults at the end, by the maximum likelihood estimates.
    """

    shape: float
    scale: float
    unbiased: float | None
    rate: float


def growth(times: Sequence[float], end: float) -> Growth:
    """The power law of faults at ``times`` in a tour watched from 0 to ``end``.

    ValueError: there is none, or one is not above 0 or after the end, or all are at the end.
    """
    if not times or min(times) <= 0 or max(times) > end:
        raise ValueError("faults must lie above 0 and not after the end")
    number, logs = len(times), math.fsum(math.log(end / one) for one in times)
    if logs <= 0:
        raise ValueError("all faults are at the end")
    shape = number / logs
    scale = number / end**shape
    unbiased = (number - 1) / logs if number > 1 else None
    return Growth(shape, scale, unbiased, scale * shape * end ** (shape - 1))
