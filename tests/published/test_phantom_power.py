"""Phantom power against IEC 61938: nominal volts, resistors and the largest currents."""

import pytest

from checkapp.review.phantom import P48_MOST_MA, P48_RESISTOR_OHM, P48_VOLTS, p48_volts, volts_at_microphone

# IEC 61938, phantom power: volts, ohms of the resistor in each leg, mA, volts at the microphone
SYSTEMS = [
    pytest.param(48.0, 6800.0, 0.0, 48.0, id="P48 at no current"),
    pytest.param(48.0, 6800.0, 10.0, 14.0, id="P48 at 10 mA"),
    pytest.param(24.0, 1200.0, 0.0, 24.0, id="P24 at no current"),
    pytest.param(24.0, 1200.0, 10.0, 18.0, id="P24 at 10 mA"),
    pytest.param(12.0, 680.0, 0.0, 12.0, id="P12 at no current"),
    pytest.param(12.0, 680.0, 15.0, 6.9, id="P12 at 15 mA"),
    pytest.param(44.0, 6800.0, 10.0, 10.0, id="P48 at its lowest, 48 - 4 V, at 10 mA"),
    pytest.param(52.0, 6800.0, 10.0, 18.0, id="P48 at its highest, 48 + 4 V, at 10 mA"),
]


@pytest.mark.published
@pytest.mark.parametrize(("volts", "ohm", "draw_ma", "left"), SYSTEMS)
def test_volts_left_at_the_microphone(volts, ohm, draw_ma, left):
    assert volts_at_microphone(volts, ohm, draw_ma) == pytest.approx(left, abs=1e-9)


@pytest.mark.published
def test_p48_is_that_of_the_standard():
    """IEC 61938: 48 V, 2 x 6.8 kohm, 10 mA at most."""
    assert (P48_VOLTS, P48_RESISTOR_OHM, P48_MOST_MA) == (48.0, 6800.0, 10.0)
    assert p48_volts(10.0) == pytest.approx(14.0, abs=1e-9)


@pytest.mark.published
def test_the_short_circuit_current_of_p48():
    """Both legs shorted draw 48 V / 3.4 kohm, about 14 mA (handbooks of microphones; from memory): nothing is left."""
    assert p48_volts(14.0) == pytest.approx(0.4, abs=1e-9)
    assert p48_volts(14.2) == 0.0
