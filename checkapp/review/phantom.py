"""Phantom power: the volts that are left at a microphone, and what one input may draw (IEC 61938).

Each leg of the pair is fed through a resistor of its own; the two are in parallel for the current of the microphone,
so V = V0 - I R/2. P48: 48 V (give or take 4) and 2 x 6.8 kohm, 10 mA at most; P24: 24 V and 2 x 1.2 kohm, 10 mA; P12:
12 V and 2 x 680 ohm, 15 mA. The figures here are the nominal ones.
"""

P48_VOLTS = 48.0
P48_RESISTOR_OHM = 6800.0
P48_MOST_MA = 10.0
"""What a microphone may draw from P48 at most (IEC 61938)."""


def volts_at_microphone(volts: float, resistor_ohm: float, draw_ma: float) -> float:
    """Volts left at a microphone that draws ``draw_ma`` (0 or more) from ``volts`` through a resistor in each leg.

    0 where the resistors eat all of it: a larger current cannot flow.
    """
    return max(0.0, volts - resistor_ohm / 2 * draw_ma / 1000)


def p48_volts(draw_ma: float) -> float:
    """Volts that P48 leaves at a microphone that draws ``draw_ma``."""
    return volts_at_microphone(P48_VOLTS, P48_RESISTOR_OHM, draw_ma)
