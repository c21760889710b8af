"""Lengths, boxes and channels of a chain: at the limit, just above it, just below."""

import pytest

PLAN = """
ambient_c = 20.0
[link_kind.thread]
max_length_m = 60.0
max_hop_m = 40.0
max_boxes = 2
max_channels = 24
[cable_kind.cord]
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
[box_kind.fan]
inputs = 4
outputs = 0
passive = true
[[chain]]
code = "A"
link = "thread"
[[cable]]
code = "LK1"
kind = "cord"
length_m = 25.0
[[cable]]
code = "LK2"
kind = "cord"
length_m = 35.0
[[cable]]
code = "LK3"
kind = "cord"
length_m = 5.0
[[box]]
code = "SB1"
kind = "eight"
fed_from = "A"
cable = "LK1"
[[box]]
code = "SB2"
kind = "eight"
fed_from = "SB1"
cable = "LK2"
[[box]]
code = "FAN"
kind = "fan"
fed_from = "SB1 in 1"
"""
THIRD = '[[box]]\ncode = "SB3"\nkind = "eight"\nfed_from = "SB2"\ncable = "LK3"\n'


def test_all_at_their_limits_pass(found_in):
    assert [finding for finding in found_in(PLAN) if finding.level == "stop"] == []


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("last", "breaks"), [("34.0", False), ("35.00000003", False), ("35.000001", True), ("36.0", True)]
)
def test_chain_length(found_in, last, breaks):
    found = found_in(PLAN.replace("length_m = 35.0", f"length_m = {last}"), "chain-length")
    if not breaks:
        assert found == []
        return
    (finding,) = found
    assert (finding.level, finding.where, finding.limit, finding.unit) == ("stop", "chain A", 60.0, "m")
    assert finding.value == pytest.approx(25.0 + float(last), rel=1e-14)
    assert finding.basis == "plan"
    assert finding.remedy


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("length", "breaks"), [("39.9", False), ("40.00000003", False), ("40.000001", True), ("41.0", True)]
)
def test_hop_length(found_in, length, breaks):
    plan = PLAN.replace("length_m = 35.0", f"length_m = {length}").replace("length_m = 60.0", "length_m = 99.0")
    found = found_in(plan, "hop-length")
    assert [(f.where, f.level, f.value, f.limit, f.unit) for f in found] == (
        [("LK2", "stop", float(length), 40.0, "m")] if breaks else []
    )
    assert all("from SB1 to SB2" in finding.message for finding in found)


def test_no_limit_of_a_hop_no_finding(found_in):
    plan = PLAN.replace("max_hop_m = 40.0", "").replace("length_m = 35.0", "length_m = 59.0")
    assert found_in(plan, "hop-length") == []


@pytest.mark.closed_form
def test_lengths_in_feet_are_said_as_written(found_in):
    plan = PLAN.replace("length_m = 25.0", "length_ft = 100").replace("length_m = 35.0", "length_ft = 150")
    (chain,), (hop,) = found_in(plan, "chain-length"), found_in(plan, "hop-length")
    assert "250 ft (76.2 m)" in chain.message
    assert "150 ft (45.7 m)" in hop.message
    assert chain.value == pytest.approx(76.2, rel=1e-12)
    assert hop.value == pytest.approx(45.72, rel=1e-12)


def test_a_value_that_looks_like_its_limit_is_said_with_more_digits(found_in):
    (finding,) = found_in(PLAN.replace("length_m = 35.0", "length_m = 35.000001"), "chain-length")
    assert "60.000001 m" in finding.message


def test_chain_boxes_counts_no_passive_box(found_in):
    assert found_in(PLAN, "chain-boxes") == []
    (finding,) = found_in(PLAN + THIRD, "chain-boxes")
    assert (finding.level, finding.where) == ("stop", "chain A")
    assert (finding.value, finding.limit, finding.unit) == (3, 2, "boxes")


def test_chain_channels(found_in):
    assert found_in(PLAN, "chain-channels") == []
    (finding,) = found_in(PLAN.replace("max_channels = 24", "max_channels = 23"), "chain-channels")
    assert (finding.level, finding.where) == ("stop", "chain A")
    assert (finding.value, finding.limit, finding.unit) == (24, 23, "slots")
    assert found_in(PLAN.replace("max_channels = 24", ""), "chain-channels") == []


def test_repeated_outputs_take_no_channels(found_in):
    repeating = PLAN.replace('fed_from = "SB1"\n', 'fed_from = "SB1"\nrepeats = "SB1"\n')
    assert found_in(repeating.replace("max_channels = 24", "max_channels = 20"), "chain-channels") == []
    (finding,) = found_in(repeating.replace("max_channels = 24", "max_channels = 19"), "chain-channels")
    assert finding.value == 20


def test_chain_that_starts_at_a_box_is_judged_by_itself(found_in):
    second = '[[chain]]\ncode = "B"\nlink = "thread"\nfrom = "SB1"\n' + THIRD.replace('"SB2"', '"B"')
    plan = (PLAN + second).replace("length_m = 5.0", "length_m = 50.0")
    found = found_in(plan)
    assert [(f.rule, f.where) for f in found if f.level == "stop"] == [("hop-length", "LK3")]
    assert "from SB1 to SB3" in found[0].message
