"""What the plan review has to say, and in which order."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal, get_args

from checkapp.rig.change import Way
from checkapp.rig.rig import Rig

FindingLevel = Literal["stop", "caution", "note"]
Unit = Literal["m", "boxes", "slots", "A", "V", "W", "ohm", "%", "us"]
LEVELS: tuple[FindingLevel, ...] = get_args(FindingLevel)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that the review has to say.

    ``where`` names a chain (``chain A``), an item by its code, or a line (``in 7``). ``value``, ``limit`` and
    ``unit`` are None where nothing is compared. ``message`` says what is so, ``remedy`` what to do; ``basis`` is
    ``plan``, or the short name of the standard that the limit is from. ``ways`` holds the changes that the remedy
    speaks of, each way by itself enough: the first is the one with the fewest changes.
    """

    rule: str
    level: FindingLevel
    where: str
    message: str
    remedy: str
    value: float | None = None
    limit: float | None = None
    unit: Unit | None = None
    basis: str = "plan"
    ways: tuple[Way, ...] = ()


Rule = Callable[[Rig], Iterable[Finding]]


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stop, caution, note; within a level as they come: the order of the rules, then that of the plan."""
    return tuple(sorted(findings, key=lambda finding: LEVELS.index(finding.level)))
