"""Diagnosis against published networks, group testing and test sequencing.

What the model is: independent causes, each line a noisy-OR of the causes on it with a leak (the false alarm). A
published network is stated in it where it is of that form; causes that depend on each other are weighed outside, by
their table. The alarm network of Pearl is not of that form (two people hear one alarm that nobody sees, and its table
is no noisy-OR), nor are circuits of adders and multipliers.
"""

import math
from itertools import product

import pytest

from checkapp.diagnose.ahead import in_order
from checkapp.diagnose.chances import MISS, PRIOR, Chances
from checkapp.diagnose.evidence import Heard
from checkapp.diagnose.next_test import next_tests
from checkapp.diagnose.posterior import diagnose
from checkapp.rig.model import Item

NO_LEAK = 1e-15
KINDS = ["source", "cable", "hop", "port", "box", "chain", "supply", "desk"]


def told(inhibitions, priors, leak=NO_LEAK):
    """Chances in which the n-th cause is an item of the n-th kind; inhibition is the chance that it goes unheard."""
    miss = {**MISS, **dict(zip(KINDS, inhibitions, strict=False))}
    return Chances(leak, PRIOR, miss, items=dict(zip(NAMES, priors, strict=False)))


NAMES = [f"cause {kind}" for kind in KINDS]
CAUSES = [Item(name, kind) for name, kind in zip(NAMES, KINDS, strict=True)]


def found(heard, chances, causes):
    diagnosis = diagnose({"effect": tuple(causes)}, heard, chances)
    return {suspect.item: suspect.probability for suspect in diagnosis.suspects}


def effect(causes, verdict="faulty"):
    return [Heard("effect", tuple(causes), verdict)]


@pytest.mark.published
@pytest.mark.parametrize(
    ("causes", "no_fever"),
    list(zip(product((0, 1), repeat=3), [1, 0.1, 0.2, 0.02, 0.6, 0.06, 0.12, 0.012], strict=True)),
)
def test_fever_table(causes, no_fever):
    """Russell and Norvig, noisy-OR of cold 0.6, flu 0.2, malaria 0.1 (from memory): P(no fever) for 000 to 111.

    Read off by a further disease with prior a half that never goes unheard: it is absent or present as the evidence for
    a fever weighs one against 1 - P(no fever).
    """
    sure = [1.0 if cause else 1e-300 for cause in causes]
    chances = told([0.6, 0.2, 0.1, 1e-300], [*sure, 0.5])
    chance = found(effect(CAUSES[:4]), chances, CAUSES[:4])[CAUSES[3]]
    fever = (1 - chance) / chance
    assert fever == pytest.approx(1 - no_fever, abs=1e-12)


def by_cloud(rain_known=False):
    """P(wet) and, given wet, P(sprinkler) and P(rain): the model's own answer for each sky, weighed by its P(wet)."""
    total = sprinkler_sum = rain_sum = 0.0
    for on, rain in ((0.5, 0.2), (0.1, 0.8)):
        chances = told([0.1, 0.1], [on, 1.0 if rain_known else rain])
        answer = found(effect(CAUSES[:2]), chances, CAUSES[:2])
        # Bayes' rule: P(wet) from the posterior of the sprinkler and P(wet given it is on)
        given_on = 1 - 0.1 * (0.1 if rain_known else rain * 0.1 + 1 - rain)
        wet = given_on * on / answer[CAUSES[0]]
        weight = 0.5 * wet * (rain if rain_known else 1.0)
        total += weight
        sprinkler_sum += weight * answer[CAUSES[0]]
        rain_sum += weight * answer[CAUSES[1]]
    return total, sprinkler_sum / total, rain_sum / total


@pytest.mark.published
def test_sprinkler():
    """Murphy, Bayesian network tutorial (from memory): wet 0.6471; given wet: sprinkler 0.4298, rain 0.7079."""
    wet, on, rain = by_cloud()
    assert wet == pytest.approx(0.6471, abs=5e-5)
    assert on == pytest.approx(0.4298, abs=5e-5)
    assert rain == pytest.approx(0.7079, abs=5e-5)


@pytest.mark.published
def test_sprinkler_explained_away_by_rain():
    """Murphy, the same: P(sprinkler given wet and rain) 0.1945."""
    assert by_cloud(rain_known=True)[1] == pytest.approx(0.1945, abs=5e-5)


POOLS = [(0.01, 11, 0.1956), (0.05, 5, 0.4262), (0.10, 4, 0.5939)]


@pytest.mark.published
@pytest.mark.parametrize(("chance", "size", "tests"), POOLS)
def test_pooled_testing(chance, size, tests):
    """Dorfman 1943 (recomputed): the best pools for p = 0.01, 0.05, 0.10, and the tests an item that they take.

    A pool is a line that never misses: how often it is faulty follows from an item's chance when it is.
    """
    best = min(range(2, 20), key=lambda pool: cost_an_item(chance, pool))
    assert best == size
    assert cost_an_item(chance, best) == pytest.approx(tests, abs=5e-5)


def cost_an_item(chance, size):
    """One test for the pool and, where that is faulty, one for each item."""
    pool = tuple(Item(f"sample {n}", "cable") for n in range(size))
    chances = Chances(NO_LEAK, {**PRIOR, "cable": chance}, {**MISS, "cable": 1e-12})
    heard = [Heard("pool", pool, "faulty")]
    # P(item given pool faulty) = p / P(pool faulty)
    positive = chance / found_of(pool, heard, chances)
    return 1 / size + positive


def found_of(pool, heard, chances):
    return diagnose({"pool": pool}, heard, chances).suspects[0].probability


@pytest.mark.closed_form
def test_halving_is_the_best_group_test_of_one_fault_among_eight():
    """One fault among eight alike: each mark of half the group tells as much as a mark can of where it is."""
    items = tuple(Item(f"sample {n}", "cable") for n in range(8))
    chances = Chances(NO_LEAK, {**PRIOR, "cable": 1e-6}, {**MISS, "cable": 1e-12})
    paths = {"all": items, **{f"first {size}": items[:size] for size in range(1, 8)}}
    tests = next_tests(paths, [Heard("all", items, "faulty", "silent")], chances)
    marks = [one for one in tests if one.test.kind == "mark"]
    assert max(marks, key=lambda one: one.bits).test.line == "first 4"
    every = 8 * -(1 / 8 * math.log2(1 / 8) + 7 / 8 * math.log2(7 / 8))
    half = 4 * -(1 / 4 * math.log2(1 / 4) + 3 / 4 * math.log2(3 / 4))
    assert max(one.bits for one in marks) == pytest.approx(every - half, abs=1e-4)


class Machine:
    """The six states of Pattipati and Alexandridis with five tests of unit cost; uncertainty is their entropy."""

    FAILS = {"s0": "00000", "s1": "01001", "s2": "00110", "s3": "10011", "s4": "11000", "s5": "11110"}

    def __init__(self, weights):
        self.weights = weights

    def entropy(self):
        total = sum(self.weights.values())
        return -sum(one / total * math.log2(one / total) for one in self.weights.values())

    def after(self, test):
        total = sum(self.weights.values())
        for answer in "01":
            left = {state: one for state, one in self.weights.items() if self.FAILS[state][test - 1] == answer}
            if left:
                yield sum(left.values()) / total, Machine(left)

    def bits(self, test):
        return self.entropy() - sum(chance * then.entropy() for chance, then in self.after(test))

    most_bits = bits


STATES = {"s0": 0.70, "s1": 0.01, "s2": 0.02, "s3": 0.10, "s4": 0.05, "s5": 0.12}


def expected_tests(machine, choose):
    """Tests needed on average until one state is left."""
    if len(machine.weights) == 1:
        return 0.0
    test = choose(machine)
    return 1 + sum(chance * expected_tests(then, choose) for chance, then in machine.after(test))


def telling(machine):
    return [(test, machine.bits(test)) for test in range(1, 6) if machine.bits(test) > 1e-12]


def two_ahead(machine):
    return in_order(machine, telling(machine), lambda _: 1.0, leaders=5, seconds=5)[0][0]


def one_ahead(machine):
    return max(telling(machine), key=lambda one: one[1])[0]


@pytest.mark.published
def test_sequencing_one_step_ahead():
    """Pattipati and Alexandridis 1990 (from memory, recomputed): greedy starts with test 1 and takes 2.86 tests."""
    machine = Machine(STATES)
    assert machine.entropy() == pytest.approx(1.4549, abs=5e-5)
    assert one_ahead(machine) == 1
    assert expected_tests(machine, one_ahead) == pytest.approx(2.86, abs=5e-3)


@pytest.mark.published
def test_sequencing_two_steps_ahead():
    """The same: the optimal tree takes 2.18 tests and starts with test 2; two steps ahead must find it."""
    machine = Machine(STATES)
    assert two_ahead(machine) == 2
    assert expected_tests(machine, two_ahead) == pytest.approx(2.18, abs=5e-3)
