"""Feet, gauges and copper: the only place where units that are not SI are turned into SI."""

import math

METRES_PER_FOOT = 0.3048
"""The international foot, exact by definition (1959 agreement; NIST SP 811, appendix B.8)."""

CONDUCTIVITY_S_M_PER_MM2 = 58.0
"""Annealed copper at 20 C, 100 % IACS: 1/58 ohm mm2/m (IEC 60028)."""

TEMPERATURE_FACTOR_PER_K = 0.00393
"""Rise of copper's resistance for each kelvin above 20 C (IEC 60028)."""


def metres_from_feet(length_ft: float) -> float:
    """Feet to metres."""
    return length_ft * METRES_PER_FOOT


def feet_from_metres(length_m: float) -> float:
    """Metres to feet."""
    return length_m / METRES_PER_FOOT


def diameter_mm_from_awg(gauge: float) -> float:
    """Diameter in mm of a solid wire of that American gauge: 0.127 x 92^((36 - n)/39) (ASTM B258)."""
    return 0.127 * math.exp(math.log(92) * (36 - gauge) / 39)


def area_mm2_from_awg(gauge: float) -> float:
    """Cross-section in mm2 of a solid wire of that American gauge (ASTM B258)."""
    return math.pi / 4 * diameter_mm_from_awg(gauge) ** 2


def core_area_mm2(written_mm2: float | None, gauge: float | None) -> float | None:
    """Cross-section of a core that is given by its area or by its American gauge; None when it is given by neither."""
    return written_mm2 if gauge is None else area_mm2_from_awg(gauge)


def loop_ohm_per_m_from_area(area_mm2: float) -> float:
    """Ohms a metre of both conductors together, copper at 20 C: 2/(58 A) (IEC 60028)."""
    return 2 / (CONDUCTIVITY_S_M_PER_MM2 * area_mm2)


def copper_factor(conductor_c: float) -> float:
    """How much more copper resists at ``conductor_c`` degrees than at 20 C: 1 + 0.00393 (t - 20) (IEC 60028)."""
    return 1 + TEMPERATURE_FACTOR_PER_K * (conductor_c - 20)
