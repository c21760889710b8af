"""What is lost on the way to a supply: the feeder's copper, both conductors.

U = I 2 L/(58 S) (1 + 0.00393 (t - 20)) V for a single-phase circuit of L metres, S mm2, I amps and conductors at t
degrees C: copper as in IEC 60028. It is the form of IEC 60364-5-52 Annex G with cos phi = 1 and without inductance,
which counts only from some 16 mm2. At 75 C the same copper loses 22 % more than at 20 C, so the temperature belongs to
the figure.
"""

from dataclasses import dataclass

from checkapp.rig import units
from checkapp.rig.model import Supply

MOST_PERCENT = 3.0
"""Percent of the volts that may be lost: 3 for lighting from a public supply (IEC 60364-5-52:2009 Table G.52.1), 3 for
a branch circuit (NFPA 70 210.19(A), informational note)."""


@dataclass(frozen=True, slots=True)
class Feeder:
    """The cable to a supply: metres one way, mm2 of a conductor, degrees C of the conductors; all but the last > 0."""

    length_m: float
    area_mm2: float
    conductor_c: float

    def lost_volts(self, amps: float) -> float:
        """Volts lost in both conductors at ``amps``."""
        loop_ohm = units.loop_ohm_per_m_from_area(self.area_mm2) * self.length_m
        return amps * loop_ohm * units.copper_factor(self.conductor_c)


def feeder_of(supply: Supply) -> Feeder | None:
    """The feeder of a supply; None unless the plan gives both its length and its core."""
    length_m, area_mm2 = supply.feeder_m, supply.feeder_mm2
    if length_m is None or area_mm2 is None:
        return None
    return Feeder(length_m, area_mm2, supply.conductor_c)
