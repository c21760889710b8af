"""The posterior of every item, given all marks, and what the marks cannot tell apart."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from checkapp.diagnose.case import Case, FaultyMark, asked_of, case_of, chance_of, components, log_chance
from checkapp.diagnose.errors import ImpossibleEvidence
from checkapp.diagnose.evidence import faulty_now, latest
from checkapp.diagnose.private import Hearing, blank, hearing_of
from checkapp.diagnose.sweep import FULL, Limits, Sweep

if TYPE_CHECKING:
    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.evidence import Heard, Path
    from checkapp.rig.model import Item


class Suspect(NamedTuple):
    """An item with the probability that it is faulty, given all marks."""

    item: Item
    probability: float


class Diagnosis(NamedTuple):
    """Who is to blame.

    ``suspects``: every item on the path of at least one line, by falling probability, then name. ``none``: the
    probability that every item on the lines now marked faulty is good. ``left_out``: a bound on the posterior weight
    that was not enumerated, 0 when exact. ``groups``: items, two or more each, that are on exactly the same lines, so
    that no mark of a line can tell them apart; in the order of ``suspects``.
    """

    suspects: tuple[Suspect, ...]
    none: float
    left_out: float
    groups: tuple[tuple[Item, ...], ...]


class Solution(NamedTuple):
    """The chance of every item that was asked about, the logarithm of the faulty marks' weight, and the cut."""

    chances: dict[Item, float]
    log_weight: float
    left_out: float


def diagnose(
    paths: Mapping[str, Path], heard: Sequence[Heard], chances: Chances | Hearing, limits: Limits = FULL
) -> Diagnosis:
    """The suspects, given each line's items as it runs now and what was heard; lines may be heard on several paths.

    ``limits`` keep the work within bounds. `ImpossibleEvidence`: the marks cannot all be true with these chances.
    """
    evidence, hearing = latest(heard), hearing_of(chances)
    case = case_of(paths.values(), evidence, hearing.chances)
    found = solve(case, hearing, limits)
    wanted = {item for line in faulty_now(paths, evidence) for item in paths[line]}
    items = dict.fromkeys(item for path in paths.values() for item in path)
    suspects = sorted((Suspect(item, found.chances[item]) for item in items), key=_by_blame)
    groups = _groups(paths, [suspect.item for suspect in suspects])
    none, cut = _none(case, wanted, found, hearing, limits)
    return Diagnosis(tuple(suspects), none, min(1.0, found.left_out + cut), groups)


def solve(case: Case, hearing: Hearing, limits: Limits = FULL) -> Solution:
    """The chance of every item of the case. `ImpossibleEvidence`: the faulty marks cannot all be true."""
    found: dict[Item, float] = {}
    log_weight = left_out = 0.0
    for part in components(case.marks):
        swept = Sweep([case.marks[at] for at in part], case.odds, hearing, limits).run()
        weight = float(swept.logs[0])
        if weight == -math.inf:
            raise ImpossibleEvidence(
                "these marks cannot all be true with the chances of the plan: "
                "look for a chance of 1 or a symptom without one in [diagnose]"
            )
        found.update((item, min(1.0, float(chance[0]))) for item, chance in swept.chances.items())
        log_weight += weight
        left_out += _share(swept.cut, weight)
    for item, odds in case.odds.items():
        if item not in found:
            found[item] = chance_of(odds)
    return Solution(found, log_weight, min(1.0, left_out))


def _share(cut: float, weight: float) -> float:
    """The part that what was cut off can have of the whole."""
    return 0.0 if cut == -math.inf else chance_of(cut - weight)


def _none(case: Case, wanted: set[Item], found: Solution, hearing: Hearing, limits: Limits) -> tuple[float, float]:
    """The weight of the evidence with all of ``wanted`` good, over its whole weight; the part of it that was cut off.

    Items that are good have no say, so that the marks hang together by the others only, if at all.
    """
    log_weight = math.fsum(log_chance(-case.odds[item]) for item in wanted)
    marks, alone = [], []
    for mark in case.marks:
        others = tuple(item for item in mark.items if item not in wanted)
        if others:
            marks.append(FaultyMark(others, mark.symptom))
        else:
            alone.append(math.log(hearing.chances.false_alarm * blank(asked_of(mark))))
    log_weight += math.fsum(alone)
    left_out = 0.0
    for part in components(marks):
        sweep = Sweep([marks[at] for at in part], case.odds, hearing, limits)
        weight = float(sweep.there()[0])
        left_out += _share(sweep.cut, weight)
        log_weight += weight
    return min(1.0, math.exp(log_weight - found.log_weight)), min(1.0, left_out)


def _by_blame(suspect: Suspect) -> tuple[float, str]:
    return -suspect.probability, suspect.item.name


def _groups(paths: Mapping[str, Path], items: Sequence[Item]) -> tuple[tuple[Item, ...], ...]:
    """Items on exactly the same lines, in the order of ``items``."""
    lines: dict[Item, list[int]] = {}
    for place, path in enumerate(paths.values()):
        for item in dict.fromkeys(path):
            lines.setdefault(item, []).append(place)
    alike: dict[tuple[int, ...], list[Item]] = {}
    for item in items:
        alike.setdefault(tuple(lines[item]), []).append(item)
    return tuple(tuple(group) for group in alike.values() if len(group) > 1)
