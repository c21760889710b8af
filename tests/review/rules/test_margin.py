"""What is nearly used up: metres, slots, amps."""

import pytest

PLAN = """
[link_kind.deck]
max_length_m = METRES
max_channels = 20
volts = 48.0
max_amps = AMPS
[cable_kind.cord]
loop_ohm_per_m = 1.0
[box_kind.one]
inputs = 0
outputs = OUTPUTS
draw_w = 24.0
link_powered = true
[[chain]]
code = "A"
link = "deck"
[[cable]]
code = "LK1"
kind = "cord"
length_LENGTH
[[box]]
code = "SB1"
kind = "one"
fed_from = "A"
cable = "LK1"
"""


def plan(most_m=60.0, length="m = 18.0", outputs=4, most_amps=5.0):
    text = PLAN.replace("METRES", repr(most_m)).replace("LENGTH", length).replace("OUTPUTS", str(outputs))
    return text.replace("AMPS", repr(most_amps))


def shown(findings):
    return [(one.level, one.where, one.value, one.limit, one.unit, one.basis) for one in findings]


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("share", "near"),
    [
        (0.5, False),
        (0.9, False),
        (0.9 * (1 + 0.9e-9), False),
        (0.901, True),
        (1.0, True),
        (1 + 0.9e-9, True),
        (1.001, False),
    ],
)
def test_metres(found_in, share, near):
    most_m = 18.0 / share
    assert shown(found_in(plan(most_m=most_m), "margin")) == (
        [("note", "chain A", 18.0, pytest.approx(0.9 * most_m), "m", "plan")] if near else []
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(("outputs", "near"), [(17, False), (18, False), (19, True), (20, True), (21, False)])
def test_slots(found_in, outputs, near):
    assert shown(found_in(plan(outputs=outputs), "margin")) == (
        [("note", "chain A", outputs, 18.0, "slots", "plan")] if near else []
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(("share", "near"), [(0.9, False), (0.95, True), (1.0, True), (1.001, False)])
def test_amps(found_in, share, near):
    """48 V, 18 ohm, 24 W: 2/3 A."""
    most = 2 / 3 / share
    assert shown(found_in(plan(most_amps=most), "margin")) == (
        [("note", "chain A", pytest.approx(2 / 3), pytest.approx(0.9 * most), "A", "plan")] if near else []
    )


@pytest.mark.closed_form
def test_all_three_stand_in_their_order_and_say_maximum_and_share(found_in):
    found = found_in(plan(most_m=18.75, outputs=19, most_amps=0.7), "margin")
    assert [one.unit for one in found] == ["m", "slots", "A"]
    metres, slots, amps = (one.message for one in found)
    assert "18 m of hops, 96 % of the 18.75 m" in metres
    assert "19 slots, 95 % of the 20 slots" in slots
    assert "0.667 A, 95.2 % of the 0.7 A" in amps
    assert [one.remedy.split(": ")[1] for one in found] == ["0.75 m left.", "1 slot left.", "0.0333 A left."]


def test_nothing_is_left_at_the_maximum(found_in):
    (finding,) = found_in(plan(outputs=20), "margin")
    assert finding.remedy.endswith(": nothing left.")


def test_feet_are_said_where_the_plan_writes_feet(found_in):
    (finding,) = found_in(plan(most_m=31.0, length="ft = 100.0"), "margin")
    assert "100 ft (30.48 m) of hops" in finding.message


def test_a_collapsed_chain_has_no_amps_to_be_near_anything(found_in):
    assert found_in(plan(length="m = 30.0", most_amps=1.0), "margin") == []


def test_only_the_chains_own_start_counts(found_in):
    """The first box repowers: what it delivers is its supply's matter."""
    text = plan(most_amps=0.7).replace("draw_w = 24.0", "draw_w = 24.0\nrepowers = true") + (
        'supply = "P1"\n[[supply]]\ncode = "P1"\nvolts = 230.0\nbreaker_amps = 16.0\n'
        '[[cable]]\ncode = "LK2"\nkind = "cord"\nlength_m = 18.0\n'
        '[[box]]\ncode = "SB2"\nkind = "one"\nfed_from = "SB1"\ncable = "LK2"\n'
    )
    assert found_in(text, "margin") == []
