"""The posterior against every set of faulty items written out, and what must not matter."""

from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from brute_force import ORDER
from hypothesis import given, settings
from hypothesis import strategies as st
from random_rigs import drawn

from checkapp.diagnose.chances import HEAR, MISS, PRIOR, Chances
from checkapp.diagnose.errors import ImpossibleEvidence
from checkapp.diagnose.evidence import Heard, faulty_now
from checkapp.diagnose.posterior import diagnose
from checkapp.diagnose.sweep import Limits
from checkapp.rig.model import Item

EXACT = 1e-9


def chances(diagnosis):
    return {suspect.item: suspect.probability for suspect in diagnosis.suspects}


@pytest.mark.independent
@pytest.mark.parametrize("tens", range(30))
def test_300_random_rigs_against_every_set_of_faulty_items(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        rig = drawn(seed)
        found = diagnose(rig.paths, rig.heard, rig.chances)
        right = rig.world.posterior(rig.evidence)
        assert found.left_out == 0
        assert {suspect.item for suspect in found.suspects} == {item for path in rig.paths.values() for item in path}
        for suspect in found.suspects:
            assert suspect.probability == pytest.approx(right[suspect.item], abs=EXACT), seed
        wanted = {item for line in faulty_now(rig.paths, rig.heard) for item in rig.paths[line]}
        assert found.none == pytest.approx(rig.world.none(rig.evidence, wanted), abs=EXACT), seed


SEEDS = st.integers(1000, 100_000)


@given(SEEDS, st.randoms())
@settings(max_examples=60)
def test_names_and_order_of_items_and_lines_do_not_matter(seed, rng):
    rig = drawn(seed)
    before = diagnose(rig.paths, rig.heard, rig.chances)
    names = {item: f"x{number}" for number, item in enumerate(rng.sample(rig.world.items, len(rig.world.items)))}
    lines = dict(zip(rig.paths, rng.sample([f"l{n}" for n in range(len(rig.paths))], len(rig.paths)), strict=True))

    def renamed(path):
        return tuple(Item(names[item], item.kind) for item in rng.sample(path, len(path)))

    paths = {lines[line]: renamed(rig.paths[line]) for line in rng.sample(list(rig.paths), len(rig.paths))}
    heard = [Heard(lines[one.line], renamed(one.path), one.verdict, one.symptom) for one in rig.heard]
    rng.shuffle(heard)
    own = {names[item]: rig.chances.prior_of(item) for item in names}
    told = Chances(rig.chances.false_alarm, rig.chances.prior, rig.chances.miss, rig.chances.hear, own)
    after = diagnose(paths, heard, told)
    assert after.none == pytest.approx(before.none, abs=EXACT)
    found = chances(after)
    for item, chance in chances(before).items():
        assert found[Item(names[item], item.kind)] == pytest.approx(chance, abs=EXACT)


@given(SEEDS)
@settings(max_examples=60)
def test_an_unmarked_line_changes_nothing(seed):
    rig = drawn(seed)
    before = diagnose(rig.paths, rig.heard, rig.chances)
    path = (Item("new", "cable"), *rig.world.items[:3])
    after = diagnose({**rig.paths, "in 99": path}, rig.heard, rig.chances)
    found = chances(after)
    assert after.none == pytest.approx(before.none, abs=1e-12)
    assert found[path[0]] == pytest.approx(rig.chances.prior_of(path[0]), abs=1e-15)
    for item, chance in chances(before).items():
        assert found[item] == pytest.approx(chance, abs=1e-12)


@given(st.integers(0, 10**9), st.integers(0, 20))
@settings(max_examples=60)
def test_an_ok_mark_raises_no_item_on_its_path(seed, pick):
    """As long as its items do not compete: at most one of them is on lines marked faulty."""
    rig = drawn(seed)
    suspected = {item for one in rig.heard if one.verdict == "faulty" for item in one.path}
    others = [item for item in rig.world.items if item not in suspected]
    path = (*sorted(suspected)[pick : pick + 1], *others, Item("new", "cable"))
    paths = {**rig.paths, "in 99": path}
    before = chances(diagnose(paths, rig.heard, rig.chances))
    after = chances(diagnose(paths, [*rig.heard, Heard("in 99", path, "ok")], rig.chances))
    for item in path:
        assert after[item] <= before[item] + 1e-12


@pytest.mark.closed_form
def test_an_ok_mark_through_two_that_compete_raises_the_one_that_it_tells_less_of():
    """One of two is to blame; an ok mark through both clears the one that is never missed, so it is the other."""
    often, never = Item("often missed", "cable"), Item("never missed", "source")
    told = Chances(1e-12, dict.fromkeys(PRIOR, 0.01), {**MISS, "cable": 0.5, "source": 1e-9})
    paths = {"in 1": (often, never), "in 2": (often, never)}
    faulty = Heard("in 1", paths["in 1"], "faulty")
    before = chances(diagnose(paths, [faulty], told))[often]
    after = chances(diagnose(paths, [faulty, Heard("in 2", paths["in 2"], "ok")], told))[often]
    # by hand, with p = 0.01: often alone 0.5 p (1-p), never alone p (1-p), both p^2
    assert before == pytest.approx((0.5 * 0.99 + 0.01) / (0.5 * 0.99 + 0.99 + 0.01), abs=1e-6)
    assert after == pytest.approx(1.0, abs=1e-6)


@given(SEEDS, st.sampled_from(["cable", "port"]))
@settings(max_examples=60)
def test_posterior_odds_of_two_items_of_a_kind_on_the_same_lines_keep_their_ratio(seed, kind):
    rig = drawn(seed)
    first, second = Item("first", kind), Item("second", kind)
    on = list(rig.paths)[::2]

    def more(line, path):
        return (*path, first, second) if line in on else path

    paths = {line: more(line, path) for line, path in rig.paths.items()}
    heard = [Heard(one.line, more(one.line, one.path), one.verdict, one.symptom) for one in rig.heard]
    told = Chances(
        rig.chances.false_alarm, PRIOR, MISS, HEAR, {**rig.chances.items, first.name: 0.03, second.name: 0.001}
    )
    found = diagnose(paths, heard, told)
    one, other = chances(found)[first], chances(found)[second]
    # neither alone nor both: exact in the ratio of "only the first" to "only the second", which the marks cannot change
    both = _both(paths, heard, told, first, second)
    assert (one - both) / (other - both) == pytest.approx((0.03 / 0.97) / (0.001 / 0.999), rel=1e-6)
    assert any({first, second} <= set(group) for group in found.groups)


def _both(paths, heard, told, first, second):
    """P(both) = P(second) P(first | second), the latter with the second given as faulty."""
    sure = Chances(told.false_alarm, told.prior, told.miss, told.hear, {**told.items, second.name: 1.0})
    given_second = chances(diagnose(paths, heard, sure))[first]
    return chances(diagnose(paths, heard, told))[second] * given_second


def chain(boxes, lines_each, kind="box"):
    """Lines on boxes along one chain."""
    paths = {}
    for box in range(boxes):
        way = [item for near in range(box, -1, -1) for item in (Item(f"SB{near}", "box"), Item(f"LK{near}", "hop"))]
        for _ in range(lines_each):
            number = len(paths) + 1
            own = [Item(f"source in {number}", "source"), Item(f"XL{number}", "cable"), Item(f"port {number}", "port")]
            paths[f"in {number}"] = (*own, *way, Item("chain A", "chain"), Item(f"desk in {number}", "desk"))
    return paths


@pytest.mark.closed_form
def test_512_faulty_marks_neither_underflow_nor_cancel():
    """512 lines silent on one chain, priors of 1e-9: two explanations weigh, the chain and the first hop or box."""
    paths = chain(8, 64)
    told = Chances(prior=dict.fromkeys(PRIOR, 1e-9))
    heard = [Heard(line, path, "faulty", "silent") for line, path in paths.items()]
    found = chances(diagnose(paths, heard, told))
    # one cause weighs p (1 - 0.998 miss)^512 hear^512; others that are faulty besides change it by 1e-6 at most
    weights = {"chain A": (0.01, 0.80), "SB0": (0.02, 0.75), "LK0": (0.05, 0.70)}
    logs = {name: 512 * (np.log1p(-0.998 * miss) + np.log(hear)) for name, (miss, hear) in weights.items()}
    top = max(logs.values())
    for item in [Item("SB0", "box"), Item("LK0", "hop")]:
        assert found[item] == pytest.approx(np.exp(logs[item.name] - top), abs=1e-8)
    assert found[Item("chain A", "chain")] == pytest.approx(1.0, abs=1e-6)
    assert all(0 <= chance <= 1 for chance in found.values())


def test_the_table_of_a_chain_grows_with_the_numbers_of_boxes_and_hops_only():
    """40 boxes and hops along one chain, every line faulty: never more rows than pairs of numbers up to the box."""
    paths = chain(40, 2)
    heard = [Heard(line, path, "faulty", ORDER[at % 8]) for at, (line, path) in enumerate(paths.items())]
    most = 4 * 2 * 40 * 40  # four settings of each box and hop; the chain itself is faulty or not
    assert diagnose(paths, heard, Chances(), Limits(most, free=40 * most)).left_out == 0


@pytest.mark.closed_form
def test_512_faulty_marks_and_512_old_ok_ones_through_the_same_chain():
    """512 ok marks weigh 0.05^512 on the hop, far below the smallest number of the machine, and still it is the hop.

    A cause of its own for each line weighs 0.01 times 0.4; the hop, that missed before, 0.05 times 0.7.
    """
    paths = chain(1, 512)
    old = {line: path[1:] for line, path in paths.items()}  # heard ok before each source was plugged
    heard = [Heard(line, path, "ok") for line, path in old.items()]
    heard += [Heard(line, path, "faulty", "silent") for line, path in paths.items()]
    found = chances(diagnose(paths, heard, Chances()))
    assert found[Item("LK0", "hop")] == pytest.approx(1.0, abs=1e-9)
    assert found[Item("chain A", "chain")] < 0.001


def test_items_of_no_line_are_no_suspects_and_groups_are_of_the_same_lines():
    paths = chain(2, 2)
    found = diagnose(paths, [Heard("in 1", paths["in 1"], "faulty", "hum")], Chances())
    groups = {frozenset(item.name for item in group) for group in found.groups}
    assert frozenset({"SB1", "LK1"}) in groups
    assert frozenset({"SB0", "LK0", "chain A"}) in groups
    assert [suspect.probability for suspect in found.suspects] == sorted(chances(found).values(), reverse=True)


def test_a_later_mark_for_the_same_items_replaces_an_earlier_one():
    paths = chain(2, 2)
    first = Heard("in 1", paths["in 1"], "faulty", "hum")
    last = Heard("in 1", tuple(reversed(paths["in 1"])), "ok")
    assert diagnose(paths, [first, last], Chances()) == diagnose(paths, [last], Chances())


def test_nothing_on_faulty_lines_is_certain_when_none_is_faulty():
    paths = chain(2, 2)
    assert diagnose(paths, [Heard("in 1", paths["in 1"], "ok")], Chances()).none == 1.0


def test_marks_that_cannot_be_true_are_told():
    paths = {"in 1": (Item("XL1", "cable"),)}
    told = Chances(items={"XL1": 1.0}, hear={**HEAR, "cable": {"hum": 1.0}})
    with pytest.raises(ImpossibleEvidence, match="chance of 1"):
        diagnose(paths, [Heard("in 1", paths["in 1"], "faulty", "noisy")], told)


def test_a_prior_of_one_is_certain():
    paths = chain(2, 2)
    told = Chances(items={"SB0": 1.0})
    heard = [Heard(line, path, "faulty", "silent") for line, path in paths.items()]
    found = diagnose(paths, heard, told)
    assert chances(found)[Item("SB0", "box")] == pytest.approx(1.0, abs=1e-15)
    assert found.none == 0.0


@pytest.mark.parametrize("rows", [1, 8, 40])
def test_what_is_left_out_bounds_the_error(rows):
    """Tables cut to so few rows: the error stays within the bound, and where nothing was cut the answer is exact."""
    cut = 0
    for seed in range(40):
        rig = drawn(seed)
        whole, part = (diagnose(rig.paths, rig.heard, rig.chances, most) for most in (Limits(), Limits(rows)))
        cut += part.left_out > 0
        right = chances(whole)
        assert abs(part.none - whole.none) <= part.left_out + 1e-12
        for item, chance in chances(part).items():
            assert abs(chance - right[item]) <= part.left_out + 1e-12
    assert cut or rows > 8


def crossing(chains, boxes, supplies, lines):
    """Lines on boxes of chains, the supplies going round the boxes."""
    paths = {}
    for line in range(lines):
        way = []
        for box in range(line % boxes, -1, -chains):
            way += [Item(f"SB{box}", "box"), Item(f"LK{box}", "hop"), Item(f"PS{box % supplies}", "supply")]
        own = (Item(f"M{line}", "source"), Item(f"chain {line % boxes % chains}", "chain"))
        paths[f"in {line}"] = tuple(dict.fromkeys([*own, *way]))
    return paths


@given(st.integers(2, 4), st.sampled_from([Limits(most=300, free=0), Limits(most=2000, free=0)]), st.randoms())
@settings(max_examples=12, deadline=None)
def test_what_is_left_out_bounds_the_error_where_chains_share_supplies(supplies, limits, rng):
    paths = crossing(3, 12, supplies, 36)
    heard = [
        Heard(line, path, "faulty", rng.choice(ORDER)) if rng.random() < 0.6 else Heard(line, path, "ok")
        for line, path in paths.items()
        if rng.random() < 0.9
    ]
    exact = diagnose(paths, heard, Chances(), Limits(free=10**9, most=10**9))
    part = diagnose(paths, heard, Chances(), limits)
    assert exact.left_out == 0
    assert abs(part.none - exact.none) <= part.left_out + 1e-12
    right = chances(exact)
    for item, chance in chances(part).items():
        assert abs(chance - right[item]) <= part.left_out + 1e-10


def test_chains_that_share_supplies_are_solved_to_the_last_digit_that_counts():
    paths = crossing(16, 100, 7, 300)
    heard = [Heard(line, path, "faulty", ORDER[at % 8]) for at, (line, path) in enumerate(paths.items()) if at % 3]
    assert diagnose(paths, heard, Chances()).left_out < 1e-9


def _inclusion_exclusion(item_weights, marks, number):
    """P(every mark faulty) by the alternating sum over sets of marks, items being certain to be heard."""
    total = number(0)
    for size in range(len(marks) + 1):
        for some in combinations(marks, size):
            good = set().union(*some) if some else set()
            term = number(1)
            for item, chance in item_weights.items():
                term *= 1 - number(chance) if item in good else 1
            total += term if size % 2 == 0 else -term
    return total


@pytest.mark.independent
def test_inclusion_exclusion_loses_every_digit_here_and_this_does_not():
    """Ten faulty lines, two items each: an alternating sum in floats against the same in fractions."""
    paths = {f"in {n}": (Item(f"XL{n}", "cable"), Item(f"P{n}", "port")) for n in range(10)}
    priors = {item: Fraction(1, 1000) for path in paths.values() for item in path}
    marks = [set(path) for path in paths.values()]
    exact = _inclusion_exclusion(priors, marks, Fraction)
    rough = _inclusion_exclusion(dict.fromkeys(priors, 0.001), marks, float)
    assert exact == (1 - (1 - Fraction(1, 1000)) ** 2) ** 10
    assert abs(rough / float(exact) - 1) > 1000  # not one digit is right, nor even the size
    first = Item("XL0", "cable")
    with_it = _inclusion_exclusion({**priors, first: Fraction(1)}, marks, Fraction) * priors[first] / exact
    told = Chances(1e-15, dict.fromkeys(PRIOR, 0.001), dict.fromkeys(MISS, 1e-15))
    heard = [Heard(line, path, "faulty") for line, path in paths.items()]
    assert chances(diagnose(paths, heard, told))[first] == pytest.approx(float(with_it), abs=1e-11)
