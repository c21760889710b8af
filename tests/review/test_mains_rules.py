"""What a supply carries, against its breaker."""

import pytest

from checkapp.review.mains import supply_amps

PLAN = """
[link_kind.deck]
max_length_m = 900.0
volts = 48.0
max_amps = 5.0
[cable_kind.cord]
loop_ohm_per_m = 1.0
[box_kind.eight]
inputs = 8
outputs = 0
accepts = ["line"]
draw_w = 24.0
link_powered = true
[box_kind.hub]
inputs = 0
outputs = 2
draw_w = 6.0
power_factor = 0.5
repowers = true
[[supply]]
code = "C1"
volts = 200.0
breaker_amps = 10.0
other_load_w = OTHER
[[supply]]
code = "C2"
volts = 100.0
breaker_amps = 1.0
[[chain]]
code = "A"
link = "deck"
[[cable]]
code = "LK1"
kind = "cord"
length_m = 5.0
[[cable]]
code = "LK2"
kind = "cord"
length_m = 18.0
[[box]]
code = "HUB"
kind = "hub"
fed_from = "A"
cable = "LK1"
supply = "C2"
[[box]]
code = "SB1"
kind = "eight"
fed_from = "HUB"
cable = "LK2"
"""


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("other_w", "level"),
    [
        (1590.0, None),
        (1600.0, None),
        (1600.0 * (1 + 0.9e-9), None),
        (1600.001, "caution"),
        (1990.0, "caution"),
        (2000.0, "caution"),
        (2000.0 * (1 + 0.9e-9), "caution"),
        (2000.001, "stop"),
    ],
)
def test_mains_load(found_in, other_w, level):
    found = [f for f in found_in(PLAN.replace("OTHER", repr(other_w)), "mains-load") if f.where == "C1"]
    limit, basis = (10.0, "plan") if level == "stop" else (8.0, "NFPA 70")
    assert [(f.level, f.value, f.limit, f.unit, f.basis) for f in found] == (
        [(level, other_w / 200.0, limit, "A", basis)] if level else []
    )
    assert all("qualified people" in finding.remedy for finding in found)


# NFPA 70 Art. 100, 210.20(A), 215.3: a device is at least 125 % of a continuous load
@pytest.mark.published
@pytest.mark.parametrize(("breaker", "most"), [(15, 12), (20, 16), (30, 24), (40, 32)])
def test_the_most_for_a_continuous_load(found_in, breaker, most):
    plan = PLAN.replace("breaker_amps = 10.0", f"breaker_amps = {breaker}.0")
    assert [f for f in found_in(plan.replace("OTHER", f"{most * 200}.0"), "mains-load") if f.where == "C1"] == []
    (finding,) = [f for f in found_in(plan.replace("OTHER", f"{most * 200 + 1}.0"), "mains-load") if f.where == "C1"]
    assert (finding.level, finding.limit) == ("caution", pytest.approx(most, rel=1e-12))


@pytest.mark.closed_form
def test_a_repowering_box_carries_what_its_source_delivers(rig_of):
    """6 W of its own and 32 W into the link (48 V, 18 ohm, 24 W), at power factor 0.5, on 100 V."""
    amps = supply_amps(rig_of(PLAN.replace("OTHER", "0.0")))
    assert amps == {"C1": 0.0, "C2": pytest.approx((6.0 + 32.0) / 0.5 / 100.0, rel=1e-12)}


@pytest.mark.closed_form
def test_a_link_powered_box_on_a_supply_loads_it(rig_of):
    rig = rig_of(PLAN.replace("OTHER", "100.0") + 'supply = "C1"\n')
    assert supply_amps(rig) == {"C1": pytest.approx(124.0 / 200.0), "C2": pytest.approx(6.0 / 0.5 / 100.0)}


@pytest.mark.closed_form
def test_a_collapsed_source_counts_only_the_box_itself(rig_of):
    rig = rig_of(PLAN.replace("OTHER", "0.0").replace("length_m = 18.0", "length_m = 90.0"))
    assert supply_amps(rig)["C2"] == pytest.approx(6.0 / 0.5 / 100.0)
