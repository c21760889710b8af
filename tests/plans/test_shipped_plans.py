"""The plans that we ship: what the demo rig has, that it works, and that the wrong one is wrong in every way."""

import math
import tomllib
from collections import Counter
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from checkapp.changeover.difference import STEPS
from checkapp.review.report import Review, review
from checkapp.review.rules.listed import RULES
from checkapp.rig.codes import read_port
from checkapp.rig.model import Box, Input, Output
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.comparing import compared

PLANS = Path(__file__).parents[2] / "plans"
NAMES = ("demo", "next", "small", "wrong")
RULE_NAMES = {rule.__name__.replace("_", "-") for rule in RULES}


@cache
def rig_of(name: str) -> Rig:
    return load_plan(PLANS / f"{name}.toml")


@cache
def review_of(name: str) -> Review:
    return review(rig_of(name))


@pytest.fixture
def demo() -> Rig:
    return rig_of("demo")


def passive(rig: Rig) -> list[Box]:
    return [box for box in rig.boxes.values() if rig.box_kind(box).passive]


def test_the_folder_holds_these_plans_and_the_kinds():
    assert {path.name for path in PLANS.iterdir()} == {*(f"{n}.toml" for n in NAMES), "kinds.toml"}


@pytest.mark.parametrize("name", NAMES)
def test_every_line_has_a_path_from_its_source_to_the_desk(name):
    rig = rig_of(name)
    for line in rig.lines:
        path = rig.path(line.line)
        assert path[0].kind == "source"
        assert path[-1] == (f"desk {line.line}", "desk")
        port = read_port(line.port)
        assert (str(port), "port") in path
        if port.code != "DESK":
            assert any(item.kind == "chain" for item in path)


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_begins_with_a_comment_that_says_what_it_is(name):
    text = (PLANS / f"{name}.toml").read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert max(len(row) for row in text.splitlines()) <= 110, "too wide to read side by side"
    assert load_plan(PLANS / f"{name}.toml").version is not None


def test_every_kind_is_used_by_a_plan():
    kinds = tomllib.loads((PLANS / "kinds.toml").read_text(encoding="utf-8"))
    rigs = [rig_of(name) for name in NAMES]
    used = {
        "link_kind": {chain.link for rig in rigs for chain in rig.chains.values()},
        "cable_kind": {cable.kind for rig in rigs for cable in rig.cables.values()},
        "box_kind": {box.kind for rig in rigs for box in rig.boxes.values()},
    }
    for table, names in used.items():
        assert set(kinds[table]) <= names


# The demo rig.


def test_the_demo_rig_has_48_inputs_and_12_outputs(demo):
    inputs = [line.number for line in demo.lines if isinstance(line, Input)]
    outputs = [line.number for line in demo.lines if isinstance(line, Output)]
    assert inputs == list(range(1, 49))
    assert outputs == list(range(1, 13))


def test_it_has_two_chains_three_supplies_and_seven_boxes_or_more(demo):
    assert len(demo.chains) == 2
    assert len(demo.supplies) == 3
    assert len(demo.boxes) >= 7
    assert {demo.chain_of(code) for code in demo.boxes} == set(demo.chains)
    assert {box.supply for box in demo.boxes.values()} == {None, *demo.supplies}


def test_one_box_is_passive_on_a_multicore_that_has_a_way_for_each_port(demo):
    (drop,) = passive(demo)
    kind, cable = demo.box_kind(drop), demo.cable_kind(demo.cables[drop.cable])
    assert cable.ways == kind.inputs + kind.outputs
    assert drop.outputs_from is not None
    used = [line for line in demo.lines if line.port.startswith(drop.code + " ")]
    assert {type(line) for line in used} == {Input, Output}
    assert {"mic"} == {line.level for line in used if isinstance(line, Input)}


def test_one_box_repeats_the_outputs_of_another_and_has_none_too_many(demo):
    (box,) = (box for box in demo.boxes.values() if box.repeats)
    other = demo.boxes[box.repeats]
    assert demo.chain_of(box.code) == demo.chain_of(other.code)
    assert demo.box_kind(box).outputs <= demo.box_kind(other).outputs
    assert any(line.port.startswith(box.code + " out") for line in demo.lines)


def test_repeated_outputs_carry_the_mix_of_the_output_that_they_repeat(demo):
    by_port = {line.port: line.name for line in demo.lines if isinstance(line, Output)}
    twins = [port for port in by_port if port.startswith("FAR ")]
    assert twins
    for port in twins:
        assert by_port[port].split()[0] == by_port[port.replace("FAR", "RIGHT")].split()[0]


def test_it_has_an_insert_that_the_line_needs(demo):
    (insert,) = demo.plan.insert
    assert not insert.parallel
    path = [item.name for item in demo.path(f"in {insert.input}")]
    assert insert.send in path
    assert insert.back in path


def test_there_is_a_spare_of_every_kind_of_cable_in_use(demo):
    used = {cable.kind for cable in demo.cables.values() if not cable.spare}
    spare = {cable.kind for cable in demo.cables.values() if cable.spare}
    assert used == spare


def test_every_cable_and_source_is_used_once_or_spare(demo):
    hops = Counter(box.cable for box in demo.boxes.values())
    leads = Counter((line.cable, line.way) for line in demo.lines)
    assert max(hops.values()) == max(leads.values()) == 1
    in_use = set(hops) | {cable for cable, _ in leads}
    assert in_use == {cable.code for cable in demo.cables.values() if not cable.spare}
    sources = [line.source for line in demo.lines if isinstance(line, Input) and line.source]
    assert sorted(sources) == sorted(demo.sources)


def test_some_things_are_hired_some_lengths_in_feet_one_core_by_gauge(demo):
    assert {code for code in demo.cables if demo.owner_of(code) != demo.owner}
    assert {code for code in demo.sources if demo.owner_of(code) != demo.owner}
    assert any(cable.written_ft for cable in demo.cables.values())
    assert any(kind.core_awg for kind in demo.plan.cable_kind.values())


def test_every_box_has_a_place_and_hops_reach_from_one_to_the_next(demo):
    for box in demo.boxes.values():
        assert box.place
        assert box.at is not None
        feeder = read_port(box.fed_from)
        before = feeder.code if feeder else box.fed_from
        start = demo.boxes[before].at if before in demo.boxes else demo.chains[before].at
        metres = math.dist(start, box.at)
        length_m = demo.cables[box.cable].length_m
        assert metres < length_m < 2 * metres + 10, box.code


def test_condensers_and_active_boxes_of_sources_get_phantom_and_nothing_else_does(demo):
    for line in demo.lines:
        if not isinstance(line, Input):
            continue
        kind = demo.sources[line.source].kind if line.source else None
        assert line.phantom == (line.phantom_ma is not None)
        assert not (line.phantom and line.level != "mic")
        if kind in ("active DI", "small condenser"):
            assert line.phantom, line.name
        if kind in ("passive DI", "vocal microphone", "radio receiver"):
            assert not line.phantom, line.name
        # IEC 61938: a P48 supply gives 10 mA at most
        assert (line.phantom_ma or 0.0) <= 10.0


def test_every_input_has_a_zone_and_zones_are_walked_in_one_go(demo):
    zones = [line.zone for line in demo.lines if isinstance(line, Input)]
    assert None not in zones
    changes = sum(1 for before, after in pairwise(zones) if before != after)
    assert changes == len(set(zones)) - 1
    assert any(line.stand for line in demo.lines if isinstance(line, Input))
    assert any(line.note for line in demo.lines)
    assert sum(1 for box in demo.boxes.values() if box.settings) >= 2


def test_ports_are_left_over_to_move_a_line_to(demo):
    used = {line.port for line in demo.lines}
    for chain in demo.chains:
        ports = [
            f"{box.code} in {number}"
            for box in demo.boxes_on(chain)
            for number in range(1, demo.box_kind(box).inputs + 1)
        ]
        assert len(set(ports) - used) >= 2


def test_the_demo_rig_works():
    found = review_of("demo")
    assert not [finding for finding in found.findings if finding.level == "stop"]
    for chain in found.chains:
        assert chain.power.state == "ok"
        assert len(chain.power.sources) >= 2, "a box on its own supply feeds on"


def test_the_little_that_is_found_in_the_demo_rig_is_told_in_its_comments():
    found = review_of("demo").findings
    assert 3 <= len(found) <= 6
    assert {one.rule for one in found} == told("demo")


@pytest.mark.closed_form
@pytest.mark.parametrize(("chain", "box", "metres"), [("FRONT", "RIGHT", 45.0), ("BACK", "DRUM", None)])
def test_link_power_of_the_first_load_by_hand(chain, box, metres):
    """One constant-power load behind a resistance: V = (Vs + sqrt(Vs^2 - 4 P R))/2, the upper root.

    18 AWG is 0.8230 mm2 (ASTM B258), copper 1/58 ohm mm2/m at 20 C and 0.00393 /K (IEC 60028), 25 C in the plan.
    """
    warm = 1 + 0.00393 * 5
    rope, cord = 2 / (58 * 0.8230) * warm, 2 / (58 * 0.6) * warm
    loop_ohm = 0.2 + (metres * rope if metres else 55 * rope + 12 * cord)
    volts = (33 + math.sqrt(33**2 - 4 * 17.5 * loop_ohm)) / 2
    (power,) = (one.power for one in review_of("demo").chains if one.code == chain)
    found = {one.code: one.volts for one in power.boxes}
    assert found[box] == pytest.approx(volts, abs=2e-4)  # the area is printed to four figures


# The rig of the next act.


def test_the_next_act_stands_on_the_same_boxes_and_works(demo):
    after = rig_of("next")
    assert list(after.boxes) == list(demo.boxes)
    hops = {box.cable for box in demo.boxes.values()}
    assert {box.cable for box in after.boxes.values()} == hops
    assert all(after.cables[hop] == demo.cables[hop] for hop in hops)
    assert not [one for one in review_of("next").findings if one.level != "note"]


def test_from_the_demo_to_the_next_act_there_is_something_of_every_sort_to_do(demo):
    found = compared(demo, rig_of("next"))
    assert {step for step, changes in found.work.items() if changes} == set(STEPS) - {"hops"}
    assert found.blocking
    assert found.gone
    assert 5 <= len(found.again) <= 15


# The small rig.


def test_the_small_rig_has_eight_lines_and_works():
    rig = rig_of("small")
    assert len(rig.lines) == 8
    assert len(rig.boxes) <= 2
    assert not review_of("small").findings


# The rig that is wrong.


def told(name: str) -> set[str]:
    """The rules that the comments of a plan name."""
    text = (PLANS / f"{name}.toml").read_text(encoding="utf-8")
    return {rule for rule in RULE_NAMES if f"# {rule}: " in text or f"# {rule}, " in text}


def test_the_wrong_rig_breaks_every_rule():
    assert {one.rule for one in review_of("wrong").findings} == RULE_NAMES == told("wrong")
    levels = Counter(one.level for one in review_of("wrong").findings)
    assert levels["stop"] == 12
    assert levels["caution"] >= 4


def test_each_finding_of_the_wrong_rig_is_told_by_a_comment():
    """What a comment promises is found, and nothing is found that no comment tells."""
    text = (PLANS / "wrong.toml").read_text(encoding="utf-8")
    promised = Counter(rule for rule in RULE_NAMES for row in text.splitlines() if row.startswith(f"# {rule}: "))
    assert Counter(one.rule for one in review_of("wrong").findings) == promised


def test_the_powered_chains_of_the_wrong_rig_fail_each_in_its_own_way():
    states = {chain.code: chain.power.state for chain in review_of("wrong").chains}
    assert states == {
        "LONG": "none",
        "DIM": "under-volts",
        "GONE": "collapsed",
        "HOT": "over-current",
    }
