"""Comb filters and delays against printed figures."""

import pytest

from checkapp.review.delay import first_notch_hz, notch_spacing_hz, samples
from checkapp.rig.model import RigTable


@pytest.mark.published
def test_two_arrivals_one_millisecond_apart():
    """Nulls at 500, 1500 and 2500 Hz (Everest and Pohlmann, Master Handbook of Acoustics)."""
    nulls = [first_notch_hz(1000.0) + count * notch_spacing_hz(1000.0) for count in range(3)]
    assert nulls == pytest.approx([500.0, 1500.0, 2500.0], rel=1e-12)


@pytest.mark.closed_form
def test_two_arrivals_half_a_millisecond_apart():
    """Nulls at 1, 3, 5 and 7 kHz."""
    nulls = [first_notch_hz(500.0) + count * notch_spacing_hz(500.0) for count in range(4)]
    assert nulls == pytest.approx([1000.0, 3000.0, 5000.0, 7000.0], rel=1e-12)


# Everest and Pohlmann, Master Handbook of Acoustics, table of comb-filter peaks and nulls: delay in ms, lowest null,
# distance between nulls (from memory)
@pytest.mark.published
@pytest.mark.parametrize(
    ("delay_ms", "lowest_hz", "spacing_hz"),
    [(0.1, 5000, 10_000), (0.5, 1000, 2000), (1, 500, 1000), (5, 100, 200), (10, 50, 100), (50, 10, 20)],
)
def test_table_of_nulls(delay_ms, lowest_hz, spacing_hz):
    assert first_notch_hz(1000 * delay_ms) == pytest.approx(lowest_hz, rel=1e-12)
    assert notch_spacing_hz(1000 * delay_ms) == pytest.approx(spacing_hz, rel=1e-12)


# AES5: sampling frequencies of 44.1, 48 and 96 kHz; one sample lasts 22.68, 20.83 and 10.42 us
@pytest.mark.published
@pytest.mark.parametrize(("rate_hz", "sample_us"), [(44_100.0, 22.68), (48_000.0, 20.83), (96_000.0, 10.42)])
def test_how_long_a_sample_lasts(rate_hz, sample_us):
    assert samples(sample_us, rate_hz) == pytest.approx(1.0, abs=5e-4)


@pytest.mark.published
def test_a_rig_runs_at_48_khz_unless_it_says_otherwise():
    """AES5: 48 kHz is the preferred rate for production, processing and exchange (from memory)."""
    assert RigTable(name="Rig", owner="QN").sample_rate_hz == 48_000.0
