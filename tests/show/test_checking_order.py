"""The order of the lines of a check: nothing is lost, marks stay, and what fits into a time."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.codes import known_port
from checkapp.rig.planfile import load_plan
from checkapp.show import places
from checkapp.show.checking_order import ORDERS, WORDS, MinutesRefused, in_time, lines_in_order, order_now
from checkapp.show.marking import Where, mark
from checkapp.show.recording import Recorder, open_journal
from checkapp.show.stage_walk import stage_walk

DEMO = load_plan(places.shipped("plans") / "demo.toml")
NAMES = tuple(line.line for line in DEMO.lines)
marks = st.sets(st.sampled_from(NAMES))


@given(st.sampled_from(ORDERS), marks, st.sampled_from(NAMES), st.randoms())
def test_every_order_has_every_line_once_and_marked_ones_keep_their_list_order(order, marked, at, rng):
    chances = {name: rng.choice([0.0, 0.01, 0.5]) for name in NAMES}
    found = lines_in_order(DEMO, order, marked, chances, at)
    assert sorted(found) == sorted(NAMES)
    if order in ("walk", "likely"):
        assert list(found[: len(marked)]) == [name for name in NAMES if name in marked]
        assert not marked.intersection(found[len(marked) :])


@given(marks, st.randoms())
def test_likely_is_by_falling_chance_and_alike_as_in_the_list(marked, rng):
    chances = {name: rng.choice([0.01, 0.01 + 1e-16, 0.2, 0.7]) for name in NAMES}
    found = lines_in_order(DEMO, "likely", marked, chances)[len(marked) :]
    keys = [(-round(chances[name], 9), NAMES.index(name)) for name in found]
    assert keys == sorted(keys)


def test_by_list_backwards_and_by_place():
    marked = {"in 3", "in 40"}
    assert lines_in_order(DEMO, "list", marked) == NAMES
    assert lines_in_order(DEMO, "reverse", marked) == NAMES[::-1]
    left = [name for name in NAMES if name not in marked]
    assert lines_in_order(DEMO, "walk", marked, at="in 3") == ("in 3", "in 40", *stage_walk(DEMO, left, "in 3"))
    assert lines_in_order(DEMO, "likely") == NAMES


@given(st.sampled_from(["walk", "likely"]), marks, marks)
def test_what_was_left_for_later_comes_last(order, marked, later):
    found = lines_in_order(DEMO, order, marked, {}, None, later)
    assert sorted(found) == sorted(NAMES)
    late = [name for name in found if name in later - marked]
    assert list(found[len(found) - len(late) :]) == late


def test_the_order_now_takes_the_chances_from_the_journal(tmp_path):
    where = Where(places.shipped("plans") / "demo.toml", "Night 1", "JD", tmp_path / "journal.db")
    mark(where, "in 17", "faulty", symptom="silent")
    mark(where, "in 1", "ok")
    with open_journal(where.journal, create=False, home=tmp_path) as journal:
        recorder = Recorder(journal, DEMO)
        state = recorder.state("Night 1")
        likely = order_now(recorder, state, "likely")
        assert likely[:2] == ("in 1", "in 17")
        assert {known_port(DEMO.line(name).port).code for name in likely[2:8]} == {"STRINGS"}
        assert order_now(recorder, state, "likely", later=likely[2:3])[-1] == likely[2]
        assert order_now(recorder, state, "walk") == lines_in_order(DEMO, "walk", ["in 1", "in 17"])
        assert order_now(recorder, state, "reverse") == NAMES[::-1]


@pytest.mark.parametrize(
    ("minutes", "count"), [(0.1, 0), (0.3, 1), (0.6, 2), (0.9, 3), (2.1, 7), (2.7, 9), (10, 33), (1e300, 60)]
)
def test_so_many_lines_fit_into_so_many_minutes(minutes, count):
    assert in_time(NAMES, minutes, 0.3) == NAMES[:count]


def test_without_a_time_all_lines_fit():
    assert in_time(NAMES, None, 0.3) == NAMES


@pytest.mark.parametrize("minutes", [0.0, -1.0, math.nan, math.inf, -math.inf])
def test_a_time_that_is_none_is_refused(minutes):
    with pytest.raises(MinutesRefused, match="give a time above 0"):
        in_time(NAMES, minutes, 0.3)


def test_every_order_has_its_words():
    assert set(WORDS) == set(ORDERS)
