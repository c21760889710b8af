"""The whole review: its order, its document, the shipped plans, and plans of any numbers."""

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.review.findings import LEVELS, Finding, worst_first
from checkapp.review.report import review, to_json
from checkapp.review.rules.listed import RULES
from checkapp.rig.planfile import load_plan

PLANS = Path(__file__).parents[2] / "plans"
STOP_RULES = [
    "chain-length",
    "hop-length",
    "chain-boxes",
    "chain-channels",
    "link-current",
    "link-volts",
    "link-collapse",
    "no-power",
    "level",
    "phantom",
    "mains-load",
]
OTHER_RULES = [
    "cable-impedance",
    "mains-drop",
    "insert-delay",
    "margin",
    "unused",
    "phantom-draw",
    "no-spare",
    "mixed-cables",
    "alike-codes",
    "no-place",
    "no-zone",
]
ALL_RULES = STOP_RULES + OTHER_RULES
FINDING = {
    "type": "object",
    "additionalProperties": False,
    "required": ["rule", "level", "where", "value", "limit", "unit", "message", "remedy", "basis"],
    "properties": {
        "rule": {"type": "string"},
        "level": {"enum": ["stop", "caution", "note"]},
        "where": {"type": "string"},
        "value": {"type": ["number", "null"]},
        "limit": {"type": ["number", "null"]},
        "unit": {"enum": ["m", "boxes", "slots", "A", "V", "W", "ohm", "%", "us", None]},
        "message": {"type": "string", "minLength": 1},
        "remedy": {"type": "string", "minLength": 1},
        "basis": {"type": "string", "minLength": 1},
    },
}


def table(required):
    return {"type": "object", "additionalProperties": False, "required": list(required), "properties": required}


def rows(required):
    return {"type": "array", "items": table(required)}


AMOUNT = {"type": ["number", "null"]}
TEXT = {"type": "string"}
COUNT = {"type": "integer", "minimum": 0}
DOCUMENT = table(
    {
        "rig": TEXT,
        "findings": {"type": "array", "items": FINDING},
        "chains": rows(
            {
                "code": TEXT,
                "length_m": {"type": "number"},
                "boxes": COUNT,
                "channels_used": COUNT,
                "power": table(
                    {
                        "state": {"enum": ["none", "collapsed", "over-current", "under-volts", "ok"]},
                        "source_amps": AMOUNT,
                        "source_watts": AMOUNT,
                        "sources": rows({"at": TEXT, "amps": AMOUNT, "watts": AMOUNT}),
                        "boxes": rows({"code": TEXT, "volts": AMOUNT, "amps": AMOUNT}),
                    }
                ),
                "slots": rows({"box": TEXT, "direction": {"enum": ["in", "out"]}, "first": COUNT, "last": COUNT}),
            }
        ),
    }
)


def document(path):
    return json.loads(json.dumps(to_json(review(load_plan(path))), allow_nan=False))


@pytest.mark.parametrize("name", ["demo", "small", "wrong"])
def test_the_document_has_its_shape(name):
    from jsonschema import validate

    validate(document(PLANS / f"{name}.toml"), DOCUMENT)


def test_the_wrong_plan_breaks_every_stop_rule_and_the_others_none():
    wrong = review(load_plan(PLANS / "wrong.toml"))
    assert {f.rule for f in wrong.findings if f.level == "stop"} == set(STOP_RULES)
    assert wrong.has_stop
    for name in ("demo", "small"):
        assert not review(load_plan(PLANS / f"{name}.toml")).has_stop


def test_findings_stand_worst_first_then_in_the_order_of_the_rules():
    findings = review(load_plan(PLANS / "wrong.toml")).findings
    places = [(LEVELS.index(f.level), ALL_RULES.index(f.rule)) for f in findings]
    assert places == sorted(places)
    assert {f.level for f in findings} == set(LEVELS)
    assert [rule.__name__.replace("_", "-") for rule in RULES] == ALL_RULES


def test_within_a_level_the_order_is_kept():
    def finding(level, where):
        return Finding("level", level, where, "", "")

    mixed = [finding("note", "1"), finding("stop", "2"), finding("caution", "3"), finding("stop", "4")]
    assert [f.where for f in worst_first(mixed)] == ["2", "4", "3", "1"]


PLAN = """
[link_kind.deck]
max_length_m = 60.0
volts = 48.0
max_amps = 5.0
[cable_kind.cord]
loop_ohm_per_m = 1.0
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
draw_w = 24.0
link_powered = true
[[chain]]
code = "A"
link = "deck"
[[cable]]
code = "LK1"
kind = "cord"
length_m = 18.0
[[box]]
code = "SB1"
kind = "eight"
fed_from = "A"
cable = "LK1"
"""


@pytest.mark.closed_form
def test_a_document_in_full(rig_of):
    """48 V, 18 ohm, 24 W: 36 V and 2/3 A."""
    two_thirds = pytest.approx(2 / 3, abs=1e-12)
    found = to_json(review(rig_of(PLAN)))
    assert [(f["rule"], f["where"]) for f in found["findings"]] == [
        ("unused", "SB1"),
        ("no-spare", "LK1"),
        ("no-place", "SB1"),
    ]
    assert {**found, "findings": []} == {
        "rig": "Test rig",
        "findings": [],
        "chains": [
            {
                "code": "A",
                "length_m": 18.0,
                "boxes": 1,
                "channels_used": 12,
                "power": {
                    "state": "ok",
                    "source_amps": two_thirds,
                    "source_watts": pytest.approx(32.0, abs=1e-11),
                    "sources": [{"at": "chain A", "amps": two_thirds, "watts": pytest.approx(32.0, abs=1e-11)}],
                    "boxes": [{"code": "SB1", "volts": pytest.approx(36.0, abs=1e-11), "amps": two_thirds}],
                },
                "slots": [
                    {"box": "SB1", "direction": "in", "first": 1, "last": 8},
                    {"box": "SB1", "direction": "out", "first": 1, "last": 4},
                ],
            }
        ],
    }


def test_a_collapsed_chain_has_no_numbers(rig_of):
    power = to_json(review(rig_of(PLAN.replace("draw_w = 24.0", "draw_w = 33.0"))))["chains"][0]["power"]
    assert power == {
        "state": "collapsed",
        "source_amps": None,
        "source_watts": None,
        "sources": [{"at": "chain A", "amps": None, "watts": None}],
        "boxes": [{"code": "SB1", "volts": None, "amps": None}],
    }


def test_a_chain_without_link_power_has_no_sources(rig_of):
    power = to_json(review(rig_of(PLAN.replace("volts = 48.0\nmax_amps = 5.0", ""))))["chains"][0]["power"]
    assert power == {
        "state": "none",
        "source_amps": None,
        "source_watts": None,
        "sources": [],
        "boxes": [{"code": "SB1", "volts": None, "amps": None}],
    }


_SIZES = st.one_of(st.floats(1e-3, 1e3), st.sampled_from([1e-12, 1e-6, 1e6, 1e12]))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(numbers=st.lists(_SIZES, min_size=5, max_size=5))
def test_numbers_of_any_size_give_a_document(rig_of, numbers):
    text = PLAN + '[[cable]]\ncode = "LK2"\nkind = "cord"\nlength_m = 1e12\n'
    text += '[[box]]\ncode = "SB2"\nkind = "eight"\nfed_from = "SB1"\ncable = "LK2"\nsupply = "C1"\n'
    text += '[[supply]]\ncode = "C1"\nvolts = 24.5\nbreaker_amps = 1.0\nother_load_w = 1e12\n'
    for old, new in zip(["48.0", "5.0", "1.0", "24.0", "24.5"], numbers, strict=True):
        text = text.replace(f" = {old}\n", f" = {new!r}\n")
    found = to_json(review(rig_of(text)))
    assert json.loads(json.dumps(found, allow_nan=False)) == found


EXTREMES = """
[link_kind.deck]
max_length_m = 60.0
impedance_ohm = OHM
hop_delay_us = DELAY
[cable_kind.cord]
impedance_ohm = 110.0
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
draw_w = WATTS
[[chain]]
code = "A"
link = "deck"
[[supply]]
code = "C1"
volts = VOLTS
breaker_amps = 16.0
cable_m = METRES
core_CORE
conductor_c = -59.9
[[cable]]
code = "LK1"
kind = "cord"
length_m = 18.0
[[box]]
code = "SB1"
kind = "eight"
fed_from = "A"
cable = "LK1"
supply = "C1"
[[input]]
number = 1
name = "Voice"
level = "line"
phantom = true
phantom_ma = MILLI
port = "SB1 in 1"
[[insert]]
name = "Leveller"
input = 1
send = "SB1 out 1"
return = "SB1 in 2"
parallel = true
"""


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(
    numbers=st.lists(_SIZES, min_size=7, max_size=7),
    core=st.one_of(st.floats(0.01, 60.0).map("awg = {!r}".format), _SIZES.map("mm2 = {!r}".format)),
)
def test_feeders_inserts_and_impedances_of_any_size_give_a_document(rig_of, numbers, core):
    text = f"sample_rate_hz = {numbers[0]!r}\n" + EXTREMES.replace("CORE", core)
    for name, number in zip(["OHM", "DELAY", "WATTS", "VOLTS", "METRES", "MILLI"], numbers[1:], strict=True):
        text = text.replace(f" = {name}\n", f" = {number!r}\n")
    found = to_json(review(rig_of(text)))
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert {"insert-delay", "phantom"} <= {finding["rule"] for finding in found["findings"]}
