"""What the marks at a stop of a sweep say of its rows, worked out once for all sweeps that meet the same.

The sweeps for tests differ from one another by the open mark alone, so that most of their stops are met many times.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from checkapp.diagnose.rows import numbered

if TYPE_CHECKING:
    from collections.abc import Hashable

    from numpy.typing import NDArray

    from checkapp.diagnose.alike import Alike
    from checkapp.diagnose.classes import Counting
    from checkapp.diagnose.private import Asked, Hearing, Shared

    Reals = NDArray[np.float64]
    Keys = NDArray[np.int64]

KEPT_ROWS = 1024
"""What is said of larger tables is not kept: they are few, and large."""
MOST_KEPT = 2000
"""So many stops are kept; then all are forgotten."""


class Said:
    """What the marks at a stop say of each row of the table.

    ``row_of_key`` is which of the ``keys`` different keys each row has, ``logs`` the logarithm of the chance of all the
    marks by key: (key, outcome).
    """

    def __init__(self, total: Keys, counting: Counting, marks: Sequence[Alike], hearing: Hearing) -> None:
        different, row_of_key = numbered(total)
        self.row_of_key = row_of_key.astype(np.int32)  # kept for the way back, in every stop
        self.keys, self._hearing, self._marks = len(different), hearing, marks
        self._shared: dict[Asked, Shared] = {}
        self._full: dict[int, Reals] = {}
        self.logs = np.zeros((self.keys, 1))
        for at, like in enumerate(marks):
            if like.asked not in self._shared:
                self._shared[like.asked] = counting.shared(different, hearing, like.asked)
            self.logs = self.logs + like.logs(self._chances(at, 1))

    def full(self, at: int) -> Reals:
        """The chances of the marks alike number ``at``, for each private item too: (variant, key, outcome)."""
        if at not in self._full:
            self._full[at] = self._chances(at, None)
        return self._full[at]

    def _chances(self, at: int, variants: int | None) -> Reals:
        like = self._marks[at]
        return like.factor.chances(self._shared[like.asked], self._hearing.chances.false_alarm, variants)


class Sayings:
    """What stops say, kept; for one set of chances."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, Said] = {}

    def of(self, total: Keys, counting: Counting, marks: Sequence[Alike], hearing: Hearing) -> Said:
        """What the marks say of the rows with these keys."""
        if len(total) > KEPT_ROWS or total.dtype != np.int64:
            return Said(total, counting, marks, hearing)
        key = (total.tobytes(), counting.likeness, tuple(like.likeness for like in marks))
        if key not in self._kept:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            self._kept[key] = Said(total, counting, marks, hearing)
        return self._kept[key]
