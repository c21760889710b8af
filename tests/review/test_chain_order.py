"""Chains in a better order: against trying everything, never longer, never a plan that works less."""

import math
import random
from itertools import permutations

import pytest

from checkapp.review.chain_order import PlacesTooFar, order_chain
from checkapp.review.report import review
from checkapp.rig.edit import with_edits

HEAD = """
[link_kind.wire]
max_length_m = 900.0
[cable_kind.hop]
[cable_kind.other]
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
[box_kind.drop]
inputs = 4
outputs = 0
passive = true
"""


def plan(places, cables, spares=(), start=(0.0, 0.0), more=""):
    """One chain: boxes S1.. at these places with hop cables H1.. of these metres, spares P1.. ."""
    text = HEAD + f'[[chain]]\ncode = "A"\nlink = "wire"\nat = {list(start)}\n'
    for number, (at, metres) in enumerate(zip(places, cables, strict=True), 1):
        feed = f"S{number - 1}" if number > 1 else "A"
        text += f'[[cable]]\ncode = "H{number}"\nkind = "hop"\nlength_m = {metres}\n'
        text += f'[[box]]\ncode = "S{number}"\nkind = "eight"\nfed_from = "{feed}"\ncable = "H{number}"\n'
        text += "" if at is None else f"at = {list(at)}\n"
    for number, metres in enumerate(spares, 1):
        text += f'[[cable]]\ncode = "P{number}"\nkind = "hop"\nlength_m = {metres}\nspare = true\n'
    return text + more


def order_of(found):
    return [hop.box for hop in found.hops]


def cables_of(found):
    return [hop.cable.code if hop.cable else None for hop in found.hops]


def least_m(needs, lengths):
    """The fewest metres that reach all needs, of all choices; None when none does."""
    found = [
        sum(choice)
        for choice in permutations(lengths, len(needs))
        if all(one >= need for one, need in zip(choice, needs, strict=True))
    ]
    return min(found, default=None)


@pytest.mark.independent
@pytest.mark.parametrize("part", range(4))
def test_random_chains_against_trying_everything(rig_of, part):
    seen = set()
    for seed in range(60 * part, 60 * part + 60):
        chance = random.Random(seed)
        count = chance.randint(1, 5)
        start, slack_m = (chance.uniform(-5, 5), -20.0), chance.choice([0.0, 1.5, 4.0])
        places = [(chance.uniform(-15, 15), chance.uniform(0, 10)) for _ in range(count)]
        cables = [chance.choice([12.0, 20.0, 25.0, 35.0, 45.0]) for _ in places]
        spares = [chance.choice([4.0, 8.0, 15.24, 30.0]) for _ in range(chance.randint(0, 2))]
        rig = rig_of(plan(places, cables, spares, start))
        found = order_chain(rig, "A", slack_m)
        ways = {order: sum(map(math.dist, (start, *order), order)) for order in permutations(places)}
        by_place = {place: f"S{number}" for number, place in enumerate(places, 1)}
        best = min(ways, key=ways.__getitem__)
        assert order_of(found) == [by_place[place] for place in best]
        needs = [1.1 * math.dist(one, other) + slack_m for one, other in zip((start, *best), best, strict=False)]
        assert [hop.needed_m for hop in found.hops] == pytest.approx(needs)
        least = least_m(needs, [*cables, *spares])
        seen.add(found.state)
        if least is None:
            assert (found.state, found.edits) == ("cables missing", ())
            continue
        assert found.order_m == pytest.approx(least)
        assert found.state == ("shorter" if least < sum(cables) - 1e-9 else "kept")
        new = with_edits(rig, found.edits)
        assert sum(cable.length_m for cable in (new.cables[box.cable] for box in new.boxes_on("A"))) == pytest.approx(
            min(least, sum(cables))
        )
    assert seen == {"shorter", "kept", "cables missing"}


def test_a_tangled_chain_is_put_straight(rig_of):
    rig = rig_of(plan([(0, 20), (0, 10), (0, 30)], [25.0, 15.0, 25.0], [13.0, 13.0]))
    found = order_chain(rig, "A", 1.5)
    assert (found.state, found.now_m, found.order_m) == ("shorter", 65.0, 41.0)
    assert order_of(found) == ["S2", "S1", "S3"]
    assert cables_of(found) == ["H2", "P2", "P1"]
    assert [hop.start for hop in found.hops] == ["desk", "S2", "S1"]
    assert sorted(found.edits) == [
        ("box", "S1", "cable", "P2"),
        ("box", "S1", "fed_from", "S2"),
        ("box", "S2", "fed_from", "A"),
        ("box", "S3", "cable", "P1"),
        ("box", "S3", "fed_from", "S1"),
        ("cable", "H1", "spare", True),
        ("cable", "H3", "spare", True),
        ("cable", "P1", "spare", False),
        ("cable", "P2", "spare", False),
    ]
    new = with_edits(rig, found.edits)
    assert [box.code for box in new.boxes_on("A")] == ["S2", "S1", "S3"]
    again = order_chain(new, "A", 1.5)
    assert (again.state, again.edits, again.now_m) == ("kept", (), 41.0)


def test_an_order_that_is_as_short_stays(rig_of):
    mirrored = [(-5.0, 10.0), (5.0, 10.0)]
    assert order_of(order_chain(rig_of(plan(mirrored, [20.0, 20.0])), "A", 0.0)) == ["S1", "S2"]
    assert order_of(order_chain(rig_of(plan(mirrored[::-1], [20.0, 20.0])), "A", 0.0)) == ["S1", "S2"]


def test_a_box_keeps_its_cable_where_the_metres_are_the_same(rig_of):
    rig = rig_of(plan([(0, 10), (0, 30), (0, 20)], [20.0, 40.0, 20.0], [20.0, 20.0]))
    found = order_chain(rig, "A", 1.5)
    assert order_of(found) == ["S1", "S3", "S2"]
    assert cables_of(found) == ["H1", "H3", "P1"]


def test_nothing_shorter_is_found_where_present_cables_do_not_reach(rig_of):
    found = order_chain(rig_of(plan([(0, 20)], [10.0], [30.0])), "A", 1.5)
    assert (found.state, found.edits, found.order_m) == ("kept", (), 30.0)
    assert [hop.reaches for hop in found.now] == [False]


def test_missing_lengths_are_the_hops_that_no_choice_serves(rig_of):
    found = order_chain(rig_of(plan([(0, 30), (0, 10)], [20.0, 45.0], [15.0])), "A", 1.5)
    assert found.state == "shorter"
    found = order_chain(rig_of(plan([(0, 30), (0, 10)], [20.0, 21.0], [15.0])), "A", 1.5)
    assert (found.state, found.order_m) == ("cables missing", None)
    assert [(hop.start, hop.box) for hop in found.missing] == [("S2", "S1")]
    assert found.missing[0].needed_m == pytest.approx(23.5)
    assert cables_of(found) == ["P1", None]


def test_only_spares_in_no_use_and_of_a_kind_on_the_chain_serve(rig_of):
    more = """
[[cable]]
code = "X1"
kind = "other"
length_m = 12.0
spare = true
[[cable]]
code = "X2"
kind = "hop"
length_m = 12.0
[[cable]]
code = "X3"
kind = "hop"
length_m = 12.0
spare = true
[[input]]
number = 1
name = "On a hop cable"
level = "line"
cable = "X3"
port = "DESK in 1"
"""
    places = [(0, 10)]
    assert order_chain(rig_of(plan(places, [20.0], [], more=more)), "A", 0.5).state == "kept"
    assert cables_of(order_chain(rig_of(plan(places, [20.0], [12.0], more=more)), "A", 0.5)) == ["P1"]
    mixed = plan([(0, 10), (0, 20)], [20.0, 20.0], [], more=more).replace(
        'code = "H2"\nkind = "hop"', 'code = "H2"\nkind = "other"'
    )
    assert cables_of(order_chain(rig_of(mixed), "A", 0.5)) == ["H1", "X1"]


def test_a_chain_from_a_box_starts_at_that_box(rig_of):
    more = """
[[chain]]
code = "B"
link = "wire"
from = "S2"
[[cable]]
code = "M1"
kind = "hop"
length_m = 30.0
[[cable]]
code = "M2"
kind = "hop"
length_m = 30.0
[[cable]]
code = "M3"
kind = "hop"
length_m = 12.0
spare = true
[[box]]
code = "T1"
kind = "eight"
fed_from = "B"
cable = "M1"
at = [10.0, 20.0]
[[box]]
code = "T2"
kind = "eight"
fed_from = "T1"
cable = "M2"
at = [5.0, 20.0]
"""
    text = plan([(0, 10), (0, 20)], [20.0, 20.0], more=more)
    rig = rig_of(text)
    found = order_chain(rig, "B", 1.5)
    assert [(hop.start, hop.box) for hop in found.hops] == [("S2", "T2"), ("T2", "T1")]
    assert [hop.distance_m for hop in found.hops] == [5.0, 5.0]
    assert with_edits(rig, found.edits).boxes["T2"].fed_from == "B"
    lost = order_chain(rig_of(text.replace("at = [0, 20]\n", "")), "B", 1.5)
    assert (lost.state, lost.without_place) == ("no place", ("S2",))


def test_what_hangs_on_a_box_stays_on_it(rig_of):
    more = '[[box]]\ncode = "D1"\nkind = "drop"\nfed_from = "S1 in 3"\n'
    text = plan([(0, 20), (0, 10)], [25.0, 25.0], [13.0], more=more).replace(
        'fed_from = "S1"\n', 'fed_from = "S1"\nrepeats = "S1"\n'
    )
    rig = rig_of(text)
    found = order_chain(rig, "A", 1.5)
    new = with_edits(rig, found.edits)
    assert (found.state, order_of(found)) == ("shorter", ["S2", "S1"])
    assert (new.boxes["D1"].fed_from, new.boxes["S2"].repeats) == ("S1 in 3", "S1")
    assert "D1" not in found.boxes


def test_missing_places_are_named(rig_of):
    text = plan([(0, 20), None, None], [25.0, 25.0, 25.0])
    found = order_chain(rig_of(text), "A", 1.5)
    assert (found.state, found.without_place, found.hops) == ("no place", ("S2", "S3"), ())
    found = order_chain(rig_of(text.replace("at = [0.0, 0.0]\n", "")), "A", 1.5)
    assert found.without_place == ("chain A", "S2", "S3")


def test_fifteen_boxes_and_one_too_many(rig_of):
    def places(count):
        return [(float(7 * k % count), 0.0) for k in range(count)]

    found = order_chain(rig_of(plan(places(15), [20.0] * 15, [3.0] * 14)), "A", 1.5)
    assert (found.state, found.order_m) == ("shorter", 20.0 * 1 + 3.0 * 14)
    found = order_chain(rig_of(plan(places(16), [20.0] * 16, [3.0] * 14)), "A", 1.5)
    assert (found.state, found.edits, len(found.boxes)) == ("too many boxes", (), 16)


def test_a_chain_without_boxes_is_what_it_is(rig_of):
    found = order_chain(rig_of(HEAD + '[[chain]]\ncode = "A"\nlink = "wire"\n'), "A", 1.5)
    assert (found.state, found.now_m, found.hops) == ("kept", 0, ())


def test_places_that_cannot_be_measured(rig_of):
    with pytest.raises(PlacesTooFar, match="chain A"):
        order_chain(rig_of(plan([(1e308, 1e308), (-1e308, 0)], [5.0, 5.0])), "A", 1.5)


POWERED = """
[link_kind.wire]
max_length_m = 900.0
volts = 24.0
max_amps = 3.0
[cable_kind.hop]
loop_ohm_per_m = 0.1
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
draw_w = 20.0
min_volts = 22.0
link_powered = true
[box_kind.small]
inputs = 2
outputs = 2
accepts = ["line"]
"""


def test_an_order_that_would_not_work_is_not_offered(rig_of):
    """Shorter in all, but the box with the load hangs on twice the cable: it has 21.5 V of the 22 V that it wants."""
    text = plan([(0, 10), (0, 6)], [12.5, 15.0], [14.0]).replace(HEAD, POWERED)
    text = text.replace('code = "S2"\nkind = "eight"', 'code = "S2"\nkind = "small"')
    rig = rig_of(
        text.replace('code = "S2"', 'code = "S2"\nsupply = "M"')
        + '[[supply]]\ncode = "M"\nvolts = 230\nbreaker_amps = 16\n'
    )
    assert not review(rig).has_stop
    found = order_chain(rig, "A", 1.5)
    assert (found.state, found.edits, found.order_m) == ("new stops", (), 26.5)
    assert [(one.rule, one.where) for one in found.findings] == [("link-volts", "S1")]
    modest = rig_of(text.replace("min_volts = 22.0", "min_volts = 21.0"))
    assert order_chain(modest, "A", 1.5).state == "shorter"


def test_a_stop_that_was_there_before_does_not_stand_in_the_way(rig_of):
    text = plan([(0, 20), (0, 10)], [25.0, 25.0], [13.0]).replace("max_length_m = 900.0", "max_length_m = 30.0")
    rig = rig_of(text)
    assert [one.rule for one in review(rig).findings if one.level == "stop"] == ["chain-length"]
    assert order_chain(rig, "A", 1.5).state == "shorter"


def test_cautions_that_the_order_brings_are_told(rig_of):
    text = plan([(0, 10), (0, 20)], [30.0, 30.0], more="").replace(
        "[link_kind.wire]", "[link_kind.wire]\nimpedance_ohm = 110.0"
    )
    text = text.replace("[cable_kind.other]", "[cable_kind.other]\nimpedance_ohm = 75.0")
    text = text.replace('code = "H2"\nkind = "hop"', 'code = "H2"\nkind = "other"')
    text += '[[cable]]\ncode = "P1"\nkind = "other"\nlength_m = 15.0\nspare = true\n'
    rig = rig_of(text)
    assert [one.where for one in review(rig).findings if one.rule == "cable-impedance"] == ["H2"]
    found = order_chain(rig, "A", 1.5)
    assert (found.state, cables_of(found)) == ("shorter", ["H1", "P1"])
    assert [(one.rule, one.level, one.where) for one in found.findings] == [("cable-impedance", "caution", "P1")]
