"""What circuits and cores come in: ratings of breakers and areas of conductors that are made."""

from bisect import bisect_left

from checkapp.rig.units import area_mm2_from_awg
from checkapp.tongue.numbers import number

IEC_RATINGS_A = (6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125)
"""Preferred ratings of miniature circuit breakers (IEC 60898-1)."""

NFPA_RATINGS_A = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125)
"""Standard ratings of fuses and breakers up to 125 A (NFPA 70 240.6(A); from memory)."""

CORES_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0, 185.0, 240.0)
"""Nominal areas of conductors (IEC 60228 Table 1; from memory)."""

GAUGES = (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1)
"""Gauges of wire that are made for wiring, thin to thick (NFPA 70 Chapter 9 Table 8; from memory)."""

_NORTH_AMERICAN_V = 130.0
"""Mains of up to 127 V is wired by the North American lists: common practice, no source."""


def next_rating_a(amps: float, volts: float) -> int | None:
    """The smallest rating of a circuit on ``volts`` that is at least ``amps``; None above 125 A."""
    ratings = NFPA_RATINGS_A if volts < _NORTH_AMERICAN_V else IEC_RATINGS_A
    return ratings[place] if (place := bisect_left(ratings, amps)) < len(ratings) else None


def next_core(area_mm2: float, by_gauge: bool) -> str | None:
    """The thinnest core that is made and has ``area_mm2`` or more: ``4 mm2`` or ``10 AWG``; None when none has."""
    if by_gauge:
        return next((f"{gauge} AWG" for gauge in GAUGES if area_mm2_from_awg(gauge) >= area_mm2), None)
    place = bisect_left(CORES_MM2, area_mm2)
    return f"{number(CORES_MM2[place])} mm2" if place < len(CORES_MM2) else None
