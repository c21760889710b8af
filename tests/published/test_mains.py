"""Voltage drop, continuous load and ratings against wiring rules."""

import pytest

from checkapp.review.feeder import MOST_PERCENT, Feeder
from checkapp.review.mains import CONTINUOUS_SHARE
from checkapp.review.ratings import next_core, next_rating_a
from checkapp.rig.units import CONDUCTIVITY_S_M_PER_MM2, TEMPERATURE_FACTOR_PER_K, area_mm2_from_awg, metres_from_feet

HOT_COPPER = 0.0225
"""Ohm mm2/m of copper in service (IEC 60364-5-52 Annex G): the largest that IEC 60228 allows, and warm."""
HOT_C = 20 + (HOT_COPPER * CONDUCTIVITY_S_M_PER_MM2 - 1) / TEMPERATURE_FACTOR_PER_K
"""The temperature at which pure copper has it: 98 C."""


@pytest.mark.published
def test_millivolts_an_amp_and_metre_of_hot_copper():
    """BS 7671 Appendix 4: 2.5 mm2 loses 18.0 mV an amp and metre."""
    assert 1000 * Feeder(1.0, 2.5, HOT_C).lost_volts(1.0) == pytest.approx(18.0, abs=0.05)


@pytest.mark.published
def test_worked_example():
    """BS 7671 Appendix 4, worked example: 2.5 mm2, 16 A, 18 m, 230 V: 5.184 V, 2.25 %."""
    lost = Feeder(18.0, 2.5, HOT_C).lost_volts(16.0)
    assert lost == pytest.approx(5.184, abs=5e-4)
    assert 100 * lost / 230.0 == pytest.approx(2.25, abs=5e-3)
    assert 100 * lost / 230.0 < MOST_PERCENT


# BS 7671 Appendix 4, single-phase, conductors at 70 C, mV an amp and metre; all but 2.5 mm2 from memory. The table
# starts from the largest resistance that IEC 60228 allows, ours from pure copper of the nominal area: some 6 % less.
@pytest.mark.published
@pytest.mark.parametrize(
    ("mm2", "millivolts"), [(1.0, 44.0), (1.5, 29.0), (2.5, 18.0), (4.0, 11.0), (6.0, 7.3), (10.0, 4.4)]
)
def test_the_table_at_70_c_lies_little_above(mm2, millivolts):
    ours = 1000 * Feeder(1.0, mm2, 70.0).lost_volts(1.0)
    assert 0.91 * millivolts < ours < millivolts


@pytest.mark.published
def test_12_awg_by_the_national_electrical_code():
    """NFPA 70 Chapter 9 Table 8: 12 AWG, 75 C, 1.93 ohm per 1000 ft solid: 20 A over 100 ft lose 7.72 V.

    Stranded wire has 1.98 and loses 7.92 V, 3.30 % of 240 V: 2 to 3 % more than ours.
    """
    feeder = Feeder(metres_from_feet(100.0), area_mm2_from_awg(12.0), 75.0)
    lost = feeder.lost_volts(20.0)
    assert lost == pytest.approx(7.72, abs=0.02)
    assert 1.02 < 7.92 / lost < 1.03
    assert 100 * lost / 240.0 > MOST_PERCENT


@pytest.mark.published
def test_the_drop_that_is_advised():
    """3 %: lighting from a public supply (IEC 60364-5-52:2009 Table G.52.1); branch (NFPA 70 210.19(A), note)."""
    assert MOST_PERCENT == 3.0


# NFPA 70 Art. 100, 210.20(A), 215.3: a device of at least 125 % of a continuous load; 240.6(A): the next rating
@pytest.mark.published
@pytest.mark.parametrize(
    ("continuous_amps", "device_amps"), [(12.0, 15), (15.0, 20), (16.0, 20), (20.0, 25), (24.0, 30), (32.0, 40)]
)
def test_the_device_for_a_continuous_load(continuous_amps, device_amps):
    assert next_rating_a(continuous_amps / CONTINUOUS_SHARE, 120.0) == device_amps


# IEC 60898-1: preferred values of rated current, A
RATINGS_A = [6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125]


@pytest.mark.published
@pytest.mark.parametrize(("below", "rating"), list(zip([0, *RATINGS_A], RATINGS_A, strict=False)))
def test_device_ratings(below, rating):
    assert next_rating_a(below + 0.01, 230.0) == next_rating_a(rating, 230.0) == rating


@pytest.mark.published
def test_there_is_no_such_device_above_125_a():
    """IEC 60898-1: circuit breakers for household and similar installations, up to 125 A."""
    assert next_rating_a(125.1, 230.0) is None


# IEC 60228 Table 1: nominal areas of conductors, mm2 (from memory)
AREAS_MM2 = [0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240]


@pytest.mark.published
@pytest.mark.parametrize(("below", "mm2"), list(zip([0.0, *AREAS_MM2], AREAS_MM2, strict=False)))
def test_areas_of_conductors(below, mm2):
    assert next_core(below + 0.001, by_gauge=False) == next_core(mm2, by_gauge=False) == f"{mm2:g} mm2"
