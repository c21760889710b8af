"""Lengths and cross-sections in the units that were chosen."""

import pytest

from checkapp.rig.measures import area, length, nearest_gauge, use_units
from checkapp.rig.units import area_mm2_from_awg
from checkapp.tongue import use


@pytest.fixture(autouse=True)
def _as_written_again():
    yield
    use_units()
    use("en")


@pytest.mark.published  # NIST SP 811, appendix B.8: 1 ft = 0.3048 m
def test_lengths():
    assert (length(66.0), length(66.0, 216.5)) == ("66 m", "216.5 ft (66 m)")
    use_units(length="m")
    assert length(66.0, 216.5) == "66 m"
    use_units(length="ft")
    assert (length(30.48), length(66.0, 216.5)) == ("100 ft", "216.5 ft")


def test_lengths_in_german():
    use("de")
    use_units(length="m")
    assert length(12.5) == "12,5 m"


@pytest.mark.published  # ASTM B258, table 1: 12 AWG 3.31 mm2, 4/0 AWG 107 mm2, 16 AWG 1.31 mm2
@pytest.mark.parametrize(
    ("area_mm2", "written"), [(3.31, "12 AWG"), (107.0, "4/0 AWG"), (53.5, "1/0 AWG"), (1.31, "16 AWG")]
)
def test_areas_as_gauges(area_mm2, written):
    use_units(area="awg")
    assert area(area_mm2) == written


def test_areas():
    assert (area(2.5), area(area_mm2_from_awg(12), 12)) == ("2.5 mm2", "12 AWG")
    use_units(area="mm2")
    assert area(area_mm2_from_awg(12), 12) == "3.309 mm2"


@pytest.mark.closed_form
@pytest.mark.parametrize("gauge", range(-3, 41))
def test_a_gauge_is_nearest_to_its_own_cross_section(gauge):
    assert nearest_gauge(area_mm2_from_awg(gauge)) == gauge
