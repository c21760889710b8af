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
# that its last digit may be off by one; 8 AWG from memory
@pytest.mark.published
@pytest.mark.parametrize(("gauge", "ohm"), [(18, 7.77), (16, 4.89), (14, 3.07), (12, 1.93), (10, 1.21), (8, 0.764)])
def test_ohms_of_a_gauge_at_75_c(gauge, ohm):
    assert ohm_per_1000_ft(gauge, 75.0) == pytest.approx(ohm, abs=0.01)


# NFPA 70 Chapter 9 Table 8: circular mils, the square of the diameter in thousandths of an inch (from memory)
@pytest.mark.published
@pytest.mark.parametrize(
    ("gauge", "mils"), [(18, 1620), (16, 2580), (14, 4110), (12, 6530), (10, 10_380), (8, 16_510), (6, 26_240)]
)
def test_circular_mils_of_a_gauge(gauge, mils):
    assert (diameter_mm_from_awg(gauge) / 0.0254) ** 2 == pytest.approx(mils, rel=3e-3)


# NFPA 70 Chapter 9 Table 8: stranding adds about 2 %; ours is the solid wire and must lie just below; 8 AWG and
# thicker from memory
@pytest.mark.published
@pytest.mark.parametrize(
    ("gauge", "ohm"),
    [
        (18, 7.95),
        (16, 4.99),
        (14, 3.14),
        (12, 1.98),
        (10, 1.24),
        (8, 0.778),
        (6, 0.491),
        (4, 0.308),
        (3, 0.245),
        (2, 0.194),
        (1, 0.154),
    ],
)
def test_stranded_wire_lies_little_above(gauge, ohm):
    assert 1.015 < ohm / ohm_per_1000_ft(gauge, 75.0) < 1.03


# IEC 60228:2004 Table 1: class 1 (solid, up to 16 mm2) and class 2 (stranded), plain copper, the most that is allowed
# at 20 C, ohm/km (from memory)
@pytest.mark.published
@pytest.mark.parametrize(
    ("mm2", "most"),
    [
        (0.5, 36.0),
        (0.75, 24.5),
        (1.0, 18.1),
        (1.5, 12.1),
        (2.5, 7.41),
        (4, 4.61),
        (6, 3.08),
        (10, 1.83),
        (16, 1.15),
        (25, 0.727),
        (35, 0.524),
    ],
)
def test_solid_copper_is_below_the_limit_of_fixed_wiring(mm2, most):
    ohm_per_km = loop_ohm_per_m_from_area(mm2) / 2 * 1000
    assert 0.93 * most < ohm_per_km < most


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


# The resistance of copper goes to nothing at -234.5 C if its line is drawn on: R2/R1 = (234.5 + t2)/(234.5 + t1)
# (handbooks of electrical machines; from memory)
@pytest.mark.published
@pytest.mark.parametrize("celsius", [-20, 0, 40, 70, 90])
def test_the_other_form_of_the_temperature_law(celsius):
    assert copper_factor(celsius) == pytest.approx((234.5 + celsius) / 254.5, abs=2e-4)


@pytest.mark.published
def test_from_75_to_60_c():
    """NFPA 70 Chapter 9 Table 8, note 2: R2 = R1 (1 + 0.00323 (t2 - 75)) (from memory)."""
    assert copper_factor(60) / copper_factor(75) == pytest.approx(1 - 0.00323 * 15, abs=1e-4)


@pytest.mark.published
def test_from_20_to_70_c():
    """BS 7671 guidance: 1.20 from 20 C to thermoplastic cable in full use, 70 C (from memory)."""
    assert copper_factor(70) == pytest.approx(1.20, abs=5e-3)


@pytest.mark.published
def test_resistivity_of_annealed_copper():
    """IEC 60028: 0.017241 ohm mm2/m at 20 C (from memory)."""
    assert loop_ohm_per_m_from_area(1.0) / 2 == pytest.approx(0.017241, abs=5e-7)


@pytest.mark.published
def test_a_pair_of_24_awg_is_within_the_limits_of_structured_cabling():
    """TIA-568: 9.38 ohm a conductor and 100 m at 20 C; ISO/IEC 11801: 25 ohm the loop of a channel (from memory)."""
    loop_ohm = loop_ohm_per_m_from_area(area_mm2_from_awg(24)) * 100
    assert 0.88 * 9.38 < loop_ohm / 2 < 9.38
    assert loop_ohm < 25.0


@pytest.mark.published
def test_100_m_of_structured_cabling_in_feet():
    """TIA-568 writes 100 m (328 ft) (from memory)."""
    assert metres_from_feet(328) == pytest.approx(100.0, abs=0.15)


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
