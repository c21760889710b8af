"""Drills on small rigs: chances come true, and the advice finds a planted fault in fewer tests than a walk in order."""

import math
import random
from statistics import fmean

import pytest
from drill_figures import Calibration, chance_of_so_far_off, entropy_of_one_fault, least_tests, most_bits_of_a_test
from simulator import Drill, Truth, advice, drawn_faults, drawn_rig, in_list_order, so_many_faults, whole_check

from checkapp.diagnose.chances import Chances
from checkapp.rig.model import Item

CHANCES = Chances()
LEVEL = 1e-4
"""A whole test of calibration fails by chance, over seeds, in fewer runs than this: so much over all its rows."""


def from_the_prior(seed, lines=16):
    """Faults by the model's own priors; part of the lines marked, at least one of them faulty."""
    rng = random.Random(seed)
    while True:
        rig = drawn_rig(lines, rng)
        drill = Drill(rig, Truth(drawn_faults(rig.items, CHANCES, rng), CHANCES, rng))
        marked = rng.uniform(0.2, 1.0)
        if drill.listen([line for line in rig.paths if rng.random() < marked]):
            return drill, rng


def with_one_fault(seed, lines=16):
    """One item faulty, by the priors; the lines marked in list order up to the first faulty mark."""
    rng = random.Random(seed)
    while True:
        rig = drawn_rig(lines, rng)
        drill = Drill(rig, Truth(so_many_faults(rig.items, 1, CHANCES, rng), CHANCES, rng))
        if drill.walk():
            return drill


def off(calibration):
    return min(chance for *_, chance in calibration.rows())


@pytest.mark.independent
def test_chances_come_true_after_marks():
    """Truth is drawn from the model itself; only then the posterior is right exactly."""
    calibration = Calibration()
    for seed in range(1000):
        calibration.take(*from_the_prior(seed))
    rows = calibration.rows()
    assert len(rows) == 12  # ten bins, the first suspect, none
    for name, _, expected, observed, chance in rows:
        assert chance > LEVEL / len(rows), (name, expected, observed)
    assert off(calibration.distorted(1.5)) < LEVEL / len(rows)  # so far off would be seen
    assert off(calibration.distorted(1 / 1.5)) < LEVEL / len(rows)


@pytest.mark.independent
def test_chances_come_true_after_the_advice():
    """Which tests were made follows from what was heard, so that it changes nothing; lines heard on other paths too.

    A mark in place of one before it would: what was heard first is left out then. The drill ends before.
    """
    calibration = Calibration()
    for seed in range(180):
        drill, rng = from_the_prior(10_000 + seed, 8)
        for _ in range(2):
            test = advice(drill)
            if test is None or test.kind == "re-mark" or not drill.faulty:
                break
            drill.do(test)
        calibration.take(drill, rng)
    rows = calibration.rows()
    for name, _, expected, observed, chance in rows:
        assert chance > LEVEL / len(rows), (name, expected, observed)
    assert off(calibration.distorted(3)) < LEVEL / len(rows)
    assert off(calibration.distorted(1 / 3)) < LEVEL / len(rows)


@pytest.mark.closed_form
def test_how_far_off_is_exact():
    assert chance_of_so_far_off([0.5] * 10, 0) == pytest.approx(2 / 2**10, rel=1e-12)
    assert chance_of_so_far_off([0.5] * 10, 9) == pytest.approx(2 * 11 / 2**10, rel=1e-12)
    assert chance_of_so_far_off([0.1, 0.2], 2) == pytest.approx(2 * 0.02, rel=1e-12)


@pytest.mark.closed_form
def test_what_a_test_can_tell_is_a_channels_capacity():
    """With no miss, no false alarm to speak of, and all kinds alike a line is a channel without noise: one bit."""
    alike = Chances(
        false_alarm=1e-12,
        miss=dict.fromkeys(CHANCES.miss, 1e-12),
        hear=dict.fromkeys(CHANCES.hear, CHANCES.hear["cable"]),
    )
    assert most_bits_of_a_test(alike) == pytest.approx(1.0, abs=1e-9)
    assert 1.0 < most_bits_of_a_test(CHANCES) < math.log2(9)  # kinds sound different


@pytest.mark.closed_form
def test_so_many_faults_are_drawn_by_their_odds():
    """Three items, two of them faulty: each pair as often as the product of its odds says."""
    items = [Item("a", "cable"), Item("b", "cable"), Item("c", "cable")]
    told = Chances(items={"a": 0.5, "b": 0.25, "c": 0.1})
    odds = {"a": 1.0, "b": 1 / 3, "c": 1 / 9}
    weights = {frozenset(pair): odds[pair[0]] * odds[pair[1]] for pair in ("ab", "ac", "bc")}
    rng = random.Random(1)
    drawn = [frozenset(item.name for item in so_many_faults(items, 2, told, rng)) for _ in range(4000)]
    for pair, weight in weights.items():
        chance = weight / sum(weights.values())
        assert chance_of_so_far_off([chance] * len(drawn), drawn.count(pair)) > LEVEL / 3


@pytest.mark.independent
def test_the_advice_needs_fewer_tests_and_minutes_than_walking_in_order():
    """From the first faulty mark on, with one fault; both players have the same rigs, faults and stopping rule."""
    advised, walked, before, after = [], [], [], []
    for seed in range(40):
        drill = with_one_fault(seed)
        before.append(entropy_of_one_fault(drill, drill.rig.items))
        advised.append(drill.play(advice))
        after.append(entropy_of_one_fault(drill, drill.rig.items))
        walked.append(with_one_fault(seed).play(in_list_order))
    least = least_tests(fmean(before), fmean(after), most_bits_of_a_test(CHANCES))
    tests, minutes = fmean(one.tests for one in advised), fmean(one.minutes for one in advised)
    assert 0 < least <= tests
    assert tests < fmean(one.tests for one in walked) / 2
    assert minutes < fmean(one.minutes for one in walked) / 2
    assert fmean(one.right for one in advised) >= fmean(one.right for one in walked) - 0.05
    assert not [one for one in advised if one.ending in ("lost", "no test")]
    for one in advised:  # no test twice
        done = [(test.kind, test.line, frozenset(test.path)) for test, _ in one.steps]
        assert len(done) == len(set(done)), one.steps


def test_a_whole_check_with_one_to_three_faults_comes_to_an_end():
    """Walk, advice, repair, and on: all lines are ok in the end, and what is still faulty only went unheard."""
    for seed in range(12):
        rng = random.Random(seed)
        rig = drawn_rig(16, rng)
        truth = Truth(so_many_faults(rig.items, 1 + seed % 3, CHANCES, rng), CHANCES, rng)
        drill = Drill(rig, truth)
        session = whole_check(drill)
        assert session.end == "quiet", (seed, session)
        assert {(one.line, one.verdict) for one in drill.heard if one.path == rig.paths[one.line]} == {
            (line, "ok") for line in rig.paths
        }
        assert session.left + session.found == 1 + seed % 3
