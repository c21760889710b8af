"""What the outcomes of a test would mean, against the suspects after that mark."""

import pytest
from random_rigs import drawn

from checkapp.diagnose.evidence import Heard, faulty_now
from checkapp.diagnose.meaning import meanings
from checkapp.diagnose.next_test import next_tests
from checkapp.diagnose.posterior import diagnose


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(12))
def test_the_likeliest_after_each_outcome_is_the_first_suspect_after_that_mark(seed):
    rig = drawn(seed)
    tests = [one.test for one in next_tests(rig.paths, rig.heard, rig.chances, most=None)]
    asked = {item for line in faulty_now(rig.paths, rig.heard) or rig.paths for item in rig.paths[line]}
    found = meanings(rig.paths, rig.heard, rig.chances, tests)
    assert len(found) == len(tests)
    for test, meaning in zip(tests, found, strict=True):
        for verdict, suspect in (("ok", meaning.ok), ("faulty", meaning.faulty)):
            then = (*rig.heard, Heard(test.line, test.path, verdict))
            chances = {one.item: one.probability for one in diagnose(rig.paths, then, rig.chances).suspects}
            assert suspect is not None
            assert suspect.probability == pytest.approx(max(chances[item] for item in asked), abs=1e-9)
            assert suspect.probability == pytest.approx(chances[suspect.item], abs=1e-9)


def test_of_no_test_there_is_nothing_to_say():
    rig = drawn(1)
    assert meanings(rig.paths, rig.heard, rig.chances, []) == ()
