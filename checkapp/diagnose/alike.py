"""Marks on the same shared items that are alike in their private ones: their chances are worked out together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from checkapp.diagnose.case import OpenMark, asked_of, chance_of
from checkapp.diagnose.private import Private
from checkapp.rig.words import SYMPTOMS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.case import AnyMark, Odds
    from checkapp.diagnose.private import Asked, Factor, Hearing
    from checkapp.rig.model import Item

    Reals = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Alike:
    """Marks that differ in their symptom at most: ``marks`` (by place), each with its column of the factor's chances.

    An open mark is by itself and has all columns (``open``).
    """

    factor: Factor
    asked: Asked
    marks: tuple[tuple[int, int], ...]
    columns: tuple[int, ...]
    numbers: Reals
    open: bool

    @property
    def likeness(self) -> Hashable:
        """Marks that are alike in this say the same."""
        return self.factor, self.asked, self.columns, tuple(self.numbers), self.open

    def logs(self, chances: Reals) -> Reals:
        """The logarithm of the chance of all these marks, from the factor's chances: (row, outcome)."""
        with np.errstate(divide="ignore"):
            if self.open:
                logs: Reals = np.log(chances[0])
                return logs
            added: Reals = (np.log(chances[0][:, self.columns]) * self.numbers).sum(axis=1, keepdims=True)
            return added

    def private(self, chances: Reals, weights: Reals) -> Reals:
        """The chance of each private item in each outcome: (item, column, outcome).

        From the factor's chances and those of the rows (row, outcome). An open mark has one column here.
        """
        shares = private_shares(chances)
        if self.open:
            alone: Reals = (shares * weights).sum(axis=1)[:, None, :]
            return alone
        found: Reals = shares.transpose(0, 2, 1) @ weights
        return found


def private_shares(chances: Reals) -> Reals:
    """The chance of each private item given the mark, from the factor's chances: (item, row, outcome)."""
    return np.divide(chances[1:], chances[:1], out=np.zeros_like(chances[1:]), where=chances[:1] > 0)


def alike(
    places: Sequence[int],
    marks: Sequence[AnyMark],
    private: Sequence[Sequence[Item]],
    odds: Odds,
    hearing: Hearing,
) -> list[Alike]:
    """The marks at ``places``, those that are alike together; ``private`` are the private items of every mark."""
    groups: dict[tuple[tuple[Private, ...], bool, bool], list[int]] = {}
    for place in places:
        mark = marks[place]
        of_mark = tuple(Private(item.kind, chance_of(odds[item])) for item in private[place])
        is_open = isinstance(mark, OpenMark)
        groups.setdefault((of_mark, is_open, not is_open and asked_of(mark) == (None,)), []).append(place)
    found = []
    for (of_mark, is_open, unsaid), group in groups.items():
        heard = [asked_of(marks[place])[0] for place in group]
        asked: Asked = SYMPTOMS if is_open or (not unsaid and len(set(heard)) > 1) else (heard[0],)
        factor = hearing.factor(of_mark, asked, with_ok=is_open)
        column = {symptom: at for at, symptom in enumerate(asked)}
        if is_open:
            found.append(Alike(factor, asked, ((group[0], 0),), (), np.zeros(0), open=True))
            continue
        numbers = Counter(column[symptom] for symptom in heard)
        at = tuple((place, column[symptom]) for place, symptom in zip(group, heard, strict=True))
        found.append(
            Alike(factor, asked, at, tuple(numbers), np.array([float(one) for one in numbers.values()]), open=False)
        )
    return found
