"""The bound on the chance of marks whatever is faulty."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_rigs import drawn

from checkapp.diagnose.bound import best_mixture
from checkapp.diagnose.case import case_of
from checkapp.diagnose.private import Hearing
from checkapp.diagnose.sweep import Sweep


@given(st.integers(1, 5), st.integers(1, 8), st.randoms())
@settings(max_examples=60)
def test_no_mixture_is_likelier_than_the_bound_and_some_mixture_comes_near(parts, rows, rng):
    table = np.array([[rng.choice([0.01, 0.05, 0.2, 0.7]) for _ in range(parts)] for _ in range(rows)])
    numbers = np.array([float(rng.randint(1, 9)) for _ in range(rows)])
    bound = best_mixture(table, numbers)
    drawn_mixtures = np.array([[rng.random() ** 6 + 1e-9 for _ in range(parts)] for _ in range(300)])
    corners = np.eye(parts) * (1 - 1e-9) + 1e-9 / parts
    mixtures = np.concatenate([drawn_mixtures / drawn_mixtures.sum(axis=1, keepdims=True), corners])
    likely = (np.log(mixtures @ table.T) * numbers).sum(axis=1)
    assert likely.max() <= bound + 1e-9
    assert bound <= likely.max() + 0.1 * numbers.sum()


def test_a_symptom_without_a_chance_in_any_part_has_none():
    assert best_mixture(np.array([[0.0, 0.0], [0.5, 0.1]]), np.ones(2)) == -math.inf


@given(st.integers(0, 10**6))
@settings(max_examples=60)
def test_the_bound_ahead_is_not_below_the_weight_of_any_set_of_shared_faulty_items(seed):
    """With every shared item certain, faulty or good, the weight is the chance of the marks given those."""
    rig = drawn(seed)
    case = case_of(rig.paths.values(), rig.heard, rig.chances)
    if not case.marks:
        return
    hearing = Hearing(rig.chances)
    sweep = Sweep(case.marks, case.odds, hearing)
    shared = [item for items in sweep._plan.classes for item in items]
    for number in range(2 ** min(len(shared), 6)):
        odds = dict(case.odds)
        for at, item in enumerate(shared):
            odds[item] = math.inf if number >> at & 1 else -math.inf
        given = float(Sweep(case.marks, odds, hearing).there()[0])
        assert given <= sweep._ahead[0] + 1e-9 or given == pytest.approx(sweep._ahead[0], abs=1e-9)
