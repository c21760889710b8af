"""What the loop of a cable should measure, and what it means when it does not.

Copper at 20 C has 2/(58 mm2) ohm per metre for both conductors, and 0.393 % more for each kelvin (IEC 60028).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

from checkapp.rig import units

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig

Sort = Literal["as expected", "too high", "too low", "not known"]
TOLERANCE = 0.15
"""A loop may be off by this part: cores are not exact, and contacts add to short ones. A choice, no source."""
CONTACT_OHM = 0.1
"""What two pairs of clean contacts may add. A choice, no source."""


class Loop(NamedTuple):
    """What a cable's loop should have (None: the plan does not tell), the bounds, and how a measured value stands."""

    expected_ohm: float | None
    low_ohm: float | None
    high_ohm: float | None
    sort: Sort


def loop_of(rig: Rig, code: str, ohms: float, at_c: float) -> Loop:
    """How a measured loop resistance stands, at ``at_c`` degrees Celsius. KeyError: no cable of the rig."""
    cable = rig.cables[code]
    ohm_per_m = rig.cable_kind(cable).loop_ohm_per_m
    if ohm_per_m is None:
        return Loop(None, None, None, "not known")
    expected = ohm_per_m * cable.length_m * units.copper_factor(at_c)
    low, high = (1 - TOLERANCE) * expected, (1 + TOLERANCE) * expected + CONTACT_OHM
    return Loop(expected, low, high, "too high" if ohms > high else "too low" if ohms < low else "as expected")
