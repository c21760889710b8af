"""The evidence as the solver takes it: odds of items after the ok marks, and the faulty marks that couple them.

Given which items are faulty the chance of an ok mark is a product over the faulty items on the line, so that ok marks
only change the odds of single items. What is left are the faulty marks. Items on none of them are independent of all
else.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from checkapp.rig.words import SYMPTOMS

if TYPE_CHECKING:
    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.evidence import Heard
    from checkapp.rig.model import Item
    from checkapp.rig.words import ItemKind, Symptom


class FaultyMark(NamedTuple):
    """A faulty mark on the items of a line; ``symptom`` is None where none was said."""

    items: tuple[Item, ...]
    symptom: Symptom | None


class OpenMark(NamedTuple):
    """A mark that is still to be made on the items of a line: all its outcomes are reckoned side by side."""

    items: tuple[Item, ...]


AnyMark = FaultyMark | OpenMark
Odds = Mapping["Item", float]
"""The natural logarithm of the odds of each item being faulty, given the ok marks."""


class Case(NamedTuple):
    """The log odds of every item after the ok marks, and the faulty marks in the order in which they were heard."""

    odds: dict[Item, float]
    marks: tuple[FaultyMark, ...]


def case_of(paths: Iterable[Sequence[Item]], heard: Sequence[Heard], chances: Chances) -> Case:
    """The case of the evidence; every item of ``paths`` and of the marks is in it."""
    odds: dict[Item, float] = {}
    for path in (*paths, *(one.path for one in heard)):
        for item in path:
            if item not in odds:
                odds[item] = log_odds(chances.prior_of(item))
    misses = _misses(chances)
    marks = []
    for one in heard:
        if one.verdict == "faulty":
            marks.append(FaultyMark(tuple(dict.fromkeys(one.path)), one.symptom))
        else:
            _hear_ok(odds, one, misses)
    return Case(odds, tuple(marks))


def with_mark(case: Case, one: Heard, chances: Chances) -> Case:
    """The case with one mark more."""
    odds = dict(case.odds)
    for item in one.path:
        odds.setdefault(item, log_odds(chances.prior_of(item)))
    if one.verdict == "faulty":
        return Case(odds, (*case.marks, FaultyMark(tuple(dict.fromkeys(one.path)), one.symptom)))
    _hear_ok(odds, one, _misses(chances))
    return Case(odds, case.marks)


def _misses(chances: Chances) -> dict[ItemKind, float]:
    return {kind: math.log(miss) for kind, miss in chances.miss.items()}


def _hear_ok(odds: dict[Item, float], one: Heard, misses: Mapping[ItemKind, float]) -> None:
    for item in dict.fromkeys(one.path):
        odds[item] += misses[item.kind]


def log_odds(chance: float) -> float:
    """ln(p / (1 - p)); infinite for a chance of 1."""
    return math.log(chance) - math.log1p(-chance) if chance < 1 else math.inf


def chance_of(odds: float) -> float:
    """The chance of an item with these log odds."""
    if odds >= 0:
        return 1 / (1 + math.exp(-odds))
    return math.exp(odds) / (1 + math.exp(odds))


def log_chance(odds: float) -> float:
    """The logarithm of the chance of an item with these log odds; at ``-odds`` that of its being good."""
    if odds == -math.inf:
        return -math.inf
    return odds - math.log1p(math.exp(odds)) if odds < 0 else -math.log1p(math.exp(-odds))


def asked_of(mark: AnyMark) -> tuple[Symptom | None, ...]:
    """What the columns of a mark's chances ask about, the outcome ok aside."""
    return SYMPTOMS if isinstance(mark, OpenMark) else (mark.symptom,)


def components(marks: Sequence[AnyMark], sure: Container[Item] = ()) -> list[list[int]]:
    """The marks (by place) that hang together by their items, each part in order; by none that are ``sure``."""
    above = list(range(len(marks)))

    def top(place: int) -> int:
        while above[place] != place:
            above[place] = above[above[place]]
            place = above[place]
        return place

    last: dict[Item, int] = {}
    for place, mark in enumerate(marks):
        items = [item for item in mark.items if item not in sure] if sure else mark.items
        for other in {last[item] for item in items if item in last}:
            above[top(other)] = top(place)
        last.update(dict.fromkeys(items, place))
    parts: dict[int, list[int]] = {}
    for place in range(len(marks)):
        parts.setdefault(top(place), []).append(place)
    return sorted(parts.values())
