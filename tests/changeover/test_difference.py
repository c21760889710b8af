"""What is different in another plan: all of it, nothing else, the same both ways, each thing at its step."""

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.changeover.difference import STEPS, Change, changes, in_the_way, work
from checkapp.changeover.pairing import line_pairs, pairs
from checkapp.rig.change import OnSupply, OtherCable, OtherLoad, OtherPort, changed
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig

DEMO = load_plan(Path(__file__).parents[2] / "plans" / "demo.toml")


TABLES = ("chain", "supply", "source", "cable", "box", "input", "output", "insert")


def name_of(table, entry):
    if table in ("input", "output"):
        return f"{table.removesuffix('put')} {entry['number']}"
    return entry["name" if table == "insert" else "code"]


def patched(old, found):
    """The old plan with the changes made, by nothing but what they say."""
    plan = old.model_dump(by_alias=True)
    entries = {(table, name_of(table, entry)): entry for table in TABLES for entry in plan[table]}
    for change in found:
        if change.field:
            entries[change.table, change.old_name][change.field] = change.new
    for change in found:
        if change.new_name is None:
            del entries[change.table, change.old_name]
    new = [(change.table, change.new.model_dump(by_alias=True)) for change in found if change.old_name is None]
    all_of_them = [*((table, entry) for (table, _), entry in entries.items()), *new]
    return plan | {table: [entry for its, entry in all_of_them if its == table] for table in TABLES}


def unordered(data):
    plan = data if isinstance(data, dict) else data.model_dump(by_alias=True)
    return {
        table: sorted(map(str, map(sorted_items, entries))) if isinstance(entries, list) and table != "use" else entries
        for table, entries in plan.items()
    }


def sorted_items(entry):
    return sorted((field, str(value)) for field, value in entry.items())


SEEDS = st.integers(0, 10**6)


@settings(max_examples=60)
@given(seed=SEEDS)
def test_a_plan_is_no_other_than_itself_in_whatever_order_it_is_written(near, seed):
    plan = near(seed).plan
    chance = random.Random(seed)
    again = {table: chance.sample(getattr(plan, table), len(getattr(plan, table))) for table in TABLES}
    assert changes(plan, plan.model_copy(update=again)) == ()


@settings(max_examples=60)
@given(one=SEEDS, other=SEEDS)
def test_what_is_told_makes_the_new_plan_out_of_the_old_and_the_other_way_round(near, one, other):
    old, new = near(one).plan, near(other).plan
    found = changes(old, new)
    assert unordered(patched(old, found)) == unordered(new)
    assert all(change.old != change.new for change in found)
    assert {str(change.turned()) for change in found} == set(map(str, changes(new, old)))
    assert len(found) == len(changes(new, old))


@settings(max_examples=40)
@given(one=SEEDS, other=SEEDS)
def test_every_change_stands_at_one_step_and_everything_is_paired_once(near, one, other):
    old, new = near(one), near(other)
    steps = work(old, new)
    assert tuple(steps) == STEPS
    assert sorted(map(str, (change for these in steps.values() for change in these))) == sorted(
        map(str, changes(old.plan, new.plan))
    )
    found = list(pairs(old.plan, new.plan))
    for table in ("input", "output", "insert", "box", "cable"):
        assert sorted(str(pair.old) for pair in found if pair.table == table and pair.old) == sorted(
            map(str, getattr(old.plan, table))
        )
        assert sorted(str(pair.new) for pair in found if pair.table == table and pair.new) == sorted(
            map(str, getattr(new.plan, table))
        )


def one(number, name, port, **more):
    return (number, name, port, more)


def told(old, new):
    return {(change.step, change.old_name, change.new_name, change.field) for change in changes(old.plan, new.plan)}


def test_a_line_goes_on_under_another_number_name_or_port_but_not_under_all_three(with_inputs):
    old = with_inputs(one(1, "Saw", "LEFT in 1"), one(2, "Harp", "LEFT in 2"), one(3, "Bell", "LEFT in 3"))
    new = with_inputs(one(4, "saw", "LEFT in 5"), one(2, "Lyre", "LEFT in 2"), one(5, "Gong", "LEFT in 6"))
    assert told(old, new) == {
        ("desk", "in 1", "in 4", "number"),
        ("desk", "in 1", "in 4", "name"),
        ("lines", "in 1", "in 4", "port"),
        ("desk", "in 2", "in 2", "name"),
        ("unplug", "in 3", None, ""),
        ("lines", None, "in 5", ""),
    }


def test_a_source_with_a_tag_is_the_same_line_under_another_name_in_another_port(with_inputs):
    old = with_inputs(one(1, "Saw", "LEFT in 1", source="MC01"), one(2, "Harp", "LEFT in 2"))
    new = with_inputs(one(1, "Bow", "LEFT in 4", source="MC01"), one(2, "Lyre", "LEFT in 5"))
    assert line_pairs(old.plan.input, new.plan.input) == [
        (old.plan.input[0], new.plan.input[0]),
        (None, new.plan.input[1]),
        (old.plan.input[1], None),
    ]


def test_two_lines_of_one_name_keep_their_ports_when_they_change_numbers(with_inputs):
    old = with_inputs(one(1, "Choir", "LEFT in 1"), one(2, "Choir", "LEFT in 2"))
    new = with_inputs(one(3, "Choir", "LEFT in 2"), one(4, "Choir", "LEFT in 1"))
    assert told(old, new) == {("desk", "in 2", "in 3", "number"), ("desk", "in 1", "in 4", "number")}


def test_lines_that_stand_in_each_others_way_are_unplugged_first(with_inputs):
    old = with_inputs(one(1, "Saw", "LEFT in 1"), one(2, "Harp", "LEFT in 2"), one(3, "Bell", "RIGHT in 3"))
    new = with_inputs(one(1, "Saw", "LEFT in 2"), one(2, "Harp", "LEFT in 1"), one(3, "Bell", "RIGHT in 4"))
    assert [line.line for line in in_the_way(old, new)] == ["in 1", "in 2"]
    assert in_the_way(old, old) == ()


def test_lines_come_by_box_and_port_and_hops_along_the_chain(with_inputs):
    lines = [one(9, "Saw", "LEFT in 2"), one(8, "Harp", "LEFT in 10"), one(7, "Bell", "RIGHT in 3")]
    old, new = with_inputs(), with_inputs(*lines)
    assert [change.name for change in work(old, new)["lines"]] == ["in 7", "in 9", "in 8"]
    assert [change.name for change in work(new, old)["unplug"]] == ["in 7", "in 9", "in 8"]
    boxes = [box.model_copy(update={"place": "Quarry"}) for box in reversed(DEMO.plan.box)]
    moved = Rig(DEMO.plan.model_copy(update={"box": boxes}), DEMO.digest, DEMO.file)
    order = [change.name for change in work(DEMO, moved)["hops"]]
    assert order[:3] == ["RIGHT", "LEFT", "FAR"] and order[-1] == "DROP"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (OnSupply("FAR", "PWR2"), Change("box", "FAR", "FAR", "supply", None, "PWR2")),
        (OtherLoad("PWR1", 9.0), Change("supply", "PWR1", "PWR1", "other_load_w", 640.0, 9.0)),
        (OtherPort("in 1", "RIGHT in 12"), None),
    ],
)
def test_one_change_of_the_rig_is_told_as_that(change, expected):
    after = changed(DEMO, [change])
    expected = expected or Change("input", "in 1", "in 1", "port", DEMO.line("in 1").port, "RIGHT in 12")
    assert changes(DEMO.plan, after.plan) == (expected,)


def test_another_cable_is_told_with_the_spare_that_it_was():
    after = changed(DEMO, [OtherCable("LEFT", "HP21")])
    assert set(changes(DEMO.plan, after.plan)) == {
        Change("box", "LEFT", "LEFT", "cable", "HP02", "HP21"),
        Change("cable", "HP21", "HP21", "spare", True, False),
        Change("cable", "HP02", "HP02", "spare", False, True),
    }


@pytest.mark.parametrize("table", ["rig", "link_kind", "cable_kind", "box_kind", *TABLES])
def test_no_field_of_a_plan_goes_untold(table):
    """Every field of a table, changed alone, is one change of that field."""
    entries = getattr(DEMO.plan, table)
    first = entries if table == "rig" else (entries if isinstance(entries, list) else [*entries.values()])[0]
    for field, info in type(first).model_fields.items():
        if table != "rig" and field in ("code", "number", "name"):
            continue
        other = put = first.model_copy(update={field: "something else"})
        if isinstance(entries, list):
            put = [other, *entries[1:]]
        elif table != "rig":
            put = entries | {next(iter(entries)): other}
        (told,) = changes(DEMO.plan, DEMO.plan.model_copy(update={table: put}))
        assert (told.table, told.field, told.new) == (table, info.alias or field, "something else")
