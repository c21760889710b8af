import pytest

from checkapp.show.tapgate import TapGate


@pytest.mark.parametrize(("later_s", "counts"), [(0.0, False), (0.05, False), (0.299, False), (0.301, True), (5, True)])
def test_a_second_tap_within_300_ms_does_not_count(later_s, counts):
    gate = TapGate()
    assert gate.take(10.0)
    assert gate.take(10.0 + later_s) is counts


def test_a_held_key_counts_once_in_300_ms_not_never_again():
    gate = TapGate()
    taken = [gate.take(tenth / 10) for tenth in range(10)]
    assert sum(taken) in (3, 4)


def test_a_clock_that_was_set_back_does_not_block():
    gate = TapGate()
    gate.take(1000.0)
    assert gate.take(1.0)
