"""A bound on the chance of the marks at one stop of a sweep, whatever is faulty.

All marks at a stop have the same shared items on them. Where some of those are faulty, the chance of each symptom is at
most their mean, but for what private items can add: a mixture of what their kinds sound like, *the same* mixture for
all these marks. The likeliest mixture is approached step by step (expectation maximisation). The logarithm of a mixture
is concave, so that from any mixture a bound on the best one follows: with g[k] the sum over the N marks of the chance
of kind k over that of the mixture, no mixture is likelier than by N ln(max g / N) (Jensen).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

import numpy as np

from checkapp.diagnose.private import Shared

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.alike import Alike
    from checkapp.diagnose.private import Hearing
    from checkapp.rig.words import ItemKind

    Reals = NDArray[np.float64]

STEPS = 20


def most_likely(
    groups: Sequence[tuple[Alike, Collection[ItemKind]]], shared: Sequence[ItemKind], hearing: Hearing
) -> float:
    """The logarithm of a bound on the chance of all marks at a stop; open ones and those with no symptom count as 1.

    ``groups`` are its marks with the kinds of their private items, ``shared`` the kinds of the shared ones.
    """
    rows: list[Reals] = []
    numbers: list[float] = []
    without = 0.0
    for like, private in groups:
        if like.open or like.asked == (None,):
            continue
        hear = np.array([hearing.row(kind, like.asked) for kind in shared]).reshape(-1, len(like.asked))
        loudest = np.array([hearing.row(kind, like.asked) for kind in {*shared, *private}]).max(axis=0, initial=0.0)
        good = like.factor.all_good
        nothing = Shared(np.ones(1), np.zeros(1), np.zeros(1), np.zeros((1, len(like.asked))))
        alone = like.factor.chances(nothing, hearing.chances.false_alarm, 1)
        without += float(like.logs(alone)[0, 0])
        mixed = (good * hear + (1 - good) * loudest).T
        rows += [mixed[column] for column in like.columns]
        numbers += like.numbers.tolist()
    if not rows or not shared:
        return without
    return max(without, best_mixture(np.array(rows), np.array(numbers)))


def best_mixture(rows: Reals, numbers: Reals) -> float:
    """A bound on the sum over the rows of number times ln(row . mixture), for any mixture (parts that add up to 1)."""
    if (rows.max(axis=1) <= 0).any():
        return -float("inf")
    total = float(numbers.sum())
    mixture = np.full(rows.shape[1], 1 / rows.shape[1])
    bound = float("inf")
    for _ in range(STEPS):
        chance = (rows * mixture).sum(axis=1)
        if (chance <= 0).any():
            break
        gain = (rows * (numbers / chance)[:, None]).sum(axis=0)
        bound = min(bound, float(numbers @ np.log(chance) + total * np.log(gain.max() / total)))
        mixture = mixture * gain / total
    return bound
