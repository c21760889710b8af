"""What remedies say, word for word, on rigs small enough to know the answer."""

import pytest

from checkapp.review import power
from checkapp.review.remedy import choice as remedy
from checkapp.review.report import review
from checkapp.rig.change import OnSupply, OtherCable, OtherPort

HEAD = """
[link_kind.deck]
max_length_m = 60.0
max_hop_m = 30.0
max_boxes = 9
max_channels = 24
[link_kind.power]
max_length_m = 500.0
max_channels = 24
volts = 48.0
max_amps = 5.0
[cable_kind.cord]
loop_ohm_per_m = 1.0
[cable_kind.rope]
loop_ohm_per_m = 0.1
[cable_kind.lead]
loop_ohm_per_m = 0.1
[cable_kind.loom]
ways = 2
loop_ohm_per_m = 0.1
[box_kind.eight]
inputs = 8
outputs = 0
accepts = ["mic"]
[box_kind.pair]
inputs = 8
outputs = 2
accepts = ["mic"]
[box_kind.line4]
inputs = 4
outputs = 0
accepts = ["line"]
[box_kind.all4]
inputs = 4
outputs = 0
accepts = ["mic", "line"]
phantom = true
[box_kind.drop]
inputs = 3
outputs = 0
passive = true
[box_kind.draw]
inputs = 1
outputs = 0
accepts = ["mic"]
draw_w = 24.0
min_volts = 30.0
link_powered = true
[box_kind.hub]
inputs = 0
outputs = 0
draw_w = 6.0
repowers = true
[box_kind.tiny]
inputs = 1
outputs = 0
accepts = ["mic"]
draw_w = 5.0
min_volts = 47.3
link_powered = true
[box_kind.lamp]
inputs = 1
outputs = 0
accepts = ["mic"]
draw_w = 100.0
"""


def chain(code, link="deck", more=""):
    return f'[[chain]]\ncode = "{code}"\nlink = "{link}"\n{more}\n'


def cable(code, length_m, kind="cord", spare=True):
    return f'[[cable]]\ncode = "{code}"\nkind = "{kind}"\nlength_m = {length_m}\nspare = {str(spare).lower()}\n'


def box(code, fed_from, length_m=10.0, kind="eight", more="", cord="cord"):
    made = cable(f"L-{code}", length_m, cord, spare=False)
    return made + f'[[box]]\ncode = "{code}"\nkind = "{kind}"\nfed_from = "{fed_from}"\ncable = "L-{code}"\n{more}\n'


def supply(code, amps, other_w=0.0):
    return f'[[supply]]\ncode = "{code}"\nvolts = 100.0\nbreaker_amps = {amps}\nother_load_w = {other_w}\n'


def line(number, port, level="mic", more=""):
    return f'[[input]]\nnumber = {number}\nname = "Line {number}"\nlevel = "{level}"\nport = "{port}"\n{more}\n'


def run(code, count, kind="eight", length_m=10.0, more=""):
    """A chain of so many boxes."""
    boxes = [box(f"{code}{k}", f"{code}{k - 1}" if k > 1 else code, length_m, kind) for k in range(1, count + 1)]
    return chain(code, more=more) + "".join(boxes)


@pytest.fixture
def told(found_in):
    """What is to be done about the one stop, or caution, of a plan."""

    def find(text, level="stop"):
        (finding,) = [one for one in found_in(HEAD + text) if one.level == level]
        return finding.remedy

    return find


# --- too much on a chain


def test_the_chain_with_most_room_takes_the_box(told):
    """32 slots of 24. With A4, B has a third of its slots left, C half and a third of its metres, D two thirds."""
    rig = run("A", 4) + run("B", 1) + run("C", 1, "line4", 30.0)
    assert told(rig) == "Move A4 to the end of chain B, on its own cable, if that reaches."
    assert told(rig.replace("length_m = 30.0", "length_m = 25.0")).startswith("Move A4 to the end of chain C,")
    assert told(rig + run("D", 0)) == "Move A4 to chain D, on its own cable, if that reaches."


def test_a_chain_of_another_link_kind_or_without_room_is_none(told):
    nothing = "No other chain of deck has room: feed A4 from a further chain of deck."
    assert told(run("A", 4)) == nothing
    assert told(run("A", 4) + chain("B", "power")) == nothing
    assert told(run("A", 4) + run("B", 3)) == nothing
    assert told(run("A", 4) + run("B", 3, "line4", 17.0)) == nothing


def test_boxes_part_when_no_chain_has_room_for_both(told):
    rig = run("A", 5) + run("B", 2) + run("C", 2)
    moved = "Move A5 to the end of chain C and A4 to the end of chain B, each on its own cable, if those reach."
    assert told(rig) == moved
    assert told(run("A", 5) + run("B", 2)) == (
        "No other chain of deck has room: feed A4 and A5 from a further chain of deck."
    )
    assert told(run("A", 8, length_m=5.0)) == (
        "No other chain of deck has room: feed A4, A5 and A6 from a further chain of deck and A7 and A8 from another."
    )


def test_boxes_that_repeat_each_other_stay_together(told):
    last = box("A3", "A2", kind="pair") + box("A4", "A3", kind="pair", more='repeats = "A3"')
    moved = "Move A3 and A4 to chain B, each on its own cable, if those reach."
    assert told(run("A", 2) + last + run("B", 0)) == moved
    assert told(run("A", 2) + last + run("B", 1)).startswith("No other chain of deck has room")


def test_what_hangs_on_a_box_cannot_take_it(told):
    hanging = run("A", 4) + run("P", 0, more='from = "A4"')
    assert told(hanging).startswith("No other chain of deck has room")
    assert told(hanging.replace('from = "A4"', 'from = "A1"')).startswith("Move A4 to chain P,")


def test_a_chain_of_the_same_desk_goes_first_whatever_its_room(told):
    rig = run("A", 4, more='desk = "FOH"') + run("M", 0, more='desk = "MON"')
    assert told(rig) == "Move A4 to chain M of desk MON, on its own cable, if that reaches."
    rig += run("F", 2, more='desk = "FOH"')
    assert told(rig) == "Move A4 to the end of chain F, on its own cable, if that reaches."


def test_on_a_stage_plan_the_cable_has_to_reach(told):
    """A4 is 9 m from B1 and 11 m from C; its cable has 10 m."""
    placed = box("A4", "A3", more="at = [0.0, 9.0]") + chain("B") + box("B1", "B", 20.0, more="at = [0.0, 0.0]")
    rig = run("A", 3) + placed + chain("C", more="at = [11.0, 9.0]")
    assert told(rig) == "Move A4 to the end of chain B, on its own cable."
    assert told(rig.replace("[11.0, 9.0]", "[10.0, 9.0]")) == "Move A4 to chain C, on its own cable."
    far = rig.replace("[0.0, 0.0]", "[0.0, -2.0]")
    assert told(far) == "Move A3 and A4 to chain C, each on its own cable, if those reach."


def test_too_many_boxes(told):
    rig = (run("A", 3, "line4") + run("B", 1, "line4")).replace("max_boxes = 9", "max_boxes = 2")
    assert told("[link_kind.two]\nmax_length_m = 60.0\nmax_boxes = 2\n" + rig.replace('"deck"', '"two"')) == (
        "Move A3 to the end of chain B, on its own cable, if that reaches."
    )


LONG = chain("A") + box("A1", "A", 30.0) + box("A2", "A1", 25.0) + box("A3", "A2", 25.0)


def test_one_cable_goes_before_one_box_and_the_longest_that_will_do_goes_first(told):
    """80 m of 60: the last box must go, or one cable be 20 m shorter."""
    assert told(LONG + run("B", 0)) == "Move A3 to chain B, on its own cable, if that reaches."
    stock = cable("SP1", 4.0) + cable("SP2", 10.0) + cable("SP3", 12.0) + run("B", 0)
    assert told(LONG + stock) == "Use spare SP2 (10 m of cord) to A1 in place of L-A1, if it reaches."


def test_one_box_goes_before_two_cables(told):
    stock = cable("SP1", 14.0) + cable("SP2", 15.0)
    assert told(LONG + stock + run("B", 0)) == "Move A3 to chain B, on its own cable, if that reaches."
    assert told(LONG + stock) == (
        "Use spare SP1 (14 m of cord) to A2 in place of L-A2 and spare SP2 (15 m of cord) to A3 in place of L-A3,"
        " if SP1 and SP2 reach."
    )


def test_when_nothing_helps_a_chain_that_is_too_long(told):
    assert told(LONG + cable("SP1", 11.0)) == (
        "No other chain of deck has room and no spare is short enough: feed A3 from a further chain of deck,"
        " or use a cable of at most 10 m to A1."
    )


@pytest.mark.parametrize(
    ("spare", "serves"),
    [
        (cable("SP1", 10.0, "rope"), True),
        (cable("SP1", 10.0, "cord", spare=False), True),
        (cable("SP1", 10.0, "loom"), False),
        (cable("SP1", 10.0, "lead") + cable("X1", 2.0, "lead") + line(1, "A1 in 1", more='cable = "X1"'), False),
        (cable("SP1", 10.0) + line(1, "A1 in 1", more='cable = "SP1"'), False),
    ],
)
def test_which_cables_of_the_stock_can_be_hops(told, spare, serves):
    assert ("SP1 (10 m of" in told(LONG + spare)) == serves


def test_a_cable_of_the_wrong_impedance_cannot(told):
    head = "[link_kind.fine]\nmax_length_m = 60.0\nimpedance_ohm = 110.0\n[cable_kind.ac]\nimpedance_ohm = OHM\n"
    rig = head + LONG.replace('"deck"', '"fine"') + cable("SP1", 10.0, "ac")
    assert "SP1" in told(rig.replace("OHM", "132.0"))
    assert "SP1" not in told(rig.replace("OHM", "133.0"))
    assert "SP1" not in told(rig.replace("impedance_ohm = OHM\n", ""))


# --- a hop that is too long

HOP = chain("A") + box("A1", "A", 36.576)


def test_a_hop_that_is_too_long(told):
    assert told(HOP) == "Nothing in the rig helps: use a cable of at most 30 m to A1."
    assert told(HOP.replace("length_m = 36.576", "length_ft = 120.0")) == (
        "Nothing in the rig helps: use a cable of at most 98.4 ft to A1."
    )
    stock = cable("SP1", 8.0) + cable("SP2", 30.0) + cable("SP3", 31.0)
    assert told(HOP + stock) == "Use spare SP2 (30 m of cord) to A1 in place of L-A1, if it reaches."


def test_a_hop_that_is_too_long_on_a_stage_plan(told):
    placed = HOP.replace('link = "deck"', 'link = "deck"\nat = [0.0, -10.0]') + "at = [0.0, 12.0]\n"
    assert told(placed + cable("SP1", 22.0)) == "Use spare SP1 (22 m of cord) to A1 in place of L-A1."
    assert told(placed + cable("SP1", 21.9)) == "Nothing in the rig helps: use a cable of at most 30 m to A1."
    far = placed.replace("12.0]", "21.0]")
    assert told(far) == "Nothing in the rig helps: its ends stand 31 m apart, so put a box half way."


# --- link power: 48 V, 24 W and 1 ohm a metre keep 30 V up to 22.5 m: (48 + sqrt(48^2 - 4 * 24 * 22.5))/2 = 30


def powered(length_m=23.0, more="", cord="cord"):
    return chain("A", "power") + box("A1", "A", length_m, "draw", more, cord)


@pytest.mark.closed_form
def test_a_supply_with_amps_or_the_longest_hop_that_works(told):
    assert (
        told(powered()) == "Nothing in the rig helps: put A1 on a further supply, or make the hop to A1 at most 22.5 m."
    )
    assert told(powered() + supply("C1", 1.0)) == "Put A1 on C1."
    assert told(powered() + supply("C1", 0.24)) == "Put A1 on C1."
    assert told(powered() + supply("C1", 0.239)).startswith("Nothing in the rig helps: put A1 on a further supply")
    assert told(powered() + supply("C1", 0.24) + supply("C2", 0.3)) == "Put A1 on C2."
    assert told(powered() + supply("C1", 1.0, 77.0)).startswith("Nothing in the rig helps")


@pytest.mark.closed_form
def test_the_longest_hop_in_feet(told):
    """22.5 m are 73.8 ft."""
    text = powered().replace("length_m = 23.0", "length_ft = 80.0")
    assert told(text).endswith("or make the hop to A1 at most 73.8 ft.")


def test_the_supply_at_the_place_of_the_box_goes_first(told):
    rig = supply("C1", 9.0) + supply("C2", 5.0) + powered(more='place = "Riser"')
    other = chain("B", "power") + box("B1", "B", 1.0, "draw", 'supply = "C2"\nplace = "PLACE"')
    assert told(rig + other.replace("PLACE", "Riser")) == "Put A1 on C2."
    assert told(rig + other.replace("PLACE", "Pit")) == "Put A1 on C1."


def test_a_cable_and_a_supply_are_both_told_the_fewer_changes_first(told):
    rope = cable("SP1", 25.0, "rope")
    spare = "spare SP1 (25 m of rope) to A1 in place of L-A1"
    assert told(powered() + rope + supply("C1", 1.0)) == f"Put A1 on C1, or use {spare}."
    assert told(powered() + rope) == f"Use {spare}, or put A1 on a further supply."
    shorter = cable("SP1", 22.0)
    assert told(powered() + shorter) == (
        "Use spare SP1 (22 m of cord) to A1 in place of L-A1, if it reaches, or put A1 on a further supply."
    )


def stops(rig):
    return [one for one in review(rig).findings if one.level == "stop"]


@pytest.mark.closed_form
def test_all_findings_of_a_source_have_one_remedy_and_the_supply_with_the_amps(rig_of):
    """Three times 24 W at the end of 8 m: 72 W at 8 ohm are the limit 48^2/(4 * 8), at 24 V."""
    rig = (
        chain("A", "power")
        + box("A1", "A", 7.98, "draw")
        + box("A2", "A1", 0.01, "draw")
        + box("A3", "A2", 0.01, "draw")
    )
    found = stops(rig_of(HEAD + rig + supply("C1", 1.0)))
    assert [(one.rule, one.where) for one in found] == [("link-volts", code) for code in ("A1", "A2", "A3")]
    assert {one.remedy for one in found} == {"Put A3 on C1."}
    assert {one.ways for one in found} == {((OnSupply("A3", "C1"),),)}


def test_what_clears_one_finding_is_told_where_the_rig_cannot_clear_all_of_its_source(rig_of):
    """C1 has the amps for the small box, the large one would have to go."""
    rig = chain("A", "power") + box("A1", "A", 1.0, "draw") + box("A2", "A1", 1.0, "tiny") + supply("C1", 0.06)
    found = stops(rig_of(HEAD.replace("max_amps = 5.0", "max_amps = 0.5") + rig))
    assert {(one.rule, one.where): one.remedy for one in found} == {
        ("link-current", "chain A"): "Nothing in the rig helps: put A1 on a further supply.",
        ("link-volts", "A2"): "Put A2 on C1.",
    }


def test_a_supply_and_a_cable_together(rig_of):
    """C1 has the amps for one box; neither that nor the cable is enough alone."""
    rig = chain("A", "power") + "".join(
        box(f"A{k}", fed, length_m, "draw") for k, fed, length_m in ((1, "A", 10.0), (2, "A1", 12.0), (3, "A2", 12.0))
    )
    (finding,) = stops(rig_of(HEAD + rig + supply("C1", 0.25) + cable("SP1", 30.0, "rope")))
    assert finding.remedy == (
        "Put A3 on C1 and use spare SP1 (30 m of rope) to A2 in place of L-A2, or put A2 and A3 on a further supply."
    )
    assert finding.ways[0] == (OnSupply("A3", "C1"), OtherCable("A2", "SP1"))


@pytest.mark.closed_form
@pytest.mark.parametrize("amps", [0.5, 0.4, 0.25, 0.24])
def test_a_box_that_its_supply_feeds_through_the_link_already_may_go_on_that_supply(rig_of, amps):
    """At 23 m A2 costs H 39.9 W from C1 and gets 28.9 V; on C1 it costs 24 W: with too much on it already, less."""
    rig = chain("A", "power") + box("H", "A", 1.0, "hub", 'supply = "C1"') + box("A2", "H", 23.0, "draw")
    found = {one.rule: one for one in stops(rig_of(HEAD + rig + supply("C1", amps)))}
    assert found.keys() == {"link-volts", *(["mains-load"] if amps < 0.459 else [])}
    assert found["link-volts"].remedy == "Put A2 on C1."


# --- no power, and mains

BARE = chain("A") + box("A1", "A", kind="lamp")
MAINS = "Mains distribution is for qualified people"


def test_a_box_without_power(told):
    assert told(BARE) == "The rig has no supply: put A1 on a further supply."
    assert told(BARE + supply("C1", 0.9)) == "No supply of the rig has room: put A1 on a further supply."
    assert told(BARE + supply("C1", 1.0)) == "Put A1 on C1."
    assert told(BARE + supply("C1", 1.0) + supply("C2", 1.25)) == "Put A1 on C2."


def lamps(count, on="C1"):
    return run("A", count, "lamp").replace('kind = "lamp"', f'kind = "lamp"\nsupply = "{on}"')


def test_the_fewest_boxes_that_leave_a_supply_at_80_percent_go_to_one_with_room(told):
    assert told(lamps(2) + supply("C1", 1.3) + supply("C2", 5.0)).startswith("Move A1 to C2.")
    assert told(lamps(2) + supply("C1", 1.2) + supply("C2", 5.0)).startswith("Move A1 and A2 to C2.")
    assert told(lamps(2) + supply("C1", 1.2) + supply("C2", 1.2)).startswith("Move A1 to C2.")
    three = lamps(3) + supply("C1", 1.25) + supply("C2", 1.25) + supply("C3", 1.3)
    assert told(three).startswith("Move A2 to C2 and A1 to C3.")


def test_a_caution_goes_when_another_supply_gets_none(told):
    assert told(lamps(1) + supply("C1", 1.2) + supply("C2", 1.25), "caution").startswith("Move A1 to C2.")
    assert told(lamps(1) + supply("C1", 1.2) + supply("C2", 1.2), "caution").startswith(
        "No other supply of the rig has room: move A1 to a further supply."
    )


def test_when_no_supply_has_room(told):
    assert told(lamps(2) + supply("C1", 1.3)).startswith(
        "No other supply of the rig has room: move A1 to a further supply."
    )
    assert told(supply("C1", 1.0, 150.0)).startswith(
        "No other supply of the rig has room: take 70 W of its other load off."
    )
    assert told(lamps(2) + supply("C1", 1.0, 90.0)).startswith(
        "No other supply of the rig has room: take its other load off and move A1 and A2 to a further supply."
    )


def test_the_caution_about_mains_stays(told):
    assert MAINS in told(lamps(2) + supply("C1", 1.3) + supply("C2", 5.0))
    assert MAINS in told(supply("C1", 1.0, 150.0))


# --- lines


def test_a_free_port_that_takes_the_line(told, rig_of):
    rig = run("A", 1) + box("T", "A1", kind="line4") + line(1, "A1 in 1", "line")
    assert told(rig) == "Move it to T in 1, which takes line level."
    taken = "".join(line(k, f"T in {k - 1}", "line") for k in (2, 3, 4, 5))
    assert told(rig + taken) == "No free port of the rig takes line level. Bring it to a level that A1 takes."
    used = box("U", "T", kind="eight") + '[[insert]]\nname = "I"\ninput = 1\nsend = "DESK out 1"\nreturn = "T in 1"\n'
    assert told(rig + used) == "Move it to T in 2, which takes line level."
    (finding,) = stops(rig_of(HEAD + rig))
    assert finding.ways == ((OtherPort("in 1", "T in 1"),),)


def test_the_handiest_port_goes_first(told):
    here = run("A", 1).replace('kind = "eight"', 'kind = "eight"\nplace = "Pit"\nat = [0.0, 0.0]')
    rig = here + line(1, "A1 in 1", "line", 'zone = "Band"')
    other_chain = chain("B") + box("B1", "B", kind="line4", more="PLACE")
    same_chain = box("A2", "A1", kind="all4")
    zone = line(2, "B1 in 1", "line", 'zone = "Band"')
    assert told(rig + (other_chain + same_chain).replace("PLACE", "")).startswith("Move it to A2 in 1,")
    assert told(rig + (other_chain + same_chain + zone).replace("PLACE", "")).startswith("Move it to B1 in 2,")
    there = (other_chain + same_chain).replace("PLACE", 'place = "Pit"')
    assert told(rig + there).startswith("Move it to B1 in 1,")
    desks = rig.replace('link = "deck"', 'link = "deck"\ndesk = "FOH"')
    there = there.replace('code = "B"\nlink = "deck"', 'code = "B"\nlink = "deck"\ndesk = "MON"')
    assert told(desks + there).startswith("Move it to A2 in 1,")
    alone = there.replace(same_chain, "")
    assert told(desks + alone) == "Move it to B1 in 1 of desk MON, which takes line level."


def test_each_line_gets_a_port_of_its_own_and_both_its_findings_the_same(rig_of):
    rig = run("A", 1) + box("T", "A1", kind="all4")
    rig = rig.replace('kind = "eight"', 'kind = "line4"')
    lines = "".join(line(k, f"A1 in {k}", "mic", "phantom = true") for k in (1, 2))
    found = stops(rig_of(HEAD + rig + lines))
    ports = {(one.where, one.rule): one.ways[0][0].port for one in found}
    assert ports == {
        ("in 1", "level"): "T in 1",
        ("in 2", "level"): "T in 2",
        ("in 1", "phantom"): "T in 1",
        ("in 2", "phantom"): "T in 2",
    }


def test_a_port_for_one_of_two_wrongs_is_better_than_none(rig_of):
    """T takes the level but has no phantom power; a line that has its phantom power is not sent there."""
    rig = box("T", "A1") + line(1, "A1 in 1", "mic", "phantom = true")
    none = stops(rig_of(HEAD + run("A", 1, "line4") + rig))
    assert [(one.rule, one.remedy[:18]) for one in none] == [
        ("level", "Move it to T in 1,"),
        ("phantom", "No free port of th"),
    ]
    (kept,) = stops(rig_of(HEAD + run("A", 1, "all4") + rig.replace('"mic"', '"instrument"')))
    assert kept.remedy.startswith("No free port of the rig takes instrument level.")


def test_a_multicore_without_a_free_way_is_passed_over(told):
    drop = box("T", "A1", kind="all4") + cable("MC", 5.0, "loom", spare=False)
    drop += '[[box]]\ncode = "D"\nkind = "drop"\nfed_from = "T in 1"\ncable = "MC"\n'
    rig = run("A", 1) + drop + line(1, "A1 in 1", "line") + line(2, "D in 1")
    assert told(rig + line(3, "T in 4")) == "Move it to D in 2, which takes line level."
    full = rig + line(3, "D in 2") + line(4, "T in 4")
    assert told(full) == "No free port of the rig takes line level. Bring it to a level that A1 takes."


def test_phantom_keeps_its_caution(told):
    rig = run("A", 1) + line(1, "A1 in 1", "mic", "phantom = true")
    caution = "Mute the channel before re-plugging"
    none = told(rig)
    assert none.startswith("No free port of the rig has phantom power. Power its source another way.")
    free = told(rig + box("T", "A1", kind="all4"))
    assert free.startswith("Move it to T in 1, which has phantom power.")
    assert caution in none
    assert caution in free


# --- work


def test_a_rig_that_works_costs_no_search(rig_of, monkeypatch):
    rig = rig_of(HEAD + run("A", 3) + supply("C1", 1.0, 70.0))
    monkeypatch.setattr(remedy, "Trial", None)
    assert stops(rig) == []


def big_rig():
    """Four chains of ten boxes, each of its own kind, all of them too much for the link, with stock and supplies."""
    text = "[link_kind.big]\nmax_length_m = 60.0\nmax_hop_m = 9.0\nmax_boxes = 6\nmax_channels = 30\n"
    text += "volts = 48.0\nmax_amps = 3.0\n"
    for k in range(40):
        text += f"[box_kind.k{k}]\ninputs = 4\noutputs = 0\naccepts = ['mic']\ndraw_w = {15 + k / 10}\n"
        text += "min_volts = 30.0\nlink_powered = true\n"
    text += "".join(chain(code, "big") for code in "ABCD")
    for k in range(40):
        feed = "ABCD"[k] if k < 4 else f"S{k - 4}"
        text += box(f"S{k}", feed, 8.0 + k % 3, f"k{k}") + line(k + 1, f"S{k} in 1", "line")
    text += "".join(supply(f"C{k}", 3.0, 200.0 + k) for k in range(5))
    return text + "".join(cable(f"SP{k}", 2.0 + k, "rope") for k in range(8))


def test_the_work_for_a_large_rig_where_all_fails_is_bounded(rig_of, monkeypatch):
    rig = rig_of(HEAD + big_rig())
    solved = []
    solve = power.solve
    monkeypatch.setattr(power, "solve", lambda ladder: solved.append(len(ladder.draws_w)) or solve(ladder))
    found = stops(rig)
    assert len(found) > 60
    assert all(one.remedy for one in found)
    assert sum(solved) < 2 * remedy.MOST_WORK


def test_a_search_that_is_cut_claims_nothing(rig_of, monkeypatch):
    claims = ("Nothing in", "No other", "No supply", "The rig")
    texts = (powered(), LONG + cable("SP1", 11.0), HOP, BARE + supply("C1", 0.9), lamps(2) + supply("C1", 1.3))
    for text in texts:
        (finding,) = stops(rig_of(HEAD + text))
        assert finding.remedy.startswith(claims)
        monkeypatch.setattr(remedy, "MOST_WORK", 0)
        (cut,) = stops(rig_of(HEAD + text + supply("C8", 9.0) + cable("SP8", 10.0) + chain("Z")))
        monkeypatch.undo()
        assert cut.remedy
        assert not cut.remedy.startswith(claims)


# --- what stands in the way of each other


def test_with_link_power_that_fails_as_well_both_are_mended_together(rig_of):
    """On a chain of its own A3 is still too much for a source: 24 W at 48 V are half an ampere."""
    head = HEAD.replace(
        "max_channels = 24\nvolts = 48.0\nmax_amps = 5.0", "max_boxes = 2\nvolts = 48.0\nmax_amps = 0.4"
    )
    rig = chain("A", "power") + "".join(box(f"A{k}", f"A{k - 1}" if k > 1 else "A", 0.5, "draw") for k in (1, 2, 3))
    found = {one.rule: one for one in stops(rig_of(head + rig + supply("C1", 9.0) + chain("B", "power")))}
    assert found.keys() == {"chain-boxes", "link-current"}
    assert found["link-current"].remedy == "Put A1, A2 and A3 on C1: the smallest set that works."
    assert found["chain-boxes"].remedy == (
        "With link power mended as its own findings say, move A3 to chain B, on its own cable, if that reaches."
    )
