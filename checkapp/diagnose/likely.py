"""Which lines are likely to be faulty: the chance of a faulty mark on each, given all that was heard, exactly.

Given which items are faulty an ok mark is a product over the faulty items on the line. So its chance is the weight of
the evidence with the odds of the line's items lowered by their misses, over the weight as it is: one sweep more over
the faulty marks that hang together with the line, and none where there are none.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from checkapp.diagnose.case import case_of, chance_of, components
from checkapp.diagnose.evidence import latest
from checkapp.diagnose.posterior import solve
from checkapp.diagnose.private import Hearing
from checkapp.diagnose.sweep import FULL, Limits, Sweep

if TYPE_CHECKING:
    from checkapp.diagnose.case import Case
    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.evidence import Heard, Path
    from checkapp.rig.model import Item


def faulty_chances(
    paths: Mapping[str, Path],
    heard: Sequence[Heard],
    chances: Chances,
    lines: Iterable[str] | None = None,
    limits: Limits = FULL,
) -> dict[str, float]:
    """The chance, 0 to 1, that each of ``lines`` (None: all of ``paths``) would be marked faulty now.

    A line that was heard is taken as heard once more. ``limits`` keep the work within bounds, as for the suspects.
    `ImpossibleEvidence`: the marks cannot all be true with these chances.
    """
    listening = _Listening(case_of(paths.values(), latest(heard), chances), Hearing(chances), limits)
    return {line: listening.faulty(paths[line]) for line in (paths if lines is None else lines)}


def unfound(chances: Mapping[str, float], checked: Collection[str] = ()) -> float:
    """The expected number of faulty lines, from each line's chance, that are not among those ``checked``."""
    return math.fsum(chance for line, chance in chances.items() if line not in checked)


class _Listening:
    """One more mark on a case: how likely it is faulty. Lines that run through the same marked items share a sweep."""

    def __init__(self, case: Case, hearing: Hearing, limits: Limits) -> None:
        self._case, self._hearing, self._limits = case, hearing, limits
        self._parts = components(case.marks)
        numbered = enumerate(self._parts)
        self._part_of = {item: number for number, part in numbered for at in part for item in case.marks[at].items}
        self._weights = [self._weight(part, case.odds) for part in self._parts]
        if -math.inf in self._weights:
            solve(case, hearing, limits)  # says what is wrong with the marks
        self._raised: dict[frozenset[Item], float] = {}

    def faulty(self, path: Path) -> float:
        on_line = dict.fromkeys(path)
        heard = frozenset(item for item in on_line if item in self._part_of)
        false_alarm = self._hearing.chances.false_alarm
        if false_alarm == 1:
            return 1.0
        if heard not in self._raised:
            self._raised[heard] = self._raise(heard)
        ok = math.fsum((math.log1p(-false_alarm), self._raised[heard], *map(self._let_pass, on_line)))
        return min(1.0, max(0.0, -math.expm1(ok)))

    def _let_pass(self, item: Item) -> float:
        """The logarithm of the chance that an item lets a line sound ok, the faulty marks left aside."""
        odds, miss = self._case.odds[item], self._hearing.chances.miss[item.kind]
        stopped = chance_of(odds) * (1 - miss)
        return math.log1p(-stopped) if stopped < 0.5 else math.log(chance_of(-odds) + chance_of(odds) * miss)

    def _raise(self, heard: frozenset[Item]) -> float:
        """What the faulty marks add to the logarithm of the chance of ok, through the items that are on them."""
        odds = dict(self._case.odds)
        for item in heard:
            odds[item] += math.log(self._hearing.chances.miss[item.kind])
        parts = sorted({self._part_of[item] for item in heard})
        return math.fsum(self._weight(self._parts[part], odds) - self._weights[part] for part in parts)

    def _weight(self, part: Sequence[int], odds: Mapping[Item, float]) -> float:
        """The logarithm of the weight of the marks of a part."""
        marks = [self._case.marks[at] for at in part]
        return float(Sweep(marks, odds, self._hearing, self._limits).there()[0])
