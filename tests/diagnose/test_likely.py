"""How likely each line is faulty: closed forms, every set of faulty items written out, and the open mark of a test."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_rigs import drawn

from checkapp.diagnose.chances import Chances
from checkapp.diagnose.errors import ImpossibleEvidence
from checkapp.diagnose.evidence import Heard
from checkapp.diagnose.likely import faulty_chances, unfound
from checkapp.rig.model import Item

BOX = (Item("SB1", "box"), Item("LK1", "hop"))


def box_of(lines):
    return {f"in {n}": (Item(f"M{n}", "source"), Item(f"SB1 in {n}", "port"), *BOX) for n in range(1, lines + 1)}


@pytest.mark.closed_form
def test_with_nothing_heard_a_line_is_ok_when_every_item_is_good_or_missed():
    ok = (1 - 0.002) * (1 - 0.010 * 0.95) * (1 - 0.002 * 0.95) * (1 - 0.002 * 0.98) * (1 - 0.005 * 0.95)
    assert faulty_chances(box_of(2), (), Chances()) == pytest.approx({"in 1": 1 - ok, "in 2": 1 - ok}, rel=1e-12)


@pytest.mark.closed_form
def test_an_ok_mark_lowers_what_it_shares_with_a_line_and_nothing_else():
    paths = box_of(2)
    found = faulty_chances(paths, [Heard("in 1", paths["in 1"], "ok")], Chances())
    ok = (1 - 0.002) * (1 - 0.010 * 0.95) * (1 - 0.002 * 0.95)
    for prior, miss in ((0.002, 0.02), (0.005, 0.05)):
        ok *= 1 - prior * miss / (1 - prior + prior * miss) * (1 - miss)
    assert found["in 2"] == pytest.approx(1 - ok, rel=1e-12)


@pytest.mark.closed_form
def test_one_item_on_two_lines_one_of_them_faulty():
    """One item a, two lines through it alone: P(faulty, faulty) / P(faulty)."""
    item, alarm, prior, miss = Item("A", "box"), 0.1, 0.2, 0.3
    chances = Chances(false_alarm=alarm, prior={"box": prior}, miss={"box": miss})
    faulty = [1 - (1 - alarm) * one for one in (1.0, miss)]
    weights = [1 - prior, prior]
    first = math.fsum(w * one for w, one in zip(weights, faulty, strict=True))
    both = math.fsum(w * one * one for w, one in zip(weights, faulty, strict=True))
    found = faulty_chances({"in 1": (item,), "in 2": (item,)}, [Heard("in 1", (item,), "faulty")], chances, ["in 2"])
    assert found == pytest.approx({"in 2": both / first}, rel=1e-12)


@pytest.mark.independent
@pytest.mark.parametrize("tens", range(30))
def test_every_line_of_300_random_rigs_against_every_set_of_faulty_items(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        rig = drawn(seed, 16 if seed % 30 == 0 else 10)
        now = rig.world.joint(rig.evidence)
        for line, found in faulty_chances(rig.paths, rig.heard, rig.chances).items():
            right = now @ rig.world.mark(rig.paths[line], "faulty", None) / now.sum()
            assert found == pytest.approx(right, abs=1e-9), (seed, line)


@given(st.integers(0, 10**6))
@settings(max_examples=40)
def test_names_and_order_of_lines_do_not_matter(seed):
    rig = drawn(seed)
    turned = dict(reversed(rig.paths.items()))
    assert faulty_chances(turned, rig.heard, rig.chances) == pytest.approx(
        faulty_chances(rig.paths, rig.heard, rig.chances), abs=1e-12
    )


def test_a_faulty_line_makes_its_neighbours_on_the_box_likely_and_an_ok_one_takes_that_away():
    paths = {**box_of(3), "in 9": (Item("M9", "source"), Item("SB9", "box"))}
    silent = Heard("in 1", paths["in 1"], "faulty", "silent")
    before, after = faulty_chances(paths, (), Chances()), faulty_chances(paths, [silent], Chances())
    assert after["in 2"] == after["in 3"] > 0.25
    assert after["in 9"] == before["in 9"]
    then = faulty_chances(paths, [silent, Heard("in 2", paths["in 2"], "ok")], Chances())
    assert then["in 3"] < after["in 3"] / 5


def test_alike_lines_have_the_very_same_chance_whatever_the_order_of_their_items():
    paths = box_of(2)
    paths["in 2"] = paths["in 2"][::-1]
    found = faulty_chances(paths, (), Chances())
    assert found["in 1"] == found["in 2"]


def test_chances_of_one_do_not_end_it():
    item = Item("A", "box")
    sure = Chances(prior={"box": 1.0}, miss={"box": 1e-300})
    assert faulty_chances({"in 1": (item,)}, (), sure) == {"in 1": 1.0}
    assert faulty_chances({"in 1": (item,)}, (), Chances(false_alarm=1.0)) == {"in 1": 1.0}
    deaf = Chances(prior={"box": 1.0}, miss={"box": 1.0}, false_alarm=1e-9)
    assert faulty_chances({"in 1": (item,)}, (), deaf)["in 1"] == pytest.approx(1e-9, rel=1e-9)


def test_marks_that_cannot_be_true_are_refused():
    item = Item("A", "box")
    only_hum = Chances(prior={"box": 1.0}, miss={"box": 0.5}, hear={"box": {"hum": 1.0}})
    with pytest.raises(ImpossibleEvidence):
        faulty_chances({"in 1": (item,)}, [Heard("in 1", (item,), "faulty", "low")], only_hum)


def test_what_is_not_checked_stays_unfound():
    chances = {"in 1": 0.5, "in 2": 0.25, "in 3": 0.125}
    assert unfound(chances) == 0.875
    assert unfound(chances, ["in 1", "in 3"]) == 0.25
    assert unfound(chances, chances) == 0.0
