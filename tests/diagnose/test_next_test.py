"""What a test tells, against every set of faulty items written out, and the order of tests."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_rigs import drawn

from checkapp.diagnose.ahead import in_order
from checkapp.diagnose.chances import Chances
from checkapp.diagnose.evidence import Heard, faulty_now, latest
from checkapp.diagnose.next_test import Minutes, minutes_of, next_tests
from checkapp.diagnose.outlook import outlook_of
from checkapp.diagnose.private import Hearing
from checkapp.rig.model import Diagnose, Item

EVERY_KIND = Minutes(swap=dict.fromkeys(["source", "cable", "hop", "port", "box", "chain", "supply", "desk"], 2.0))


def free_ports(rig):
    """For every line a port of its own to move to, with the items of the line after it."""
    after = dict(zip(rig.paths, [*list(rig.paths.values())[1:], next(iter(rig.paths.values()))], strict=True))
    return {line: [("free port", tuple(dict.fromkeys([*path[:1], *after[line]])))] for line, path in rig.paths.items()}


@pytest.mark.independent
@pytest.mark.parametrize("tens", range(30))
def test_bits_of_every_test_of_300_random_rigs_against_every_set_of_faulty_items(tens):
    for seed in range(10 * tens, 10 * tens + 10):
        rig = drawn(seed, 16 if seed % 30 == 0 else 10)
        asked = {item for line in faulty_now(rig.paths, rig.heard) or rig.paths for item in rig.paths[line]}
        for found in next_tests(rig.paths, rig.heard, rig.chances, EVERY_KIND, free_ports(rig), most=None):
            test = found.test
            same = (test.line, frozenset(test.path))
            kept = [
                (one.path, one.verdict, one.symptom) for one in rig.heard if (one.line, frozenset(one.path)) != same
            ]
            right = rig.world.bits(rig.evidence, kept, test.path, asked)
            assert found.bits == pytest.approx(right, abs=1e-9), (seed, test)


@given(st.integers(0, 10**6))
@settings(max_examples=40)
def test_the_bound_on_a_test_holds_and_what_can_tell_nothing_tells_nothing(seed):
    rig = drawn(seed)
    outlook = outlook_of(rig.paths, rig.heard, Hearing(rig.chances))
    for found in next_tests(rig.paths, rig.heard, rig.chances, EVERY_KIND, free_ports(rig), most=None):
        assert found.bits <= outlook.most_bits(found.test) + 1e-9


@given(st.integers(0, 10**6))
@settings(max_examples=40)
def test_what_is_believed_after_a_test_is_what_the_marks_would_say(seed):
    """Only the part that the mark touches is worked out anew; the rest is taken over."""
    rig = drawn(seed)
    hearing = Hearing(rig.chances)
    outlook = outlook_of(rig.paths, rig.heard, hearing)
    asked = outlook.asked
    for found in next_tests(rig.paths, rig.heard, rig.chances, EVERY_KIND, free_ports(rig)):
        after = {then.heard[-1].verdict: then for _, then in outlook.after(found.test)}
        for then in (*(outlook.heard_as(found.test, verdict, None) for verdict in ("ok", "faulty")), *after.values()):
            anew = outlook_of(rig.paths, then.heard, hearing)
            for item in asked:
                assert then.chances[item] == pytest.approx(anew.chances[item], abs=1e-9)


@given(st.integers(0, 10**6))
@settings(max_examples=40)
def test_the_first_few_are_the_same_as_of_all(seed):
    rig = drawn(seed)
    everything = next_tests(rig.paths, rig.heard, rig.chances, most=None)
    few = next_tests(rig.paths, rig.heard, rig.chances, most=4)
    assert [one.ahead for one in few] == pytest.approx([one.ahead for one in everything[:4]], abs=1e-9)


def box_of(lines):
    shared = (Item("SB1", "box"), Item("LK1", "hop"), Item("chain A", "chain"))
    return {
        f"in {n}": (Item(f"M{n}", "source"), Item(f"XL{n}", "cable"), Item(f"SB1 in {n}", "port"), *shared)
        for n in range(1, lines + 1)
    }


def test_after_one_silent_line_listening_to_another_on_the_box_is_best_and_then_the_line_itself():
    paths = box_of(4)
    first = next_tests(paths, [Heard("in 1", paths["in 1"], "faulty", "silent")], Chances())
    assert first[0].test.kind == "mark"
    heard = [Heard("in 1", paths["in 1"], "faulty", "silent")]
    heard += [Heard(line, paths[line], "ok") for line in ("in 2", "in 3", "in 4")]
    then = next_tests(paths, heard, Chances())
    assert then[0].test.kind == "swap"
    assert then[0].test.swap in paths["in 1"][:2]
    assert then[0].test.swap not in then[0].test.path


def test_a_line_is_listened_to_again_where_no_symptom_was_said():
    paths = box_of(2)
    kinds = {
        symptom: {
            one.test.kind for one in next_tests(paths, [Heard("in 1", paths["in 1"], "faulty", symptom)], Chances())
        }
        for symptom in (None, "silent")
    }
    assert "re-mark" in kinds[None]
    assert "re-mark" not in kinds["silent"]


@pytest.mark.parametrize("symptom", [None, "wrong line"])
def test_a_line_is_listened_to_twice_as_it_runs_and_not_a_third_time(symptom):
    """The second mark takes the place of the first, so that a third would be as good as the second, for ever."""
    paths = box_of(2)
    surely_good = Chances(items={item.name: 1e-6 for path in paths.values() for item in path})
    heard = latest([Heard("in 1", paths["in 1"], "faulty", symptom)])
    assert "re-mark" in {one.test.kind for one in next_tests(paths, heard, surely_good)}
    heard = latest([*heard, Heard("in 1", paths["in 1"], "faulty", symptom)])
    assert "re-mark" not in {one.test.kind for one in next_tests(paths, heard, surely_good)}
    gone = latest([*heard, Heard("in 1", paths["in 1"], "ok")])
    assert latest([*gone, Heard("in 1", paths["in 1"], "faulty", symptom)])[0].again is False


def test_what_tells_next_to_nothing_is_not_proposed_while_a_line_is_faulty():
    """The fault is on the line's own items: other lines on the box say nothing worth a walk."""
    paths = box_of(12)
    heard = [Heard(line, path, "faulty" if line == "in 1" else "ok") for line, path in paths.items() if line != "in 9"]
    assert "mark" not in {one.test.kind for one in next_tests(paths, heard, Chances(), most=None)}
    heard = [one for one in heard if one.verdict == "ok"]
    assert {one.test.line for one in next_tests(paths, heard, Chances())} == {"in 1", "in 9"}


def test_minutes_count_and_what_has_none_is_not_proposed():
    paths = box_of(1)
    heard = [Heard("in 1", paths["in 1"], "faulty", "hum")]
    slow = next_tests(paths, heard, Chances(), Minutes(swap={"source": 100.0, "cable": 1.0}))
    assert [one.test.swap.kind for one in slow] == ["cable", "source"]
    quick = next_tests(paths, heard, Chances(), Minutes(swap={"source": 0.1, "cable": 100.0}))
    assert [one.test.swap.kind for one in quick] == ["source", "cable"]


def test_with_nothing_faulty_a_line_through_what_was_not_heard_yet_tells_most():
    paths = box_of(4)
    heard = [Heard(line, paths[line], "ok") for line in ("in 1", "in 2", "in 3")]
    found = next_tests(paths, heard, Chances())
    assert [one.test.line for one in found] == ["in 4"]
    assert found[0].bits > 0


def test_a_move_is_a_test_of_the_port():
    paths = box_of(1)
    told = Chances(items={"SB1 in 1": 0.5})
    port = paths["in 1"][2]
    moved = tuple(Item("SB1 in 8", "port") if item == port else item for item in paths["in 1"])
    heard = [Heard("in 1", paths["in 1"], "faulty", "silent")]
    found = next_tests(paths, heard, told, free={"in 1": [("SB1 in 8", moved)]})
    assert (found[0].test.kind, found[0].test.port) == ("move", "SB1 in 8")


class States:
    """One of several states holds; a test splits them in two; uncertainty is the entropy of the states."""

    def __init__(self, weights, tests):
        self.weights, self.tests = weights, tests

    def bits(self, test):
        return self.entropy() - sum(chance * then.entropy() for chance, then in self.after(test))

    most_bits = bits

    def entropy(self):
        total = sum(self.weights.values())
        return -sum(one / total * math.log2(one / total) for one in self.weights.values())

    def after(self, test):
        total = sum(self.weights.values())
        for fails in (False, True):
            left = {state: one for state, one in self.weights.items() if self.tests[test][state] is fails}
            if left:
                yield sum(left.values()) / total, States(left, self.tests)


def test_two_steps_ahead_sees_what_one_step_does_not():
    """Test a tells most a minute by itself; b tells less, and then one more settles all."""
    weights = {"w": 0.25, "x": 0.25, "y": 0.25, "z": 0.25}
    tests = {
        "a": {"w": True, "x": False, "y": False, "z": False},
        "b": {"w": True, "x": True, "y": False, "z": False},
        "c": {"w": True, "x": False, "y": True, "z": False},
    }
    minutes = {"a": 0.6, "b": 0.8, "c": 0.8}
    belief = States(weights, tests)
    given_bits = [(test, belief.bits(test)) for test in tests]
    one_step = max(given_bits, key=lambda one: one[1] / minutes[one[0]])[0]
    ordered = in_order(belief, given_bits, minutes.__getitem__)
    assert one_step == "a"
    assert ordered[0][0] in ("b", "c")
    # after b it is a that settles w or x, c that settles y or z
    assert ordered[0][1].ahead == pytest.approx(2 / (0.8 + 0.5 * 0.6 + 0.5 * 0.8))


def test_a_test_that_settles_all_but_little_is_not_pulled_down_by_what_could_follow():
    """Found on a rig: a swap that nearly settles it came after a move that told nothing but made the swap second."""
    weights = {"w": 0.5, "x": 0.495, "y": 0.003, "z": 0.002}
    tests = {
        "swap": {"w": True, "x": False, "y": False, "z": False},
        "move": {"w": True, "x": True, "y": True, "z": False},
    }
    minutes = {"swap": 6.0, "move": 3.0}
    belief = States(weights, tests)
    ordered = in_order(belief, [(test, belief.bits(test)) for test in tests], minutes.__getitem__)
    assert [test for test, _ in ordered] == ["swap", "move"]
    assert ordered[0][1].ahead == pytest.approx(belief.bits("swap") / 6.0)
    assert ordered[1][1].ahead < ordered[0][1].ahead


def test_what_a_swap_has_told_already_is_not_proposed_again():
    """A swap that did not clear is in the evidence as the line without that item."""
    items = [Item("source in 1", "source"), Item("XL01", "cable"), Item("SB1 in 1", "port")]
    path = tuple(items)
    heard = [Heard("in 1", path, "faulty", "silent")]
    chances = Chances()
    first = next_tests({"in 1": path}, heard, chances)[0].test
    assert first.kind == "swap"
    heard.append(Heard("in 1", first.path, "faulty", "silent"))
    later = next_tests({"in 1": path}, heard, chances)
    assert later
    assert first.swap not in [one.test.swap for one in later]


def test_minutes_of_a_plan_replace_the_defaults():
    told = minutes_of(Diagnose(minutes={"mark": 0.1, "move": 2.0}, swap_minutes={"cable": 0.5, "port": 4.0}))
    assert (told.mark, told.remark, told.move) == (0.1, Minutes().remark, 2.0)
    assert (told.swap["cable"], told.swap["port"], told.swap["hop"]) == (0.5, 4.0, Minutes().swap["hop"])


def chain_of(boxes, lines_each):
    """Lines on boxes along one chain, each box on one of three supplies."""
    paths = {}
    for number in range(boxes * lines_each):
        way = []
        for near in range(number // lines_each, -1, -1):
            way += [Item(f"SB{near}", "box"), Item(f"LK{near}", "hop"), Item(f"PS{near % 3}", "supply")]
        own = (Item(f"M{number}", "source"), Item(f"X{number}", "cable"), Item(f"D{number}", "desk"))
        paths[f"in {number}"] = tuple(dict.fromkeys([*own, *way, Item("chain A", "chain")]))
    return paths


@given(st.integers(4, 7), st.randoms())
@settings(max_examples=6, deadline=None)
def test_what_is_all_but_sure_may_be_taken_as_sure(bad, rng):
    """Many shared items, most of them cleared by ok marks or known to be at fault: the bits do not change."""
    paths = chain_of(8, 4)
    heard = [
        Heard(line, path, "faulty", rng.choice(["silent", "silent", "hum"]))
        if int(line[3:]) // 4 >= bad
        else Heard(line, path, "ok")
        for line, path in paths.items()
        if int(line[3:]) % 4 < 3
    ]
    with_sure = outlook_of(paths, heard, Hearing(Chances()))
    without = outlook_of(paths, heard, Hearing(Chances()))
    without.sure = {}
    assert with_sure.sure
    for found in next_tests(paths, heard, Chances(), most=None):
        assert with_sure.bits(found.test) == pytest.approx(without.bits(found.test), abs=1e-8)


@pytest.mark.parametrize("unmarked", [0, 1])
def test_there_is_a_test_to_try_however_much_is_faulty(unmarked):
    paths = chain_of(40, 5)
    symptoms = ["silent", "hum", "crackle", "low", "noisy"]
    lines = list(paths)[unmarked:]
    heard = [Heard(line, paths[line], "faulty", symptoms[at % 5]) for at, line in enumerate(lines)]
    found = next_tests(paths, heard, Chances())
    assert found
    assert all(one.bits > 0 for one in found)
