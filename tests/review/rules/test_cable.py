"""Impedance of hops, kinds mixed in a chain, spares."""

import re

import pytest

PLAN = """
[link_kind.thread]
max_length_m = 90.0
impedance_ohm = 110.0
TOLERANCE
[cable_kind.cord]
IMPEDANCE
[cable_kind.other]
impedance_ohm = 100.0
[cable_kind.loom]
impedance_ohm = 20.0
ways = 3
[box_kind.mic8]
inputs = 8
outputs = 2
accepts = ["mic"]
[box_kind.drop]
inputs = 2
outputs = 0
passive = true
[[chain]]
code = "A"
link = "thread"
[[cable]]
code = "LK1"
kind = "cord"
length_m = 5.0
[[cable]]
code = "LK2"
kind = "SECOND"
length_m = 5.0
[[cable]]
code = "LM1"
kind = "loom"
length_m = 5.0
[[box]]
code = "NEAR"
kind = "mic8"
fed_from = "A"
cable = "LK1"
[[box]]
code = "FAR"
kind = "mic8"
fed_from = "NEAR"
cable = "LK2"
[[box]]
code = "DROP"
kind = "drop"
fed_from = "FAR in 1"
cable = "LM1"
"""


def plan(ohm=110.0, tolerance=None, second="other", more=""):
    given = f"impedance_ohm = {ohm!r}" if ohm is not None else ""
    allowed = f"impedance_tolerance = {tolerance!r}" if tolerance is not None else ""
    return PLAN.replace("IMPEDANCE", given).replace("TOLERANCE", allowed).replace("SECOND", second) + more


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("ohm", "tolerance", "bound"),
    [
        (110.0, None, None),
        (88.0, None, None),
        (132.0, None, None),
        (88.0 * (1 - 0.9e-9), None, None),
        (132.0 * (1 + 0.9e-9), None, None),
        (87.9, None, 88.0),
        (132.1, None, 132.0),
        (75.0, None, 88.0),
        (110.0, 0.0, None),
        (111.0, 0.0, 110.0),
        (109.0, 0.0, 110.0),
        (1.0, 1.5, None),
        (300.0, 1.5, 275.0),
        (None, None, None),
    ],
)
def test_cable_impedance(found_in, ohm, tolerance, bound):
    found = [one for one in found_in(plan(ohm, tolerance), "cable-impedance") if one.where == "LK1"]
    assert [(one.level, one.value, one.unit, one.basis) for one in found] == (
        [("caution", ohm, "ohm", "plan")] if bound else []
    )
    assert all(one.limit == pytest.approx(bound, rel=1e-12) for one in found)


# AES3 and IEC 60958-4-4 want 110 ohm; the return loss of a step is -20 log10 |Z - Z0|/(Z + Z0): closed form
@pytest.mark.closed_form
@pytest.mark.parametrize(("ohm", "loss_db", "percent"), [(75.0, "14.5", "18.9"), (60.0, "10.6", "29.4")])
def test_the_message_says_what_comes_back(found_in, ohm, loss_db, percent):
    (finding,) = found_in(plan(ohm), "cable-impedance")
    assert f"return loss of {loss_db} dB: {percent} % of the voltage" in finding.message
    assert "thread wants 110 ohm, no less than 88 ohm" in finding.message


def test_a_link_without_impedance_takes_any_cable(found_in):
    assert found_in(plan(75.0).replace("impedance_ohm = 110.0", ""), "cable-impedance") == []


def test_the_multicore_of_a_drop_box_is_no_hop(found_in):
    assert found_in(plan(110.0), "cable-impedance") == []


def test_spares_that_suit_the_link_are_named(found_in):
    spares = "".join(
        f'[[cable]]\ncode = "{code}"\nkind = "{kind}"\nlength_{unit} = 30.0\nspare = true\n'
        for code, kind, unit in (("SP1", "other", "m"), ("SP2", "cord", "m"), ("SP3", "other", "ft"))
    )
    (finding,) = found_in(plan(75.0, more=spares), "cable-impedance")
    assert finding.remedy.endswith("Spare and suited: SP1 (30 m) and SP3 (30 ft).")
    (finding,) = found_in(plan(75.0), "cable-impedance")
    assert "Spare" not in finding.remedy


@pytest.mark.closed_form
def test_mixed_cables(found_in):
    """110 on 100 ohm: 10/210 comes back, 26.44 dB."""
    (finding,) = found_in(plan(110.0), "mixed-cables")
    assert (finding.level, finding.where, finding.value, finding.limit) == ("note", "chain A", None, None)
    assert "cord and other" in finding.message
    assert "Where LK1 meets LK2 the return loss is 26.4 dB." in finding.message
    assert found_in(plan(110.0, second="cord"), "mixed-cables") == []


@pytest.mark.parametrize("ohm", [None, 100.0])
def test_mixed_cables_without_a_step_say_nothing_of_it(found_in, ohm):
    (finding,) = found_in(plan(ohm), "mixed-cables")
    assert "return loss" not in finding.message


def test_no_spare(found_in):
    (finding,) = found_in(plan(), "no-spare")
    assert (finding.level, finding.where) == ("note", "LK1")
    assert "no spare of cord, other and loom" in finding.message
    spare = '[[cable]]\ncode = "SP{0}"\nkind = "{1}"\nlength_m = 9.0\nspare = true\n'
    some = spare.format(1, "cord") + spare.format(2, "loom")
    (finding,) = found_in(plan(more=some), "no-spare")
    assert finding.where == "LK2"
    assert re.search(r"no spare of other\.", finding.message)
    assert found_in(plan(more=some + spare.format(3, "other")), "no-spare") == []


def test_a_kind_that_nothing_uses_needs_no_spare(found_in):
    idle = '[[cable]]\ncode = "IDLE"\nkind = "idle"\nlength_m = 9.0\n[cable_kind.idle]\n'
    (finding,) = found_in(plan(more=idle), "no-spare")
    assert "idle" not in finding.message
