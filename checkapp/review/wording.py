"""Figures and lists as the review's messages write them."""

import math
from collections.abc import Sequence

from checkapp.rig.measures import length_unit
from checkapp.rig.model import Cable
from checkapp.rig.units import feet_from_metres
from checkapp.tongue import tr
from checkapp.tongue.numbers import both, number, with_sign


def figure(value: float) -> str:
    """Three significant digits, as many as can be acted upon; from 100 on in ones: ``1066``, ``17.4``, ``0.308``."""
    return number(round(value) if 100 <= abs(value) < math.inf else value, 3)


def rounded_down(value: float) -> str:
    """A positive value to three significant digits, never more than it: a length that is safe to use."""
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    return figure(math.floor(value / step) * step)


def against(value: float, limit: float, unit: str) -> tuple[str, str]:
    """A value and its limit with their unit, with digits enough to tell them apart; the limit as the plan has it."""
    if unit == "m" and length_unit() == "ft":
        value, limit, unit = feet_from_metres(value), feet_from_metres(limit), "ft"
    digits = 3
    while digits < 12 and f"{value:.{digits}g}" == f"{limit:.{digits}g}":
        digits += 1
    if digits == 3:
        return f"{figure(value)} {unit}", f"{number(limit)} {unit}"
    return with_sign(f"{value:.{digits}g} {unit}"), with_sign(f"{limit:.{digits}g} {unit}")


def length(cables: Sequence[Cable], metres: str) -> str:
    """A length with metres: ``66 m``, or ``216.5 ft (66 m)`` when all of it is in feet and no unit was chosen."""
    feet = [cable.written_ft for cable in cables if cable.written_ft is not None]
    if length_unit() is not None or not feet or len(feet) < len(cables):
        return metres
    return f"{figure(sum(feet))} ft ({metres})"


def listed(names: Sequence[str]) -> str:
    """``SB1``; ``SB1 and SB2``; ``SB1, SB2 and SB3``."""
    return both(names)


def first_of(names: Sequence[str], most: int = 8) -> str:
    """As `listed`, but no more than so many: ``in 1, in 2, in 3 and 12 more``."""
    if len(names) <= most:
        return listed(names)
    return tr("{names} and {count} more", names=", ".join(names[: most - 1]), count=len(names) - most + 1)


def sentence(text: str) -> str:
    """The text with its first letter in capitals."""
    return text[:1].upper() + text[1:]
