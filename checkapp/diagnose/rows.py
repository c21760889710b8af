"""Tables of weights: rows brought together, sums of logarithms."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Reals = NDArray[np.float64]
    Keys = NDArray[np.int64]
    Places = NDArray[np.intp]
    Numbers = NDArray[np.int32]

_SHORT = 2**16
_CLOSE = 1024


def merged(columns: Sequence[Keys], logs: Reals) -> tuple[Places, Places, Reals]:
    """Rows alike in all ``columns`` as one, their weights (logarithms) added.

    Gives the new row of each old one, an old row of each new one, and the new weights.
    """
    codes = np.zeros(len(logs), np.intp)
    for column in columns:
        values, place = numbered(column)
        codes = codes * len(values) + place
    values, into = numbered(codes)
    if len(values) == 1:
        return into, np.zeros(1, np.intp), logs_added(logs[None])
    order = np.argsort(into.astype(np.uint16) if len(values) <= _SHORT else into, kind="stable")
    number = into[order]
    starts = np.flatnonzero(np.diff(number, prepend=-1))
    in_order_logs = logs[order]
    most = np.maximum.reduceat(in_order_logs, starts, axis=0)
    most[most == -np.inf] = 0.0
    added = np.add.reduceat(np.exp(in_order_logs - most[number]), starts, axis=0)
    with np.errstate(divide="ignore"):
        return into, order[starts], most + np.log(added)


def numbered(keys: Keys) -> tuple[Keys, Places]:
    """The different keys in rising order, and which of them each key is: by a table where they lie close enough."""
    if keys.dtype == np.int64:
        least = int(keys.min())
        span = int(keys.max()) - least + 1
        if span <= 4 * len(keys) + _CLOSE:
            shifted = keys - least
            there = np.zeros(span, bool)
            there[shifted] = True
            values = np.flatnonzero(there)
            place = np.empty(span, np.intp)
            place[values] = np.arange(len(values))
            return values + least, place[shifted]
    return np.unique(keys, return_inverse=True)


def gathered(values: Reals, into: Places | Numbers, size: int) -> Reals:
    """The sums of the rows of ``values`` that go into each of ``size`` new rows."""
    if values.shape[1] == 1:
        return np.bincount(into, values[:, 0], size)[:, None].astype(np.float64)
    return np.stack([np.bincount(into, column, size) for column in values.T], axis=1)


def logs_added(logs: Reals) -> Reals:
    """The logarithm of the sum of exp(``logs``) over the middle axis."""
    most = logs.max(axis=1, keepdims=True)
    most[most == -np.inf] = 0.0
    with np.errstate(divide="ignore"):
        added: Reals = most[:, 0] + np.log(np.exp(logs - most).sum(axis=1))
    return added
