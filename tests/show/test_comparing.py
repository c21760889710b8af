"""Two plans compared: what is to be minded, the JSON document, and what comes first."""

import json

import pytest

from checkapp.rig.change import NewSupply, OnSupply, OtherCable, OtherPort, changed
from checkapp.rig.errors import PlanRefused
from checkapp.rig.model import Supply
from checkapp.rig.rig import Rig
from checkapp.show.cautions import MAINS, MUTE, NO_GUESS, PHANTOM
from checkapp.show.comparing import cautions, changed_lines, compare_plans, compared, document


def with_line(rig, name, **fields):
    tables = {"input": rig.plan.input, "output": rig.plan.output}
    put = {
        table: [one.model_copy(update=fields) if one.line == name else one for one in lines]
        for table, lines in tables.items()
    }
    return Rig(rig.plan.model_copy(update=put), rig.digest, rig.file)


def test_a_plan_and_itself(plans):
    found = compare_plans(plans / "demo.toml", plans / "demo.toml")
    assert found.same
    assert found.again == found.blocking == found.gone == cautions(found) == ()
    told = document(found)
    assert told["same"] is True
    assert told["old"] == told["new"]
    assert [step["changes"] for step in told["steps"]] == [[]] * 7
    assert told["check_again"] == told["cautions"] == told["unplug_first"] == []


def test_a_plan_with_a_fault_is_refused(plans):
    with pytest.raises(PlanRefused):
        compare_plans(plans / "demo.toml", plans / "nowhere.toml")


def test_a_line_without_phantom_power_is_muted(demo):
    assert cautions(compared(demo, changed(demo, [OtherPort("in 32", "RIGHT in 10")]))) == (MUTE,)


def test_lines_with_phantom_power_are_named_as_either_plan_has_them(demo):
    (told,) = cautions(
        compared(demo, with_line(changed(demo, [OtherPort("in 33", "RIGHT in 10")]), "in 32", phantom=True))
    )
    assert told == (
        f"{PHANTOM} By the old plan it is on for in 33: off before they are unplugged. "
        f"By the new plan it is on for in 32 to 33. {NO_GUESS}"
    )


def test_a_line_with_phantom_power_that_is_gone_is_named_too(demo):
    left = [line for line in demo.plan.input if line.number != 33]
    new = Rig(demo.plan.model_copy(update={"input": left}), demo.digest, demo.file)
    found = compared(demo, new)
    assert [line.line for line in found.gone] == ["in 33"]
    assert "on for in 33: off before" in cautions(found)[0]
    assert found.again == ()


def test_a_hop_that_is_re_plugged_names_the_phantom_power_behind_it(demo):
    (told,) = cautions(compared(demo, changed(demo, [OtherCable("LEFT", "HP21")])))
    assert "By the old plan it is on for in 40 to 43 and in 45: off" in told


@pytest.mark.parametrize(
    "change", [OnSupply("FAR", "PWR3"), NewSupply(Supply(code="PWR9", volts=230.0, breaker_amps=16.0))]
)
def test_mains_bring_their_caution(demo, change):
    assert MAINS in cautions(compared(demo, changed(demo, [change])))


def test_what_is_only_written_otherwise_brings_none(demo):
    found = compared(demo, with_line(demo, "in 1", note="nearer"))
    assert cautions(found) == found.again == ()
    assert not found.same


def test_the_document_of_two_lines_that_change_places(demo):
    there, here = demo.line("in 32").port, demo.line("in 35").port
    found = compared(demo, with_line(with_line(demo, "in 32", port=here), "in 35", port=there))
    told = json.loads(json.dumps(document(found), allow_nan=False))
    assert set(told) == {"old", "new", "same", "cautions", "unplug_first", "steps", "check_again"}
    assert told["unplug_first"] == [
        {"line": "in 32", "name": "Bass guitar", "port": there},
        {"line": "in 35", "name": "Guitar vocal", "port": here},
    ]
    steps = {step["step"]: step["changes"] for step in told["steps"]}
    assert list(steps) == ["unplug", "power", "hops", "lines", "desk", "stock", "paper"]
    assert steps["lines"][1] == {
        "table": "input",
        "field": "port",
        "old_name": "in 32",
        "new_name": "in 32",
        "old": there,
        "new": here,
        "words": f"in 32 Bass guitar, port: {there} becomes {here}",
    }
    assert told["check_again"][0] == {
        "line": "in 32",
        "was": "in 32",
        "name": "Bass guitar",
        "port": here,
        "reasons": [{"what": "port", "old": [there], "new": [here], "words": f"{here}, not {there}"}],
    }
    assert [one["line"] for one in told["check_again"]] == list(changed_lines(demo, found.new)) == ["in 32", "in 35"]


def test_an_entry_is_told_by_the_fields_that_say_something(demo):
    new = changed(demo, [NewSupply(Supply(code="PWR9", volts=230.0, breaker_amps=16.0))])
    (change,) = next(step["changes"] for step in document(compared(demo, new))["steps"] if step["step"] == "power")
    assert change["old"] is None
    assert change["new"]["code"] == "PWR9"
    assert "phase" not in change["new"]
    assert change["words"] == "PWR9, new: 230 V, 16 A"
