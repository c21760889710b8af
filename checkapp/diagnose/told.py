"""What one more mark would tell, by the table of the faulty marks that it has to do with."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from checkapp.diagnose.case import chance_of
from checkapp.diagnose.classes import ItemClass
from checkapp.diagnose.private import Private, blank
from checkapp.diagnose.rows import numbered
from checkapp.rig.words import SYMPTOMS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from checkapp.diagnose.evidence import Verdict
    from checkapp.diagnose.joint import Frame, Joint
    from checkapp.diagnose.private import Asked
    from checkapp.rig.model import Item

    Reals = NDArray[np.float64]
    Keys = NDArray[np.int64]

LEAST_CHANCE = 1e-4
"""What is negligible with a mark may count without it, where the mark may have been less likely than this."""
MOST_OWN = 256
"""With more settings of the items that the new mark has in common with one mark alone, the table does not serve."""


class Told(NamedTuple):
    """What a mark would tell.

    ``outcomes``: the chance of ok and of each symptom, as all that is known makes it. ``weights``: as the evidence will
    be afterwards makes it. ``rows``: the chance of the items of each row of the table (row, outcome) after each
    outcome; ``own`` that of items to which the table does not apply, or that are not in it.
    """

    outcomes: Reals
    weights: Reals
    rows: Reals
    own: dict[Item, Reals]
    joint: Joint

    @property
    def logs(self) -> Reals:
        """The logarithm of the chance of each outcome."""
        with np.errstate(divide="ignore"):
            logs: Reals = np.log(self.outcomes)
        return logs

    def doubt(self, asked: Collection[Item]) -> float:
        """The uncertainty of the items ``asked`` about that the mark is expected to leave, in bits."""
        numbers = self.joint.numbers(asked)
        for item in self.own:
            if item in asked and item in self.joint.row_of:
                numbers[self.joint.row_of[item]] -= 1
        left: Reals = numbers @ entropy(self.rows)
        own = [chances for item, chances in self.own.items() if item in asked]
        if own:
            left = left + entropy(np.array(own)).sum(axis=0)
        return float(left @ self.outcomes)

    def chances(self, verdict: Verdict) -> dict[Item, float]:
        """The chance of the items of the table and of the mark after it, where no symptom is said."""
        if verdict == "ok":
            rows, own = self.rows[:, 0], {item: float(chances[0]) for item, chances in self.own.items()}
        else:
            shares = self.weights[1:] / self.weights[1:].sum()
            rows = self.rows[:, 1:] @ shares
            own = {item: float(chances[1:] @ shares) for item, chances in self.own.items()}
        table = zip(self.joint.items, rows.tolist(), strict=True)
        found = {item: chance for items, chance in table for item in items}
        return {item: min(1.0, chance) for item, chance in {**found, **own}.items()}


class _Mark(NamedTuple):
    """The new mark: items shared in the table, items ``common`` with the one mark ``owner`` alone, those on none."""

    shared: list[Item]
    common: list[Item]
    fresh: list[Item]
    owner: int | None


def told(joint: Joint, path: Iterable[Item], replaced: int | None) -> Told | None:
    """What a mark on ``path`` would tell; ``replaced`` is the faulty mark in whose place it will stand, if any.

    None where the table does not serve: the new mark has items in common with each of several marks alone, or too many.
    """
    mark = _mark(joint, path, replaced)
    if mark is None or (replaced is not None and not _may_be_left_out(joint, replaced)):
        return None
    own = ItemClass(mark.common, joint.frame.odds, joint.frame.counting, joint.frame.hearing.settings)
    if len(own.logs) > MOST_OWN or own.lost > -math.inf:
        return None
    return _Telling(joint, mark, own, replaced).told()


def _mark(joint: Joint, path: Iterable[Item], replaced: int | None) -> _Mark | None:
    mark = _Mark([], [], [], replaced)
    owners = {replaced} - {None}
    for item in dict.fromkeys(path):
        if item in joint.frame.column:
            mark.shared.append(item)
        elif item in joint.row_of and joint.frame.odds[item] < math.inf:
            mark.common.append(item)
            owners.add(joint.frame.owner_of[item])
        elif joint.frame.odds[item] > -math.inf:
            mark.fresh.append(item)
    return None if len(owners) > 1 else mark._replace(owner=next(iter(owners), None))


def _may_be_left_out(joint: Joint, place: int) -> bool:
    """Whether the rows that are left out of the table stay negligible when this mark is not heard."""
    return joint.complete or _least_chance(joint.frame, place) >= LEAST_CHANCE


def _least_chance(frame: Frame, place: int) -> float:
    """No setting of the items gives the mark less chance than this."""
    mark, chances = frame.marks[place], frame.hearing.chances
    asked: Asked = (mark.symptom,)
    caught = 1 - (1 - chances.false_alarm) * max((chances.miss[item.kind] for item in mark.items), default=0.0)
    heard = min((frame.hearing.row(item.kind, asked)[0] for item in mark.items), default=1.0)
    return min(chances.false_alarm * blank(asked), caught * heard)


class _Telling:
    """The rows of the table added up by what they put on the new mark, and on the one that it has items in common with.

    Each such row is split by the settings of the common items.
    """

    def __init__(self, joint: Joint, mark: _Mark, own: ItemClass, replaced: int | None) -> None:
        self._joint, self._mark, self._own, self._replaced = joint, mark, own, replaced
        self._base = joint.weights if mark.owner is None else joint.weights_without(mark.owner)
        keys, owner_keys, self._into = self._keys()
        self._size = len(keys)
        self._weight = np.bincount(self._into, self._base, self._size)
        self._new = self._chances(mark.fresh, SYMPTOMS, keys, with_ok=True)  # (variant, key, setting, outcome)
        self._settings = np.exp(own.logs)[None, :]  # (key, setting): the weight of each setting
        self._old: Reals | None = None
        if mark.owner is not None:
            rest = [item for item in joint.frame.plan.private[mark.owner] if item not in mark.common]
            asked: Asked = (joint.frame.marks[mark.owner].symptom,)
            self._old = self._chances(rest, asked, owner_keys, with_ok=False)[..., 0]

    def _keys(self) -> tuple[Keys, Keys, Keys]:
        """The different keys of the new mark and its owner, and which of them each row has."""
        joint, mark = self._joint, self._mark
        keys, into = numbered(joint.total(mark.shared))
        if mark.owner is None:
            return keys, keys, into
        owners, place = numbered(joint.group_of[mark.owner].total)
        both, into = numbered(into * len(owners) + place)
        return keys[both // len(owners)], owners[both % len(owners)], into

    def _chances(self, items: Sequence[Item], asked: Asked, keys: Keys, *, with_ok: bool) -> Reals:
        joint = self._joint
        private = tuple(Private(item.kind, chance_of(joint.frame.odds[item])) for item in items)
        split = (keys[:, None] + self._own.keys[None, :]).ravel()
        shared = joint.frame.counting.shared(split, joint.frame.hearing, asked)
        factor = joint.frame.hearing.factor(private, asked, with_ok=with_ok)
        chances = factor.chances(shared, joint.frame.hearing.chances.false_alarm)
        return chances.reshape(len(chances), len(keys), len(self._own.keys), -1)

    def told(self) -> Told:
        known = after = self._settings
        if self._old is not None:
            known = self._settings * self._old[0]
            after = self._settings if self._replaced is not None else known
        new = after[:, :, None] * self._new[0]  # (key, setting, outcome)
        by_key = new.sum(axis=1)
        weights = self._weight @ by_key
        outcomes = weights
        if self._replaced is not None:
            outcomes = self._weight @ (known[:, :, None] * self._new[0]).sum(axis=1)
        rows = self._gathered() @ by_key
        own = self._own_chances(after, new)
        with np.errstate(divide="ignore", invalid="ignore"):
            return Told(
                outcomes / outcomes.sum(),
                weights / weights.sum(),
                np.nan_to_num(rows / weights, nan=0.0),
                {item: np.nan_to_num(chances / weights, nan=0.0) for item, chances in own.items()},
                self._joint,
            )

    def _gathered(self) -> Reals:
        """The rows' chances of items, times their weights, added up by key: (row of items, key)."""
        weighted = self._joint.rows * self._base
        order = np.argsort(self._into, kind="stable")
        starts = np.flatnonzero(np.diff(self._into[order], prepend=-1))
        added: Reals = np.add.reduceat(weighted[:, order], starts, axis=1)
        return added

    def _own_chances(self, after: Reals, new: Reals) -> dict[Item, Reals]:
        """The weight with each item faulty that the table says nothing of, by outcome."""
        own: dict[Item, Reals] = {}
        if self._mark.common:
            own.update(self._own.chances(np.einsum("k,kso->so", self._weight, new)))
        weighted = self._weight[:, None] * after
        for at, item in enumerate(self._mark.fresh, 1):
            own[item] = np.einsum("ks,kso->o", weighted, self._new[at])
        if self._mark.owner is None:
            return own
        rest = [item for item in self._joint.frame.plan.private[self._mark.owner] if item not in self._mark.common]
        for at, item in enumerate(rest, 1):
            if self._replaced is not None:
                own[item] = chance_of(self._joint.frame.odds[item]) * (self._weight @ new.sum(axis=1))
            elif self._old is not None:
                split = self._weight[:, None] * self._settings * self._old[at]
                own[item] = np.einsum("ks,kso->o", split, self._new[0])
        return own


def entropy(chances: Reals) -> Reals:
    """The binary entropy of each chance, in bits."""
    inside = np.clip(chances, 1e-300, 1 - 1e-16)
    return np.where(
        (chances <= 0) | (chances >= 1), 0.0, -inside * np.log2(inside) - (1 - inside) * np.log1p(-inside) / np.log(2)
    )
