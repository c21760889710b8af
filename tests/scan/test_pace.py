"""Scanners and people told apart by the pace of their keys."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.scan.pace import PAUSE_S, Run, Stroke


def run_of(gaps_s, frame_s=0.0, keys=None):
    """A run of keys with these times between them, seen only when a frame of ``frame_s`` ends."""
    at_s, strokes = 10.0, []
    for number, gap_s in enumerate([0.0, *gaps_s]):
        at_s += gap_s
        since_s, seen_s = (at_s, at_s) if not frame_s else (at_s // frame_s * frame_s, (at_s // frame_s + 1) * frame_s)
        strokes.append(Stroke(keys[number] if keys else 97 + number, since_s, seen_s))
    run = Run()
    run.strokes = strokes
    return run


scanner_gaps = st.lists(st.floats(0.0005, 0.015), min_size=4, max_size=60)
typing_gaps = st.lists(st.floats(0.045, PAUSE_S * 3), min_size=1, max_size=30)


@given(scanner_gaps, st.sampled_from([0.0, 0.005, 0.016]))
def test_a_burst_is_never_taken_for_typing(gaps_s, frame_s):
    run = run_of(gaps_s, frame_s)
    assert run.sender == "scanner" or (len(gaps_s) < 7 and frame_s and run.sender == "either")
    assert not run.struck


@given(typing_gaps, st.sampled_from([0.0, 0.005, 0.016]))
def test_typing_is_never_taken_for_a_burst(gaps_s, frame_s):
    assert run_of(gaps_s, frame_s).sender != "scanner"
    if not frame_s:
        assert run_of(gaps_s).sender == "person"


def test_two_or_three_keys_that_fall_together_are_typing():
    assert run_of([0.001]).sender == "person"
    assert run_of([0.02, 0.02]).sender == "person"
    assert run_of([0.02, 0.02, 0.02]).sender == "person"


def test_a_slow_scanner_is_known_from_five_keys_on():
    assert run_of([0.03] * 4).sender == "scanner"
    assert run_of([0.03] * 3).sender == "person"
    assert run_of([0.036] * 9).sender == "person"


def test_a_held_key_is_no_scanner():
    assert run_of([0.001] * 30, keys=[32] * 31).sender == "person"
    assert run_of([0.001] * 3, keys=[32, 97, 32, 97]).sender == "person"


@pytest.mark.parametrize("keys", [5, 12])
def test_keys_that_a_slow_frame_brings_all_at_once_can_be_either(keys):
    run = Run()
    run.strokes = [Stroke(97 + number, 10.0, 10.9) for number in range(keys)]
    assert run.sender == "either"
    assert not run.struck


def test_a_run_ends_with_a_pause_and_not_before_it_is_sure():
    run = Run()
    assert not run.over(99.0)
    assert run.takes(Stroke(97, 0.0, 0.0))
    run.strokes.append(Stroke(97, 10.0, 10.016))
    assert run.takes(Stroke(98, 10.016 + 0.9 * PAUSE_S, 10.2))
    assert not run.takes(Stroke(98, 10.016 + 1.1 * PAUSE_S, 10.2))
    assert not run.over(10.016 + 0.9 * PAUSE_S)
    assert run.over(10.016 + 1.1 * PAUSE_S)


def test_typing_is_known_before_it_ends():
    assert run_of([0.039, 0.039]).struck
    assert not run_of([0.039]).struck
    assert not run_of([0.001] * 9).struck
