"""Link power against figures that are printed elsewhere."""

import pytest

from checkapp.review.power import Ladder, collapse_watts, solve

# IEEE 802.3: watts at the powered device and watts that the power sourcing equipment must provide, with the lowest
# volts at the source and the loop resistance of the channel. Clause 33 (types 1 and 2: 20 ohm, 12.5 ohm), clause 145
# (types 3 and 4: 6.25 ohm over four pairs). The rows are from memory, but for class 3 and class 6.
CLASSES = [
    # class, volts, loop ohm, device W, source W as printed, half a printed digit
    pytest.param(44, 20.0, 3.84, 4.0, 0.05, id="class 1"),
    pytest.param(44, 20.0, 6.49, 7.0, 0.05, id="class 2"),
    pytest.param(44, 20.0, 12.95, 15.4, 0.0005, id="class 3"),
    pytest.param(50, 12.5, 25.5, 30.0, 0.05, id="class 4"),
    pytest.param(50, 6.25, 40.0, 45.0, 0.1, id="class 5"),
    pytest.param(50, 6.25, 51.0, 60.0, 0.0005, id="class 6"),
    pytest.param(52, 6.25, 62.0, 75.0, 0.05, id="class 7"),
    pytest.param(52, 6.25, 71.3, 90.0, 0.05, id="class 8"),
]


@pytest.mark.published
@pytest.mark.parametrize(("volts", "ohm", "device_w", "source_w", "half_digit"), CLASSES)
def test_watts_of_a_power_class(volts, ohm, device_w, source_w, half_digit):
    flow = solve(Ladder(volts, 0.0, (ohm,), (device_w,)))
    assert flow.source_watts == pytest.approx(source_w, abs=half_digit)


# The lowest volts at a powered device, IEEE 802.3 clauses 33 and 145, from memory but for class 3 and class 6; printed
# to 0.1 V, in places rounded down.
@pytest.mark.published
@pytest.mark.parametrize(
    ("volts", "ohm", "device_w", "device_volts"),
    [
        pytest.param(44, 20.0, 12.95, 37.0, id="class 3"),
        pytest.param(50, 12.5, 25.5, 42.5, id="class 4"),
        pytest.param(50, 6.25, 40.0, 44.3, id="class 5"),
        pytest.param(50, 6.25, 51.0, 42.5, id="class 6"),
        pytest.param(52, 6.25, 62.0, 42.9, id="class 7"),
        pytest.param(52, 6.25, 71.3, 41.1, id="class 8"),
    ],
)
def test_lowest_volts_of_a_power_class(volts, ohm, device_w, device_volts):
    flow = solve(Ladder(volts, 0.0, (ohm,), (device_w,)))
    assert device_volts - 1e-9 <= flow.volts[0] < device_volts + 0.1


@pytest.mark.published
def test_class_3_to_the_last_digit():
    """IEEE 802.3 clause 33: 44 V, 20 ohm, 12.95 W: 37.000 V, 350 mA, 15.400 W, 2.450 W lost."""
    flow = solve(Ladder(44.0, 0.0, (20.0,), (12.95,)))
    assert flow.volts[0] == pytest.approx(37.0, abs=1e-9)
    assert flow.source_amps == pytest.approx(0.35, abs=1e-12)
    assert flow.source_watts == pytest.approx(15.4, abs=1e-9)
    assert flow.lost_watts == pytest.approx(2.45, abs=1e-9)


@pytest.mark.published
def test_amps_of_class_4():
    """IEEE 802.3 clause 33, type 2: 600 mA at 42.5 V for 25.5 W (from memory)."""
    flow = solve(Ladder(50.0, 0.0, (12.5,), (25.5,)))
    assert flow.source_amps == pytest.approx(0.6, abs=1e-9)


@pytest.mark.published
def test_class_6_to_the_last_digit():
    """IEEE 802.3bt clause 145: 50 V, 6.25 ohm, 51 W: 42.500 V, 1.2000 A, 60.000 W."""
    flow = solve(Ladder(50.0, 0.0, (6.25,), (51.0,)))
    assert flow.volts[0] == pytest.approx(42.5, abs=1e-9)
    assert flow.source_amps == pytest.approx(1.2, abs=1e-12)
    assert flow.source_watts == pytest.approx(60.0, abs=1e-9)


@pytest.mark.closed_form
def test_one_load_worked_by_hand():
    """48 V, 18 ohm, 24 W: 36 V and 2/3 A (the other root is 12 V); the limit is 48^2/(4 x 18) = 32 W."""
    ladder = Ladder(48.0, 0.0, (18.0,), (24.0,))
    flow = solve(ladder)
    assert flow.volts[0] == pytest.approx(36.0, abs=1e-12)
    assert flow.source_amps == pytest.approx(2 / 3, abs=1e-14)
    assert collapse_watts(ladder) == pytest.approx(32.0, rel=1e-14)


@pytest.mark.closed_form
def test_a_first_guess_of_amps_is_not_taken():
    """54 V, 12.8 ohm, 30 W: 45.574 V, 0.6583 A; P/Vs would say 0.5556 A, 16 % too little."""
    flow = solve(Ladder(54.0, 0.0, (12.8,), (30.0,)))
    assert flow.volts[0] == pytest.approx(45.574, abs=5e-4)
    assert flow.source_amps == pytest.approx(0.6583, abs=5e-5)
