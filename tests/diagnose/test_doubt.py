"""What was plugged again is in doubt, what was not keeps what it proved."""

import math

import pytest

from checkapp.diagnose.chances import Chances
from checkapp.diagnose.doubt import RELAPSE, REPLUGGED, Round, doubted, raised
from checkapp.diagnose.evidence import Heard
from checkapp.diagnose.likely import faulty_chances
from checkapp.rig.model import Item

BOX = Item("SB1", "box")
CHANCES = Chances(false_alarm=1e-12)


def rig(lines=3):
    return {f"in {n}": (Item(f"XL{n}", "cable"), Item(f"SB1 in {n}", "port"), BOX) for n in range(1, lines + 1)}


def all_ok(paths):
    return tuple(Heard(line, path, "ok") for line, path in paths.items())


def likely(paths, rounds, relapses=None):
    told = doubted(paths, rounds, CHANCES, relapses)
    return faulty_chances(told.paths, told.heard, told.chances)


def test_the_first_check_reckons_with_the_chances_as_they_are():
    paths = rig()
    told = doubted(paths, [Round((), frozenset(["XL1"]), frozenset(["XL1"]))], CHANCES)
    assert (told.paths, told.heard, told.chances) == (paths, (), CHANCES)


@pytest.mark.closed_form
def test_without_evidence_item_and_new_plug_are_faulty_as_one_raised_prior():
    path = (Item("XL1", "cable"),)
    told = doubted({"in 1": path}, [Round(()), Round((), frozenset(["XL1"]))], CHANCES)
    good = math.prod(1 - told.chances.prior_of(item) for item in told.paths["in 1"])
    assert 1 - good == pytest.approx(raised(0.010, REPLUGGED), rel=1e-12) == pytest.approx(0.0298, rel=1e-12)


@pytest.mark.closed_form
def test_what_was_heard_ok_and_not_touched_since_keeps_what_it_proved_and_the_new_plug_is_as_new():
    paths = rig()
    found = likely(paths, [Round(all_ok(paths)), Round((), frozenset(["XL2"]))])
    after = 1.0
    for prior, miss, times in ((0.010, 0.10, 1), (0.002, 0.05, 1), (0.002, 0.02, 3)):
        chance = prior * miss**times / (1 - prior + prior * miss**times)
        after *= 1 - chance * (1 - miss)
    assert found["in 1"] == pytest.approx(1 - after, abs=1e-11)
    assert found["in 2"] == pytest.approx(1 - after * (1 - REPLUGGED * 0.9), abs=1e-11)
    assert found["in 2"] > 10 * found["in 3"]


def test_a_mark_after_the_plug_speaks_of_the_plug_and_one_before_it_does_not():
    paths = rig()
    plugged = Round((), frozenset(["SB1"]))
    before = likely(paths, [Round(all_ok(paths)), plugged])["in 3"]
    heard = Round((Heard("in 1", paths["in 1"], "ok"),), frozenset(["SB1"]))
    after = likely(paths, [Round(all_ok(paths)), heard])["in 3"]
    assert before > REPLUGGED / 2
    assert after < before / 5
    faulty = Round((Heard("in 1", paths["in 1"], "faulty", "silent"),), frozenset(["SB1"]))
    assert likely(paths, [Round(all_ok(paths)), faulty])["in 3"] > 0.5


def test_a_plug_stays_in_doubt_until_a_line_through_it_is_heard():
    paths = rig()
    rounds = [Round(all_ok(paths)), Round((), frozenset(["XL1"])), Round(())]
    assert likely(paths, rounds) == likely(paths, rounds[:2])
    heard = Round((Heard("in 1", paths["in 1"], "ok"),))
    assert likely(paths, [*rounds, heard])["in 1"] < likely(paths, rounds)["in 1"] / 5


def test_what_was_left_faulty_comes_again_unless_it_was_mended():
    paths = rig()
    left = Round((Heard("in 1", paths["in 1"], "faulty", "hum"), *all_ok(paths)[1:]))
    again = likely(paths, [left, Round(())])
    assert again["in 1"] > 0.5
    mended = likely(paths, [left, Round((), frozenset(["XL1"]), frozenset(["XL1"]))])
    assert REPLUGGED / 2 < mended["in 1"] < 0.05
    assert mended["in 2"] < 0.003


@pytest.mark.closed_form
def test_an_item_that_failed_before_is_a_little_likelier():
    found = doubted(rig(), [Round(())], CHANCES, {"XL1": 2, "gone": 1})
    priors = {item.name: found.chances.prior_of(item) for path in found.paths.values() for item in path}
    assert priors["XL1"] == pytest.approx(1 - 0.99 * (1 - RELAPSE) ** 2, rel=1e-12)
    assert priors["XL2"] == 0.010
    assert likely(rig(), [Round(())], {"XL1": 2})["in 1"] > likely(rig(), [Round(())])["in 2"]
