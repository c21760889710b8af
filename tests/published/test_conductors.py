"""Gauges, areas and copper against printed tables."""

import pytest

from checkapp.rig.model import CableKind
from checkapp.rig.units import (
    area_mm2_from_awg,
    copper_factor,
    diameter_mm_from_awg,
    loop_ohm_per_m_from_area,
    metres_from_feet,
)

THOUSAND_FEET_M = 304.8


def ohm_per_1000_ft(gauge, conductor_c=20.0):
    """One conductor, solid: half the loop."""
    loop = loop_ohm_per_m_from_area(area_mm2_from_awg(gauge)) * copper_factor(conductor_c)
    return loop / 2 * THOUSAND_FEET_M


# ASTM B258: the gauge is defined by 0.005 inch for 36 and 0.46 inch for 0000 (gauge -3); the others computed from it
@pytest.mark.published
@pytest.mark.parametrize(("gauge", "inches"), [(36, 0.005), (-3, 0.46), (24, 0.0201), (18, 0.0403), (10, 0.1019)])
def test_diameter_of_a_gauge(gauge, inches):
    assert diameter_mm_from_awg(gauge) / 25.4 == pytest.approx(inches, abs=5e-5)


# ASTM B258, computed
@pytest.mark.published
@pytest.mark.parametrize(("gauge", "mm2"), [(18, 0.8230), (20, 0.5176), (22, 0.3255), (24, 0.2047), (26, 0.1288)])
def test_area_of_a_gauge(gauge, mm2):
    assert area_mm2_from_awg(gauge) == pytest.approx(mm2, abs=5e-5)


# NBS Handbook 100, copper wire tables: solid wire at 20 C, ohm per 1000 ft; 10 to 16 AWG from memory
@pytest.mark.published
@pytest.mark.parametrize(
    ("gauge", "ohm", "half_digit"),
    [
        (10, 0.9989, 5e-5),
        (12, 1.588, 5e-4),
        (14, 2.525, 5e-4),
        (16, 4.016, 5e-4),
        (18, 6.385, 5e-4),
        (20, 10.15, 5e-3),
        (22, 16.14, 5e-3),
        (23, 20.36, 5e-3),
        (24, 25.67, 5e-3),
        (26, 40.81, 5e-3),
    ],
)
def test_ohms_of_a_gauge_at_20_c(gauge, ohm, half_digit):
    assert ohm_per_1000_ft(gauge) == pytest.approx(ohm, abs=half_digit)


# NFPA 70 Chapter 9 Table 8: solid uncoated copper at 75 C, ohm per 1000 ft; the table starts from rounded areas, so
# that its last digit may be off by one
@pytest.mark.published
@pytest.mark.parametrize(("gauge", "ohm"), [(18, 7.77), (16, 4.89), (14, 3.07), (12, 1.93), (10, 1.21)])
def test_ohms_of_a_gauge_at_75_c(gauge, ohm):
    assert ohm_per_1000_ft(gauge, 75.0) == pytest.approx(ohm, abs=0.01)


# NFPA 70 Chapter 9 Table 8: stranding adds about 2 %; ours is the solid wire and must lie just below
@pytest.mark.published
@pytest.mark.parametrize(("gauge", "ohm"), [(18, 7.95), (16, 4.99), (14, 3.14), (12, 1.98), (10, 1.24)])
def test_stranded_wire_lies_little_above(gauge, ohm):
    assert 1.015 < ohm / ohm_per_1000_ft(gauge, 75.0) < 1.03


# IEC 60228:2004 Table 3 (number from memory): class 5 plain copper, the most that is allowed at 20 C, ohm/km
@pytest.mark.published
@pytest.mark.parametrize(
    ("mm2", "most"), [(0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4, 4.95), (6, 3.30)]
)
def test_solid_copper_is_below_the_limit_of_flexible_cores(mm2, most):
    ohm_per_km = loop_ohm_per_m_from_area(mm2) / 2 * 1000
    assert 0.86 * most < ohm_per_km < most


@pytest.mark.published
def test_copper_at_20_c():
    """IEC 60028: 100 % IACS is 1/58 ohm mm2/m; a pair has two conductors."""
    assert loop_ohm_per_m_from_area(1.0) == pytest.approx(2 / 58, rel=1e-15)


@pytest.mark.published
@pytest.mark.parametrize(("celsius", "to_20"), [(20, 1.0), (75, 0.8223)])
def test_factor_to_20_c(celsius, to_20):
    """IEC 60228 Annex B: 1/(1 + 0.00393 (t - 20))."""
    assert 1 / copper_factor(celsius) == pytest.approx(to_20, abs=5e-5)


@pytest.mark.published
def test_the_international_foot():
    """Exactly 0.3048 m (1959 agreement; NIST SP 811 appendix B.8)."""
    assert metres_from_feet(1000) == pytest.approx(THOUSAND_FEET_M, rel=1e-15)


@pytest.mark.closed_form
def test_a_cable_kind_takes_its_resistance_from_what_it_is_given():
    by_area = CableKind(core_mm2=0.5)
    by_gauge = CableKind(core_awg=22.0)
    by_ohms = CableKind.model_validate({"loop_ohm_per_m": 0.1014})
    assert by_area.loop_ohm_per_m == pytest.approx(2 / 29, rel=1e-14)
    assert by_gauge.loop_ohm_per_m == pytest.approx(2 * 16.14 / THOUSAND_FEET_M, rel=5e-4)
    assert by_ohms.loop_ohm_per_m == 0.1014
    assert CableKind().loop_ohm_per_m is None
