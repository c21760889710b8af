"""Link power of whole plans: sources, states, and each rule at its limit, just above it, just below."""

import math

import pytest

from checkapp.review.link import chain_power

KINDS = """
ambient_c = 20.0
[link_kind.deck]
max_length_m = 900.0
volts = 48.0
max_amps = 5.0
[link_kind.thread]
max_length_m = 900.0
[cable_kind.cord]
loop_ohm_per_m = 1.0
[box_kind.eight]
inputs = 8
outputs = 0
accepts = ["line"]
draw_w = 24.0
min_volts = 30.0
link_powered = true
[box_kind.own]
inputs = 8
outputs = 0
accepts = ["line"]
draw_w = 10.0
[box_kind.hub]
inputs = 0
outputs = 2
draw_w = 6.0
link_powered = true
repowers = true
[box_kind.idle]
inputs = 2
outputs = 0
accepts = ["line"]
[[supply]]
code = "C1"
volts = 230.0
breaker_amps = 16.0
[[chain]]
code = "A"
link = "deck"
"""


def box(code, kind, fed_from, length_m=18.0, more=""):
    return (
        f'[[cable]]\ncode = "L-{code}"\nkind = "cord"\nlength_m = {length_m}\n'
        f'[[box]]\ncode = "{code}"\nkind = "{kind}"\nfed_from = "{fed_from}"\ncable = "L-{code}"\n{more}\n'
    )


ON_SUPPLY = 'supply = "C1"'
ONE = KINDS + box("SB1", "eight", "A")


def stops(findings):
    return [finding for finding in findings if finding.level == "stop"]


def facts(finding):
    return finding.rule, finding.level, finding.where, finding.limit, finding.unit, finding.basis


# --- how a chain is split into sources


def power_of(rig, chain="A"):
    return chain_power(rig, rig.chains[chain])


@pytest.mark.closed_form
def test_one_box_on_link_power(rig_of):
    power = power_of(rig_of(ONE))
    assert power.state == "ok"
    (source,), (at_box,) = power.sources, power.boxes
    assert source.at == "chain A"
    assert source.flow.source_amps == pytest.approx(2 / 3, abs=1e-12)
    assert source.flow.source_watts == pytest.approx(32.0, abs=1e-11)
    assert (at_box.code, at_box.volts) == ("SB1", pytest.approx(36.0, abs=1e-11))
    assert at_box.amps == pytest.approx(2 / 3, abs=1e-12)


@pytest.mark.closed_form
def test_a_warmer_stage_has_more_resistance(rig_of):
    warm = power_of(rig_of(ONE.replace("ambient_c = 20.0", "ambient_c = 45.0")))
    ohm = 18.0 * (1 + 0.00393 * 25)  # IEC 60028: 0.00393 a kelvin
    assert warm.boxes[0].volts == pytest.approx((48 + math.sqrt(48**2 - 4 * 24 * ohm)) / 2, abs=1e-9)


@pytest.mark.closed_form
def test_source_ohm_counts_to_the_first_hop(rig_of):
    power = power_of(rig_of(ONE.replace("max_amps = 5.0", "max_amps = 5.0\nsource_ohm = 3.0").replace("18.0", "15.0")))
    assert power.boxes[0].volts == pytest.approx(36.0, abs=1e-11)


@pytest.mark.closed_form
def test_a_box_on_its_own_supply_draws_nothing_and_lets_power_through(rig_of):
    text = KINDS + box("SB1", "eight", "A", 9.0, ON_SUPPLY) + box("SB2", "eight", "SB1", 9.0)
    power = power_of(rig_of(text))
    assert [(b.code, round(b.volts, 9), round(b.amps, 9)) for b in power.boxes] == [
        ("SB1", 42.0, 0.0),
        ("SB2", 36.0, 0.666666667),
    ]
    assert [source.at for source in power.sources] == ["chain A"]


@pytest.mark.closed_form
def test_a_box_that_repowers_ends_one_source_and_begins_another(rig_of):
    text = KINDS + box("SB1", "eight", "A") + box("HUB", "hub", "SB1", 5.0, ON_SUPPLY) + box("SB2", "eight", "HUB")
    power = power_of(rig_of(text))
    assert [source.at for source in power.sources] == ["chain A", "HUB"]
    assert [source.flow.source_watts for source in power.sources] == pytest.approx([32.0, 32.0])
    assert [(b.code, b.volts, b.amps) for b in power.boxes] == [
        ("SB1", pytest.approx(36.0), pytest.approx(2 / 3)),
        ("HUB", pytest.approx(36.0), 0.0),
        ("SB2", pytest.approx(36.0), pytest.approx(2 / 3)),
    ]


@pytest.mark.closed_form
def test_a_box_that_repowers_at_the_far_end_is_still_a_source(rig_of):
    power = power_of(rig_of(KINDS + box("SB1", "eight", "A") + box("HUB", "hub", "SB1", 5.0, ON_SUPPLY)))
    last = power.sources[-1]
    assert (last.at, last.flow.source_amps, last.flow.source_watts) == ("HUB", 0.0, 0.0)


@pytest.mark.closed_form
def test_a_box_that_could_repower_without_a_supply_only_draws(rig_of):
    power = power_of(rig_of(KINDS + box("HUB", "hub", "A", 1.0) + box("SB1", "eight", "HUB", 1.0)))
    assert [source.at for source in power.sources] == ["chain A"]
    assert power.boxes[0].amps == pytest.approx(6.0 / power.boxes[0].volts)
    assert power.sources[0].draws_w == 30.0


@pytest.mark.closed_form
def test_a_chain_from_a_box_has_a_source_of_its_own(rig_of):
    second = '[[chain]]\ncode = "B"\nlink = "deck"\nfrom = "SB1"\n'
    rig = rig_of(ONE + second + box("SB2", "eight", "B"))
    assert [source.at for source in power_of(rig, "B").sources] == ["chain B"]
    assert power_of(rig, "B").boxes[0].volts == pytest.approx(36.0)
    assert power_of(rig, "A").boxes[0].volts == pytest.approx(36.0)


def test_a_chain_from_a_box_with_a_link_without_power_has_none(rig_of):
    second = '[[chain]]\ncode = "B"\nlink = "thread"\nfrom = "SB1"\n'
    power = power_of(rig_of(ONE + second + box("SB2", "own", "B", 5.0, ON_SUPPLY)), "B")
    assert (power.state, power.sources) == ("none", ())
    assert [(b.code, b.volts, b.amps) for b in power.boxes] == [("SB2", None, None)]


@pytest.mark.closed_form
def test_link_power_without_a_load_stands_at_the_source_volts(rig_of):
    power = power_of(rig_of(KINDS + box("SB1", "idle", "A") + box("SB2", "eight", "SB1", 18.0, ON_SUPPLY)))
    assert power.state == "none"
    assert [(b.volts, b.amps) for b in power.boxes] == [(48.0, 0.0), (48.0, 0.0)]
    assert [(s.flow.source_amps, s.flow.source_watts) for s in power.sources] == [(0.0, 0.0)]


@pytest.mark.closed_form
def test_a_chain_without_boxes(rig_of):
    power = power_of(rig_of(KINDS))
    assert (power.state, power.boxes) == ("none", ())
    assert [(s.at, s.flow.source_amps) for s in power.sources] == [("chain A", 0.0)]


def test_only_the_collapsed_source_has_no_figures(rig_of):
    text = (
        KINDS + box("SB1", "eight", "A") + box("HUB", "hub", "SB1", 5.0, ON_SUPPLY) + box("SB2", "eight", "HUB", 90.0)
    )
    power = power_of(rig_of(text))
    assert power.state == "collapsed"
    assert [source.flow is None for source in power.sources] == [False, True]
    assert [(b.volts is None, b.amps is None) for b in power.boxes] == [(False, False), (False, False), (True, True)]


def test_the_worst_state_of_all_sources_counts(rig_of):
    hub = box("HUB", "hub", "SB1", 5.0, ON_SUPPLY)
    low = ONE + hub + box("SB2", "eight", "HUB", 23.0)
    assert power_of(rig_of(low)).state == "under-volts"
    assert power_of(rig_of(low.replace("max_amps = 5.0", "max_amps = 0.5"))).state == "over-current"
    assert power_of(rig_of(ONE + hub + box("SB2", "eight", "HUB", 18.0))).state == "ok"


# --- the rules


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("max_amps", "breaks"), [(0.7, False), (2 / 3, False), (2 / 3 * (1 - 0.9e-9), False), (0.66666, True)]
)
def test_link_current(found_in, max_amps, breaks):
    found = stops(found_in(ONE.replace("max_amps = 5.0", f"max_amps = {max_amps!r}")))
    assert [facts(f) for f in found] == ([("link-current", "stop", "chain A", max_amps, "A", "plan")] if breaks else [])
    for finding in found:
        assert finding.value == pytest.approx(2 / 3, abs=1e-12)
        assert "SB1" in finding.remedy


def test_link_current_of_a_repowering_box_names_the_box(found_in):
    text = KINDS + box("HUB", "hub", "A", 5.0, ON_SUPPLY) + box("SB1", "eight", "HUB")
    (finding,) = stops(found_in(text.replace("max_amps = 5.0", "max_amps = 0.5")))
    assert facts(finding) == ("link-current", "stop", "HUB", 0.5, "A", "plan")
    assert "Put SB1 on C1" in finding.remedy


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("min_volts", "breaks"), [(35.9, False), (36.0, False), (36.0 * (1 + 0.9e-9), False), (36.0001, True)]
)
def test_link_volts(found_in, min_volts, breaks):
    found = stops(found_in(ONE.replace("min_volts = 30.0", f"min_volts = {min_volts!r}")))
    assert [facts(f) for f in found] == ([("link-volts", "stop", "SB1", min_volts, "V", "plan")] if breaks else [])
    for finding in found:
        assert finding.value == pytest.approx(36.0, abs=1e-9)


def test_link_volts_asks_only_boxes_that_draw(found_in):
    text = KINDS + box("SB1", "eight", "A", 40.0, ON_SUPPLY)
    assert found_in(text.replace("min_volts = 30.0", "min_volts = 60.0"), "link-volts") == []
    assert found_in(ONE.replace("min_volts = 30.0", ""), "link-volts") == []


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("draw_w", "breaks"), [(31.9, False), (32.0, False), (32.0 * (1 + 0.9e-9), False), (32.0000001, True), (99.0, True)]
)
def test_link_collapse(found_in, draw_w, breaks):
    plan = ONE.replace("draw_w = 24.0", f"draw_w = {draw_w!r}").replace("min_volts = 30.0", "")
    found = stops(found_in(plan))
    assert [(f.rule, f.where, f.value, f.unit) for f in found] == (
        [("link-collapse", "chain A", draw_w, "W")] if breaks else []
    )
    for finding in found:
        assert finding.limit == pytest.approx(32.0, rel=1e-12)


def test_link_collapse_says_nothing_of_volts_and_amps(found_in):
    found = stops(found_in(ONE.replace("draw_w = 24.0", "draw_w = 99.0").replace("max_amps = 5.0", "max_amps = 0.1")))
    assert [finding.rule for finding in found] == ["link-collapse"]


@pytest.mark.parametrize(
    ("kind", "link", "supply", "breaks"),
    [
        ("eight", "deck", "", False),
        ("eight", "thread", "", True),
        ("eight", "thread", ON_SUPPLY, False),
        ("own", "deck", "", True),
        ("own", "thread", "", True),
        ("own", "deck", ON_SUPPLY, False),
        ("idle", "thread", "", False),
    ],
)
def test_no_power(found_in, kind, link, supply, breaks):
    text = KINDS.replace('link = "deck"', f'link = "{link}"') + box("SB1", kind, "A", 18.0, supply)
    found = stops(found_in(text))
    assert [(f.rule, f.where, f.value, f.limit, f.unit, f.basis) for f in found] == (
        [("no-power", "SB1", None, None, None, "plan")] if breaks else []
    )
    assert all(finding.remedy == "Put SB1 on C1." for finding in found)


def test_no_power_of_a_passive_box_that_draws(found_in):
    fan = "[box_kind.fan]\ninputs = 2\noutputs = 0\npassive = true\ndraw_w = 1.0\nlink_powered = true\n"
    text = ONE + fan + '[[box]]\ncode = "FAN"\nkind = "fan"\nfed_from = "SB1 in 1"\n'
    assert [(f.rule, f.where) for f in stops(found_in(text))] == [("no-power", "FAN")]
    assert stops(found_in(text + ON_SUPPLY)) == []


def test_the_remedy_names_the_smallest_set(found_in):
    text = KINDS + "".join(box(f"SB{k}", "eight", f"SB{k - 1}" if k > 1 else "A", 4.0) for k in (1, 2, 3))
    (finding,) = stops(found_in(text.replace("max_amps = 5.0", "max_amps = 1.3")))
    assert finding.rule == "link-current"
    assert finding.remedy.startswith("Put SB3 on C1.")
    (finding,) = stops(found_in(text.replace("max_amps = 5.0", "max_amps = 0.6")))
    assert finding.remedy == "Put SB2 and SB3 on C1: the smallest set that works."
