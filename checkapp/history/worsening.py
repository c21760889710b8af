"""Which items and kinds get worse, told so that among many asked few are told by chance alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, Generic, NamedTuple, TypeVar

from scipy.special import gammainc

from checkapp.history.false_alarms import told
from checkapp.history.trend import FEWEST, LEVEL

if TYPE_CHECKING:
    from checkapp.history.analysis import History, ItemRow, KindRow

FALSE_PART: Final = 0.1
"""Of those that are told to get worse, no more than this part is expected to be there by chance. No source: a choice.

One that would not be taken for worse by itself is not told either.
"""


_Row = TypeVar("_Row")


class Worse(NamedTuple, Generic[_Row]):
    """One that gets worse, and the two-sided probability of looking so by chance."""

    row: _Row
    p: float


class Worsening(NamedTuple):
    """Items and kinds that get worse, surest first; how many items look so taken alone, of how many asked."""

    items: tuple[Worse[ItemRow], ...]
    kinds: tuple[Worse[KindRow], ...]
    alone: int
    asked: int


def worsening(history: History) -> Worsening:
    """What gets worse. Items and kinds are two questions, each with its own part of false alarms."""
    items = [Worse(row, p) for row in history.items if (p := _later(row)) is not None]
    kinds = [Worse(row, p) for row in history.kinds if (p := _growing(row)) is not None]
    alone = sum(1 for one in items if one.p < LEVEL / 2)
    return Worsening(_told(items), _told(kinds), alone, len(items))


def _told(asked: Sequence[Worse[_Row]]) -> tuple[Worse[_Row], ...]:
    """Those that are told, of all with their one-sided probabilities; these become two-sided."""
    said = told([one.p for one in asked], FALSE_PART)
    found = [Worse(one.row, 2 * one.p) for one, is_told in zip(asked, said, strict=True) if is_told]
    return tuple(sorted((one for one in found if one.p < LEVEL), key=lambda one: one.p))


def _later(row: ItemRow) -> float | None:
    """The probability of faults so late by chance; None for too few of them, or in too few checks.

    Tries at a repair in one check are not a trend, however many.
    """
    if row.trend.p is None or row.trend.z is None or len(set(row.life.faults)) < FEWEST:
        return None
    return row.trend.p / 2 if row.trend.z > 0 else 1 - row.trend.p / 2


def _growing(row: KindRow) -> float | None:
    """The probability of faults of a kind so late by chance; None for too few of them.

    With n faults and the shape b, n/b is the sum of log(end/time) over them: gamma with shape n where there is no
    trend, small where they come late (MIL-HDBK-189, 1981, appendix C). n comes from b and b with its bias taken out.
    """
    found = row.growth
    if found is None or found.unbiased is None or found.unbiased >= found.shape:
        return None
    number = round(1 / (1 - found.unbiased / found.shape))
    return float(gammainc(number, number / found.shape)) if number >= FEWEST else None
