"""What a mark tells by the table of all settings, against a sweep for each mark, and what the table leaves out."""

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_rigs import drawn

from checkapp.diagnose import outlook as outlooks
from checkapp.diagnose.case import case_of
from checkapp.diagnose.chances import Chances
from checkapp.diagnose.evidence import Heard, latest
from checkapp.diagnose.joint import joint_of
from checkapp.diagnose.next_test import Minutes, candidates
from checkapp.diagnose.outlook import outlook_of
from checkapp.diagnose.plan import plan_of
from checkapp.diagnose.private import Hearing
from checkapp.diagnose.told import told
from checkapp.rig.model import Item
from checkapp.rig.words import SYMPTOMS


def chains(lines, number=2, boxes=8, supplies=2):
    """Lines spread over boxes on chains, with supplies that cross them."""
    paths = {}
    for line in range(lines):
        box = line % boxes
        upstream = [
            item
            for one in range(box, -1, -number)
            for item in (Item(f"B{one}", "box"), Item(f"LK{one}", "hop"), Item(f"PD{one % supplies}", "supply"))
        ]
        own = (Item(f"M{line}", "source"), Item(f"XL{line}", "cable"), Item(f"B{box} in {line}", "port"))
        paths[f"in {line}"] = tuple(dict.fromkeys([*own, *upstream, Item(f"chain {box % number}", "chain")]))
    return paths


def marked(paths, faulty, choice):
    return [
        Heard(line, path, "faulty", choice.choice([*SYMPTOMS, None])) if line in faulty else Heard(line, path, "ok")
        for line, path in paths.items()
        if line in faulty or choice.random() < 0.5
    ]


def both_ways(monkeypatch, paths, heard, chances):
    """Tests with their bits by the table and by sweeps."""
    by_table = outlook_of(paths, heard, Hearing(chances))
    tests = candidates(by_table, paths, Minutes(), {})
    first = [by_table.bits(test) for test in tests]
    with monkeypatch.context() as patch:
        patch.setattr(outlooks, "joint_of", lambda *_: None)
        by_sweep = outlook_of(paths, heard, Hearing(chances))
        return tests, first, [by_sweep.bits(test) for test in tests]


@pytest.mark.independent
@pytest.mark.parametrize("seed", range(40))
def test_the_table_tells_what_a_sweep_for_each_mark_tells_on_random_rigs(seed, monkeypatch):
    rig = drawn(seed, 10)
    _, by_table, by_sweep = both_ways(monkeypatch, rig.paths, rig.heard, rig.chances)
    assert by_table == pytest.approx(by_sweep, abs=1e-9)


@pytest.mark.independent
@pytest.mark.parametrize("faulty", [1, 3, 6, 12])
def test_the_table_tells_what_a_sweep_for_each_mark_tells_on_chains(faulty, monkeypatch):
    choice = random.Random(faulty)
    paths = chains(32)
    heard = marked(paths, set(choice.sample(list(paths), faulty)), choice)
    tests, by_table, by_sweep = both_ways(monkeypatch, paths, heard, Chances())
    assert {"mark", "swap"} <= {test.kind for test in tests}
    assert by_table == pytest.approx(by_sweep, abs=1e-9)


def table_of(paths, heard, chances=None):
    chances = chances or Chances()
    case = case_of(paths.values(), latest(heard), chances)
    plan = plan_of([mark.items for mark in case.marks], case.odds)
    return joint_of(case.marks, case.odds, Hearing(chances), plan)


def test_settings_that_weigh_nothing_are_left_out_of_the_table():
    paths = chains(32)
    heard = [Heard(line, path, "faulty", "silent") for line, path in paths.items() if "B0" in {i.name for i in path}]
    table = table_of(paths, heard)
    assert len(table.frame.column) > 8
    assert len(table.weights) < 1 << len(table.frame.column)
    assert not table.complete
    assert math.fsum(table.weights) == pytest.approx(1)


def test_a_table_that_would_be_too_large_is_not_made():
    paths = chains(64, number=1, boxes=16, supplies=3)
    table = table_of(paths, [Heard(line, path, "faulty", "hum") for line, path in paths.items()])
    assert table is None


def test_the_table_does_not_serve_a_mark_that_has_items_in_common_with_each_of_several_marks_alone():
    box = Item("SB1", "box")
    paths = {f"in {n}": (Item(f"M{n}", "source"), Item(f"XL{n}", "cable"), box) for n in (1, 2)}
    table = table_of(paths, [Heard(line, path, "faulty", "hum") for line, path in paths.items()])
    assert told(table, [*paths["in 1"][:1], *paths["in 2"][1:]], None) is None
    assert told(table, paths["in 1"][:1], None) is not None


def test_a_mark_that_may_have_been_all_but_impossible_is_not_taken_out_of_a_cut_table():
    """Settings left out as negligible with the mark could be what is likely without it."""
    paths = chains(32)
    chances = Chances(hear={**Chances().hear, "box": {**Chances().hear["box"], "noisy": 1e-9}})
    heard = [Heard(line, path, "faulty", "noisy") for line, path in paths.items() if "B0" in {i.name for i in path}]
    table = table_of(paths, heard, chances)
    assert not table.complete
    assert told(table, heard[0].path, 0) is None
    usual = table_of(paths, heard)
    assert told(usual, heard[0].path, 0) is not None


@given(st.integers(0, 10**6))
@settings(max_examples=40)
def test_chances_of_the_table_add_up_over_the_outcomes(seed):
    """Where no mark is replaced what is expected afterwards is what is believed now."""
    rig = drawn(seed)
    table = table_of(rig.paths, rig.heard, rig.chances)
    for path in rig.paths.values():
        new = told(table, path, None)
        if new is None:
            continue
        assert new.outcomes == pytest.approx(new.weights, abs=1e-12)
        assert (new.rows @ new.outcomes) == pytest.approx(table.rows @ table.weights, abs=1e-9)
        assert np.all(new.rows >= 0)
        assert np.all(new.rows <= 1 + 1e-12)
