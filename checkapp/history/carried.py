"""Which spares a crew is told to carry: of kinds that lie in a case, and only when there is enough to go by."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.history.analysis import History, SparesRow

SPARED: Final = ("source", "cable", "hop", "box", "supply")
"""Kinds that spares are carried of; ports, chains and inputs of a desk are not carried."""
FEWEST_CHECKS: Final = 5
"""After fewer checks nothing is said of spares: it would be a guess."""


def carried(found: History) -> tuple[SparesRow, ...]:
    """The spares of the kinds that are carried; nothing after too few checks."""
    if len(found.tally.checks) < FEWEST_CHECKS:
        return ()
    return tuple(row for row in found.spares if row.kind in SPARED)


def not_told(found: History) -> str:
    """Why no spares are told, in words."""
    if len(found.tally.checks) < FEWEST_CHECKS:
        return tr("not to be told after fewer than {count} checks", count=FEWEST_CHECKS)
    return tr("none are carried of what was asked for")
