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


def merged(columns: Sequence[Keys], logs: Reals) -> tuple[Places, Places, Reals]:
    """Rows alike in all ``columns`` as one, their weights (logarithms) added.

    Gives the new row of each old one, an old row of each new one, and the new weights.
    """
    codes = np.zeros(len(logs), np.intp)
    for column in columns:
        values, place = np.unique(column, return_inverse=True)
        codes = codes * len(values) + place
    order = np.argsort(codes, kind="stable")
    in_order = codes[order]
    new = np.empty(len(order), bool)
    new[0] = True
    np.not_equal(in_order[1:], in_order[:-1], out=new[1:])
    starts = np.flatnonzero(new)
    number = np.cumsum(new) - 1
    into = np.empty(len(order), np.intp)
    into[order] = number
    in_order_logs = logs[order]
    most = np.maximum.reduceat(in_order_logs, starts, axis=0)
    most[most == -np.inf] = 0.0
    added = np.add.reduceat(np.exp(in_order_logs - most[number]), starts, axis=0)
    with np.errstate(divide="ignore"):
        return into, order[starts], most + np.log(added)


def gathered(values: Reals, into: Places, size: int) -> Reals:
    """The sums of the rows of ``values`` that go into each of ``size`` new rows."""
    return np.stack([np.bincount(into, column, size) for column in values.T], axis=1)


def logs_added(logs: Reals) -> Reals:
    """The logarithm of the sum of exp(``logs``) over the middle axis."""
    most = logs.max(axis=1, keepdims=True)
    most[most == -np.inf] = 0.0
    with np.errstate(divide="ignore"):
        added: Reals = most[:, 0] + np.log(np.exp(logs - most).sum(axis=1))
    return added
