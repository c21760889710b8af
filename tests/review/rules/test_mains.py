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


FEEDER = """
[[supply]]
code = "C3"
volts = 240.0
breaker_amps = 40.0
other_load_w = 4800.0
"""


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("fields", "percent"),
    [
        ("cable_m = 29.0\ncore_mm2 = 2.5\nconductor_c = 20.0", 100 * 20 * 2 * 29 / 58 / 2.5 / 240),
        ("cable_m = 29.0\ncore_mm2 = 2.5", 100 * 20 * 2 * 29 / 58 / 2.5 / 240 * (1 + 0.00393 * 50)),
        ("cable_m = 29.0\ncore_mm2 = 4.0", None),
        ("cable_ft = 1000.0\ncore_awg = 12", 100 * 20 * 2 * 304.8 / 58 / 3.3088 / 240 * (1 + 0.00393 * 50)),
        ("cable_m = 29.0", None),
        ("core_mm2 = 0.5", None),
        ("", None),
    ],
)
def test_mains_drop(found_in, fields, percent):
    """20 A: both conductors, 1/58 ohm mm2/m at 20 C, 0.00393 /K; needs length and core."""
    found = found_in(PLAN.replace("OTHER", "0.0") + FEEDER + fields, "mains-drop")
    assert [(one.level, one.where, one.limit, one.unit, one.basis) for one in found] == (
        [("caution", "C3", 3.0, "%", "IEC 60364")] if percent else []
    )
    for finding in found:
        assert finding.value == pytest.approx(percent, rel=1e-5)
        assert "qualified people" in finding.remedy


@pytest.mark.closed_form
@pytest.mark.parametrize(("factor", "broken"), [(1 - 1e-8, False), (1.0, False), (1 + 0.9e-9, False), (1 + 1e-8, True)])
def test_a_drop_of_just_3_percent_passes(found_in, factor, broken):
    """58 m of 2 mm2 at 20 C have 1 ohm; 7.2 A lose 7.2 V, 3 % of 240 V."""
    text = FEEDER.replace("4800.0", repr(240 * 7.2 * factor)) + "cable_m = 58.0\ncore_mm2 = 2.0\nconductor_c = 20.0\n"
    assert bool(found_in(PLAN.replace("OTHER", "0.0") + text, "mains-drop")) == broken


@pytest.mark.closed_form
def test_the_drop_is_that_of_all_amps_on_the_supply(found_in):
    """6 W and 32 W into the link at power factor 0.5 on 100 V: 0.76 A, as for the load; 1.5 ohm lose 1.14 %."""
    feeder = "breaker_amps = 1.0\ncable_m = 87.0\ncore_mm2 = 0.5\nconductor_c = 20.0"
    (finding,) = found_in(PLAN.replace("OTHER", "0.0").replace("breaker_amps = 1.0", feeder), "mains-drop")
    assert finding.where == "C2"
    assert finding.value == pytest.approx(0.76 * 6.0, rel=1e-12)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ("cable_m = 29.0\ncore_mm2 = 2.5\nconductor_c = 20.0", "Use a feeder of 4 mm2, or one of 26 m at most"),
        ("cable_m = 100.0\ncore_awg = 12\nconductor_c = 20.0", "Use a feeder of 6 AWG, or one of 34.5 m at most"),
        ("cable_ft = 300.0\ncore_mm2 = 4.0\nconductor_c = 20.0", "Use a feeder of 10 mm2, or one of 137 ft at most"),
        ("cable_m = 9000.0\ncore_mm2 = 2.5", "Use a feeder of 21.8 m at most"),
    ],
)
def test_a_core_and_a_length_that_would_do(found_in, fields, words):
    (finding,) = found_in(PLAN.replace("OTHER", "0.0") + FEEDER + fields, "mains-drop")
    assert finding.remedy.startswith(words)


@pytest.mark.parametrize("old", ["29.0\ncore_mm2 = 2.5", "100.0\ncore_awg = 12", "33.3\ncore_mm2 = 2.5"])
def test_the_core_and_the_length_told_do_clear_the_finding(found_in, old):
    head = PLAN.replace("OTHER", "0.0") + FEEDER
    (finding,) = found_in(head + f"cable_m = {old}", "mains-drop")
    words = finding.remedy.split()
    core, unit, metres = words[4], words[5].rstrip(","), words[words.index("m") - 1]
    thicker = f"cable_m = {old.split()[0]}\ncore_{unit.lower()} = {core}"
    shorter = f"cable_m = {metres}\n{old.splitlines()[1]}"
    assert found_in(head + thicker, "mains-drop") == []
    assert found_in(head + shorter, "mains-drop") == []


@pytest.mark.parametrize(
    ("other_w", "volts", "rating"), [(2000.001, 200.0, "13 A"), (1600.001, 200.0, "13 A"), (1900.0, 120.0, "20 A")]
)
def test_the_circuit_that_all_of_it_wants(found_in, other_w, volts, rating):
    text = PLAN.replace("OTHER", repr(other_w)).replace("volts = 200.0", f"volts = {volts}")
    (finding,) = [f for f in found_in(text, "mains-load") if f.where == "C1"]
    assert f"wants a circuit of {rating}, breaker and cables alike" in finding.remedy


def test_no_circuit_is_named_beyond_the_list(found_in):
    (finding,) = [f for f in found_in(PLAN.replace("OTHER", "90000.0"), "mains-load") if f.where == "C1"]
    assert "circuit" not in finding.remedy
