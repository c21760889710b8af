"""What a delay does to a signal that is mixed with itself: the comb filter.

Two equal signals tau apart cancel where they meet in opposition: at the odd multiples of 1/(2 tau), so first at
1/(2 tau) and then every 1/tau (Everest and Pohlmann, Master Handbook of Acoustics, chapter on comb filters). Delays
are in microseconds and above 0.
"""


def first_notch_hz(delay_us: float) -> float:
    """The lowest frequency that a signal and its equal, ``delay_us`` later, cancel: 1/(2 tau)."""
    return 1e6 / (2 * delay_us)


def notch_spacing_hz(delay_us: float) -> float:
    """How far the notches lie apart: 1/tau."""
    return 1e6 / delay_us


def samples(delay_us: float, sample_rate_hz: float) -> float:
    """A delay in samples; seldom a whole number."""
    return delay_us * sample_rate_hz / 1e6
