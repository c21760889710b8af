"""Against a limit: a value equal to it passes, to 1e-9 of the larger of the two."""

import math

SLACK = 1e-9


def is_above(value: float, limit: float) -> bool:
    """Whether ``value`` breaks an upper limit."""
    return value > limit and not math.isclose(value, limit, rel_tol=SLACK)


def is_below(value: float, limit: float) -> bool:
    """Whether ``value`` breaks a lower limit."""
    return value < limit and not math.isclose(value, limit, rel_tol=SLACK)
