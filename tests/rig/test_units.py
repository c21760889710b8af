"""Feet, gauges and copper against closed forms; the published tables are in tests/published."""

import math

import pytest

from checkapp.rig import units


@pytest.mark.closed_form
def test_a_foot_is_0_3048_metres_exactly():
    # 1959 international yard and pound agreement; NIST SP 811, appendix B.8
    assert units.metres_from_feet(1) == 0.3048
    assert units.metres_from_feet(50) == pytest.approx(15.24)


@pytest.mark.closed_form
def test_gauge_36_is_0_127_mm_and_gauge_0000_is_11_684_mm():
    # ASTM B258 defines the series by these two diameters, 39 steps apart
    assert units.diameter_mm_from_awg(36) == pytest.approx(0.127)
    assert units.diameter_mm_from_awg(-3) == pytest.approx(11.684)


@pytest.mark.closed_form
def test_both_conductors_of_one_square_millimetre():
    assert units.loop_ohm_per_m_from_area(1.0) == pytest.approx(2 / 58)
    assert units.area_mm2_from_awg(36) == pytest.approx(math.pi / 4 * 0.127**2)


@pytest.mark.closed_form
def test_copper_is_as_it_is_at_20_c():
    assert units.copper_factor(20) == 1
    assert units.copper_factor(120) == pytest.approx(1.393)
