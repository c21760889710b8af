"""Remedies of random failing rigs: applied they work; where nothing is said to help, a search of everything agrees.

The search is written here, from the rules that the remedies keep: the same kinds of changes, each tried on a copy of
the rig and reviewed again.
"""

import math
import random
import re
from collections import Counter
from functools import cache
from itertools import combinations, product

import pytest

from checkapp.review.report import review
from checkapp.review.rules.listed import STOP_RULES
from checkapp.rig.change import CannotChange, OnSupply, OtherCable, OtherChain, OtherPort, changed
from checkapp.rig.planfile import load_plan

RIGS = 300
BLOCKS = 10
NOTHING = (
    "Nothing in the rig helps",
    "No other chain of",
    "No other supply of the rig has room",
    "No supply of the rig has room",
    "The rig has no supply",
    "No free port of the rig",
)
BESIDE = "with link power mended"
OUTSIDE = {"NewSupply", "NewCable", "NewChain", "OtherLoad"}
LINK_KINDS = ("cord", "rope")
RULES = {rule.__name__.replace("_", "-") for rule in STOP_RULES}


# --- rigs


def random_plan(chance):
    """A small rig with tight limits: two or three chains, up to six boxes, a few supplies, spares and lines."""
    plan = {"rig": {"name": "Random rig", "owner": "RR"}, **kinds(chance)}
    plan["chain"] = [{"code": code, "link": "deck"} for code in "AB"]
    if chance.random() < 0.4:
        plan["chain"].append({"code": "C", "link": chance.choice(["deck", "thread"])})
    if chance.random() < 0.15:
        for chain, desk in zip(plan["chain"], ("FOH", "FOH", "MON"), strict=False):
            chain["desk"] = desk
    plan["supply"] = [supply(chance, code) for code in ("C1", "C2")[: chance.choice([0, 1, 1, 2, 2])]]
    plan["cable"], plan["box"] = [], []
    add_boxes(chance, plan)
    for k in range(chance.choice([0, 1, 1, 2])):
        kind = chance.choice(["cord", "cord", "rope", "video", "lead"])
        add_cable(plan, f"SP{k}", kind, chance.choice([2.0, 5.0, 9.0, 14.0, 22.0]), spare=chance.random() < 0.8)
    if chance.random() < 0.5:
        for entry in (*plan["box"], *(chain for chain in plan["chain"] if "from" not in chain)):
            if chance.random() < 0.9:
                entry["at"] = [float(chance.randint(-8, 8)), float(chance.randint(-8, 8))]
    add_lines(chance, plan)
    return {table: entries for table, entries in plan.items() if entries}


def kinds(chance):
    deck = {"max_length_m": chance.choice([25.0, 40.0, 60.0]), "impedance_ohm": 110.0}
    optional = {"max_hop_m": [10.0, 20.0], "max_boxes": [1, 2, 3], "max_channels": [9, 12, 20]}
    deck |= {key: chance.choice(values) for key, values in optional.items() if chance.random() < 0.5}
    if chance.random() < 0.7:
        deck |= {"volts": 24.0, "max_amps": chance.choice([0.3, 0.6, 1.5]), "source_ohm": chance.choice([0.0, 0.5])}
    powered = {"min_volts": chance.choice([18.0, 21.0, 23.0]), "link_powered": True, "power_factor": 0.6}
    return {
        "link_kind": {"deck": deck, "thread": {"max_length_m": 50.0}},
        "cable_kind": {
            "cord": {"impedance_ohm": 110.0, "core_mm2": chance.choice([0.05, 0.14])},
            "rope": {"impedance_ohm": 100.0, "core_mm2": 0.75},
            "video": {"impedance_ohm": 75.0, "core_mm2": 2.5},
            "lead": {},
            "loom": {"ways": 4},
        },
        "box_kind": {
            "mic6": {"inputs": 6, "outputs": 0, "accepts": ["mic"], "draw_w": chance.choice([4.0, 9.0]), **powered},
            "hub": {"inputs": 2, "outputs": 2, "accepts": ["line"], "draw_w": 3.0, "repowers": True, **powered},
            "line4": {"inputs": 4, "outputs": 0, "accepts": ["line", "instrument"], "draw_w": 6.0},
            "all4": {"inputs": 4, "outputs": 0, "accepts": ["mic", "line"], "phantom": True, "draw_w": 5.0, **powered},
            "drop": {"inputs": 3, "outputs": 0, "passive": True},
        },
    }


def supply(chance, code):
    amps = chance.choice([0.05, 0.1, 0.2, 0.5, 6.0])
    return {
        "code": code,
        "volts": chance.choice([120.0, 230.0]),
        "breaker_amps": amps,
        "other_load_w": chance.choice([0.0, 0.0, 60.0 * amps, 180.0 * amps]),
    }


def add_cable(plan, code, kind, length_m, **more):
    plan["cable"].append({"code": code, "kind": kind, "length_m": length_m, **more})
    return code


def add_boxes(chance, plan):
    ends = {chain["code"]: chain["code"] for chain in plan["chain"]}
    for k in range(chance.randint(2, 6)):
        code, chain = f"SB{k}", chance.choice(list(ends))
        cable = add_cable(
            plan, f"LK{k}", chance.choice(["cord", "cord", "rope"]), chance.choice([3.0, 8.0, 14.0, 23.0])
        )
        kind = chance.choice(["mic6", "mic6", "hub", "line4", "all4"])
        box = {"code": code, "kind": kind, "fed_from": ends[chain], "cable": cable}
        if plan["supply"] and chance.random() < (0.7 if kind == "line4" else 0.3):
            box["supply"] = chance.choice(plan["supply"])["code"]
        if chance.random() < 0.3:
            box["place"] = chance.choice(["Left", "Right"])
        if kind == "hub" and ends[chain] in [one["code"] for one in plan["box"] if one["kind"] == "hub"]:
            box["repeats"] = ends[chain]
        plan["box"].append(box)
        ends[chain] = code
        if len(ends) == 2 and k == 2 and chance.random() < 0.2:
            plan["chain"].append({"code": "E", "link": "deck", "from": code})
            ends["E"] = "E"
    wide = [box["code"] for box in plan["box"] if box["kind"] != "hub"]
    if wide and chance.random() < 0.3:
        plan["box"].append({"code": "DR", "kind": "drop", "fed_from": f"{chance.choice(wide)} in 1", "cable": "LM"})
        add_cable(plan, "LM", "loom", 5.0)


def add_lines(chance, plan):
    drop = [box["fed_from"].split()[0] for box in plan["box"] if box["kind"] == "drop"]
    taken = {f"{code} in {number}" for code in drop for number in (1, 2, 3)}
    free = [
        f"{box['code']} in {number}"
        for box in plan["box"]
        for number in range(1, plan["box_kind"][box["kind"]]["inputs"] + 1)
    ]
    ports = chance.sample([port for port in free if port not in taken], min(3, len(free) - len(taken)))
    plan["input"] = [
        {
            "number": number,
            "name": f"Line {number}",
            "level": chance.choice(["mic", "mic", "line", "instrument"]),
            "phantom": chance.random() < 0.4,
            "port": port,
            "cable": add_cable(plan, f"XL{number}", "lead", 4.0),
        }
        for number, port in enumerate(ports, 1)
    ]
    if chance.random() < 0.3:  # all others are taken
        rest = [port for port in free if port not in taken and port not in ports]
        for number, port in enumerate(rest[chance.randint(0, 1) :], len(ports) + 1):
            line = {"number": number, "name": "Fill", "level": "mic", "port": port}
            plan["input"].append(line)


@pytest.fixture(scope="module")
def load(tmp_path_factory, plan_text):
    path = tmp_path_factory.mktemp("random") / "plan.toml"

    def read(data):
        path.write_text(plan_text(data), encoding="utf-8")
        return load_plan(path)

    return read


@pytest.fixture(scope="module")
def failing_rig(load):
    """The data and the rig of a seed: the first that has a stop."""

    @cache
    def find(seed):
        chance = random.Random(seed)
        while True:
            data = random_plan(chance)
            rig = load(data)
            if stops_of(rig):
                return data, rig

    return find


# --- what is found after a change


def stops_of(rig):
    """Rule and where of each stop, with how far it is beyond its limit, as a share of it."""
    found = [finding for rule in STOP_RULES for finding in rule(rig) if finding.level == "stop"]
    return {(one.rule, one.where): abs(one.value - one.limit) / one.limit if one.limit else 0.0 for one in found}


def cleared(rig, before, way):
    """The stops that are gone after a change; none when it cannot be made, or another stop is new or worse."""
    try:
        after = stops_of(changed(rig, way))
    except CannotChange:
        return set()
    harm = [key for key, beyond in after.items() if key not in before or beyond > before[key] * (1 + 1e-9)]
    return set() if harm else before.keys() - after.keys()


# --- all ways there are


def distance_m(rig, feeder, box):
    chain = rig.chains.get(feeder)
    start = chain.at if chain and not chain.start else rig.boxes[chain.start if chain else feeder].at
    return None if start is None or box.at is None else math.dist(start, box.at)


def too_short(rig, feeder, box, cable):
    needed_m = distance_m(rig, feeder, box)
    return needed_m is not None and needed_m > cable.length_m * (1 + 1e-9)


def swaps_on(rig, boxes):
    """The spares of a kind for links that reach, for each box."""
    used = {one.cable for one in (*rig.boxes.values(), *rig.lines)}
    spares = [new for new in rig.cables.values() if new.code not in used and new.kind in LINK_KINDS]
    for box in boxes:
        old = rig.cables[box.cable]
        for new in spares:
            if new.length_m >= old.length_m or not too_short(rig, box.fed_from, box, new):
                yield OtherCable(box.code, new.code)


def swap_sets(rig, boxes):
    swaps = list(swaps_on(rig, boxes))
    for size in range(len(boxes) + 1):
        for chosen in combinations(swaps, size):
            if len({one.box for one in chosen}) == len({one.cable for one in chosen}) == size:
                yield chosen


def ways_for_link(rig, finding):
    chain = rig.chain_of(finding.where) if finding.where in rig.boxes else finding.where.removeprefix("chain ")
    boxes = rig.boxes_on(chain)
    lone = [box for box in boxes if box.supply is None and (rig.box_kind(box).draw_w or rig.box_kind(box).repowers)]
    for supplies in product((None, *rig.supplies), repeat=len(lone)):
        put = [OnSupply(box.code, code) for box, code in zip(lone, supplies, strict=True) if code]
        for swaps in swap_sets(rig, boxes):
            yield (*put, *swaps)


def ways_for_chain(rig, finding):
    chain = rig.chains[finding.where.removeprefix("chain ")]
    boxes = rig.boxes_on(chain.code)
    if finding.rule == "chain-length":
        yield from swap_sets(rig, boxes)
    others = [one.code for one in rig.chains.values() if one.link == chain.link and one is not chain]
    for size in range(1, len(boxes) + 1):
        for places in product(others, repeat=size):
            way = moves(boxes[-size:], places)
            if all(reach(rig, way)):
                yield way


def moves(tail, places):
    """Neighbours that go to the same chain go together, the last first."""
    blocks = []
    for box, place in zip(tail, places, strict=True):
        if blocks and blocks[-1][1] == place:
            blocks[-1][0].append(box.code)
        else:
            blocks.append(([box.code], place))
    return tuple(OtherChain(tuple(codes), place) for codes, place in reversed(blocks))


def reach(rig, way):
    ends = {code: [code, *(box.code for box in rig.boxes_on(code))] for code in rig.chains}
    for one in way:
        box = rig.boxes[one.boxes[0]]
        yield not too_short(rig, ends[one.chain][-1], box, rig.cables[box.cable])
        ends[one.chain] += one.boxes


def ways_for_hop(rig, finding):
    box = next(box for box in rig.boxes.values() if box.cable == finding.where)
    return [(swap,) for swap in swaps_on(rig, [box])]


def ways_for_power(rig, finding):
    return [(OnSupply(finding.where, code),) for code in rig.supplies]


def ways_for_line(rig, finding):
    return [(OtherPort(finding.where, port),) for box in rig.boxes.values() for port in rig.ports(box)]


def ways_for_load(rig, finding):
    on_it = [box.code for box in rig.boxes.values() if box.supply == finding.where]
    for supplies in product((None, *rig.supplies), repeat=len(on_it)):
        yield tuple(OnSupply(box, code) for box, code in zip(on_it, supplies, strict=True) if code)


ALL_WAYS = {
    "chain-length": ways_for_chain,
    "chain-boxes": ways_for_chain,
    "chain-channels": ways_for_chain,
    "hop-length": ways_for_hop,
    "link-current": ways_for_link,
    "link-volts": ways_for_link,
    "link-collapse": ways_for_link,
    "no-power": ways_for_power,
    "level": ways_for_line,
    "phantom": ways_for_line,
    "mains-load": ways_for_load,
}


def size_of(way):
    return sum(len(one.boxes) if isinstance(one, OtherChain) else 1 for one in way)


# --- the tests


def stop_findings(rig):
    return [finding for finding in review(rig).findings if finding.level == "stop"]


def words(text):
    return set(re.findall(r"[A-Z0-9]+(?: (?:in|out) \d+)?", text)) | set(re.findall(r"[A-Z0-9]+", text))


def codes_of(change):
    parts = [getattr(change, name) for name in change.__dataclass_fields__]
    flat = [one for part in parts for one in (part if isinstance(part, tuple) else (part,))]
    return {one for one in flat if isinstance(one, str) and not one.startswith("FURTHER")}


@pytest.mark.independent
@pytest.mark.parametrize("block", range(BLOCKS))
def test_what_a_remedy_says_works_when_it_is_done(failing_rig, block):
    seen = Counter()
    for seed in range(block * RIGS // BLOCKS, (block + 1) * RIGS // BLOCKS):
        _, rig = failing_rig(seed)
        before = stops_of(rig)
        for finding in stop_findings(rig):
            seen[finding.rule] += 1
            assert finding.remedy
            for way in finding.ways:
                assert (finding.rule, finding.where) in cleared(rig, before, way), (seed, finding)
            for way in [] if BESIDE in finding.remedy.lower() else finding.ways:
                told = set().union(*(codes_of(change) for change in way)) - {finding.where}
                assert told <= words(finding.remedy), (seed, finding)
            in_rig = [way for way in finding.ways if not {type(one).__name__ for one in way} & OUTSIDE]
            nothing = finding.remedy.startswith(NOTHING)
            assert bool(in_rig) != nothing or BESIDE in finding.remedy.lower(), (seed, finding)
    assert sum(seen.values()) >= RIGS // BLOCKS


def test_the_random_rigs_break_every_rule_and_know_both_answers(failing_rig):
    seen = Counter()
    for seed in range(RIGS):
        for finding in stop_findings(failing_rig(seed)[1]):
            seen[finding.rule, finding.remedy.startswith(NOTHING)] += 1
    assert {rule for rule, _ in seen} == RULES
    assert all(seen[rule, nothing] >= 4 for rule in RULES for nothing in (False, True)), seen


@pytest.mark.independent
@pytest.mark.parametrize("block", range(BLOCKS))
def test_where_nothing_is_said_to_help_nothing_does_and_no_smaller_way_works(failing_rig, block):
    for seed in range(block * RIGS // BLOCKS, (block + 1) * RIGS // BLOCKS):
        _, rig = failing_rig(seed)
        before, findings = stops_of(rig), stop_findings(rig)
        for finding in findings:
            nothing = finding.remedy.startswith(NOTHING)
            if finding.rule == "mains-load" and not nothing:
                continue  # leaving every supply at 80 percent goes before fewer boxes
            wanted = {(one.rule, one.where) for one in findings if one.remedy == finding.remedy}
            if nothing:
                wanted = {(finding.rule, finding.where)}
            most = math.inf if nothing else size_of(finding.ways[0]) - 1
            if any(chain.desk == "MON" for chain in rig.chains.values()) and not nothing:
                continue  # chains of the same desk go before fewer boxes
            for way in ALL_WAYS[finding.rule](rig, finding):
                if 0 < size_of(way) <= most:
                    assert not wanted <= cleared(rig, before, way), (seed, finding, way)


@pytest.mark.independent
def test_a_remedy_written_into_the_plan_works(failing_rig, load, written_into):
    tried = Counter()
    for seed in range(0, RIGS, 10):
        data, rig = failing_rig(seed)
        before = stops_of(rig)
        for finding in stop_findings(rig):
            for way in finding.ways:
                after = stops_of(load(written_into(data, way)))
                assert (finding.rule, finding.where) not in after, (seed, finding)
                assert after.keys() <= before.keys(), (seed, finding)
                tried[finding.rule] += 1
    assert sum(tried.values()) > 60
    assert len(tried) >= 9
