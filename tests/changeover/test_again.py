"""Which lines are checked again after a change: every one that runs otherwise than before, no other, and why."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.changeover.again import Reason, changed_lines, lines_again
from checkapp.changeover.pairing import both_ways
from checkapp.rig.change import OnSupply, OtherCable, OtherLoad, OtherPort, changed
from checkapp.rig.rig import Rig

SEEDS = st.integers(0, 10**6)


def as_it_runs(rig, line):
    """All that a line is, as far as it matters to what passes through it."""
    path = rig.path(line.line)
    things = [rig.cables.get(name) or rig.boxes.get(name) or rig.sources.get(name) for name, _ in path]
    fields = ("kind", "owner", "length_m", "settings", "repeats")
    entries = [tuple(str(getattr(thing, field, "")) for field in fields) for thing in things]
    named = None if getattr(line, "source", None) else line.name.casefold()
    inserts = sorted(str(one) for one in rig.plan.insert if f"in {one.input}" == line.line)
    return path, entries, getattr(line, "level", ""), getattr(line, "phantom", ""), line.way, named, inserts


@settings(max_examples=60)
@given(one=SEEDS, other=SEEDS)
def test_the_lines_that_run_otherwise_are_checked_again_and_no_others(near, one, other):
    old, new = near(one), near(other)
    expected = {
        now.line
        for was, now in both_ways(old, new)
        if now is not None and (was is None or as_it_runs(old, was) != as_it_runs(new, now))
    }
    again = changed_lines(old, new)
    assert set(again) == expected
    assert [line.line for line in new.lines if line.line in expected] == list(again)
    assert changed_lines(old, old) == ()


@settings(max_examples=40)
@given(one=SEEDS, other=SEEDS)
def test_the_way_back_has_the_same_lines_for_the_same_reasons_turned(near, one, other):
    old, new = near(one), near(other)

    def told(again, turn):
        return Counter(
            (*sorted((one.old.line, one.line.line)), turned(reason) if turn else reason)
            for one in again
            if one.old
            for reason in one.reasons
        )

    def turned(reason):
        return Reason(reason.what, reason.new, reason.old)

    assert told(lines_again(old, new), turn=False) == told(lines_again(new, old), turn=True)


def reasons(old, new):
    return {one.line.line: one.reasons for one in lines_again(old, new)}


def test_a_line_in_another_port_on_another_cable(demo):
    old_port = demo.line("in 1").port
    assert reasons(demo, changed(demo, [OtherPort("in 1", "RIGHT in 12")]))["in 1"][0] == Reason(
        "port", (old_port,), ("RIGHT in 12",)
    )


def test_another_hop_cable_is_a_reason_for_every_line_behind_it(demo):
    found = reasons(demo, changed(demo, [OtherCable("LEFT", "HP21")]))
    behind = {line.line for line in demo.lines if "HP02" in [name for name, _ in demo.path(line.line)]}
    assert len(behind) > 10
    assert found == dict.fromkeys(behind, (Reason("hop", ("HP02",), ("HP21",)),))


def test_a_box_that_gets_mains_is_checked_and_what_else_hangs_there_is_not(demo):
    found = reasons(demo, changed(demo, [OnSupply("FAR", "PWR3")]))
    through = {line.line for line in demo.lines if "FAR" in [name for name, _ in demo.path(line.line)]}
    assert through == {"out 6", "out 7"}
    assert found == dict.fromkeys(through, (Reason("supply", (), ("PWR3",)),))
    assert reasons(demo, changed(demo, [OtherLoad("PWR1", 5.0)])) == {}


def with_entry(rig, table, code, **fields):
    entries = [
        one.model_copy(update=fields) if code in (getattr(one, "code", ""), getattr(one, "name", "")) else one
        for one in getattr(rig.plan, table)
    ]
    return Rig(rig.plan.model_copy(update={table: entries}), rig.digest, rig.file)


@pytest.mark.parametrize(
    ("table", "code", "fields", "item"),
    [
        ("cable", "HP12", {"written_m": 20.0}, "HP12"),
        ("box", "DRUM", {"settings": {"Switch": "own"}}, "DRUM"),
        ("box", "DRUM", {"owner": "TN"}, "DRUM"),
        ("supply", "PWR3", {"phase": "L1"}, "PWR3"),
        ("chain", "BACK", {"desk": "Monitors"}, "chain BACK"),
        ("source", "MC01", {"owner": "TN"}, "MC01"),
    ],
)
def test_another_thing_of_the_same_code_is_a_reason_for_what_runs_through_it(demo, table, code, fields, item):
    through = {line.line for line in demo.lines if item in [name for name, _ in demo.path(line.line)]}
    assert through
    expected = dict.fromkeys(through, (Reason("another", (item,), (item,)),))
    assert reasons(demo, with_entry(demo, table, code, **fields)) == expected


def test_other_link_power_is_a_reason_for_its_chains(demo):
    kinds = demo.plan.link_kind | {"tether": demo.plan.link_kind["tether"].model_copy(update={"volts": 48.0})}
    new = Rig(demo.plan.model_copy(update={"link_kind": kinds}), demo.digest, demo.file)
    assert {reason for those in reasons(demo, new).values() for reason in those} == {
        Reason("another", (f"chain {code}",), (f"chain {code}",)) for code in ("FRONT", "BACK")
    }


def test_level_phantom_way_and_name_are_reasons(with_inputs):
    def rig(name="Saw", **more):
        return with_inputs((1, name, "LEFT in 1", {"cable": "LM02", **more}))

    assert reasons(rig(), rig(level="line"))["in 1"] == (Reason("level", ("mic",), ("line",)),)
    assert reasons(rig(), rig(phantom=True))["in 1"] == (Reason("phantom", ("off",), ("on",)),)
    assert reasons(rig(), rig(way=3))["in 1"] == (Reason("way", ("1",), ("3",)),)
    assert reasons(rig(), rig("Bow"))["in 1"] == (Reason("name", ("Saw",), ("Bow",)),)
    assert reasons(rig(), rig("SAW ")) == reasons(rig(), rig(stand="tall")) == {}
    assert reasons(rig(source="MC01"), rig("Bow", source="MC01")) == {}
    assert reasons(with_inputs(), rig())["in 1"] == (Reason("new"),)


def test_an_insert_that_is_mixed_with_the_direct_signal_is_a_reason_too(demo):
    insert = demo.plan.insert[0]
    found = reasons(demo, with_entry(demo, "insert", insert.name, send="FAR out 2", parallel=True))
    assert Reason("insert") in found[f"in {insert.input}"]
    gone = Rig(demo.plan.model_copy(update={"insert": []}), demo.digest, demo.file)
    assert Reason("insert") in reasons(demo, gone)[f"in {insert.input}"]


def test_the_same_items_the_other_way_round_are_a_reason(demo):
    """Two boxes on one supply that change places on the chain, with their cables."""
    old = with_entry(demo, "box", "BRASS", supply="PWR3")
    moved = with_entry(with_entry(old, "box", "BRASS", fed_from="KEYS"), "box", "DRUM", fed_from="BRASS")
    new = with_entry(moved, "box", "STRINGS", fed_from="DRUM")
    behind = {line.line for line in demo.lines if "STRINGS" in [name for name, _ in demo.path(line.line)]}
    found = reasons(old, new)
    assert behind
    assert all(found[line] == (Reason("order"),) for line in behind)
