"""Loop resistance of cables against hand-worked values."""

import pytest

from checkapp.review.loop import CONTACT_OHM, TOLERANCE, loop_of


@pytest.mark.closed_form
def test_a_loop_of_copper(demo):
    """HP02: 20 m of 0.6 mm2, both conductors: 20 * 2/(58 * 0.6) = 1.149 ohm at 20 C, a factor of 1.0786 at 40 C."""
    cold, warm = loop_of(demo, "HP02", 1.2, 20.0), loop_of(demo, "HP02", 1.2, 40.0)
    assert cold.expected_ohm == pytest.approx(20 * 2 / (58 * 0.6))
    assert warm.expected_ohm == pytest.approx(cold.expected_ohm * 1.0786)
    assert (cold.sort, warm.sort) == ("as expected", "as expected")
    assert cold.high_ohm == pytest.approx((1 + TOLERANCE) * cold.expected_ohm + CONTACT_OHM)


def test_too_high_and_too_low(demo):
    assert loop_of(demo, "HP02", 1.9, 20.0).sort == "too high"
    assert loop_of(demo, "HP02", 0.6, 20.0).sort == "too low"


def test_a_cable_of_unknown_core(demo):
    assert loop_of(demo, "LD01", 1.0, 20.0) == (None, None, None, "not known")
