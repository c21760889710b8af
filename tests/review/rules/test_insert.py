"""How late inserts come back."""

import pytest

PLAN = """
[link_kind.thread]
max_length_m = 900.0
hop_delay_us = 45.0
[link_kind.mute]
max_length_m = 900.0
[link_kind.onward]
max_length_m = 900.0
hop_delay_us = 10.0
[cable_kind.cord]
[box_kind.mic8]
inputs = 8
outputs = 8
accepts = ["mic"]
[box_kind.fan]
inputs = 4
outputs = 4
passive = true
[box_kind.small]
inputs = 2
outputs = 2
passive = true
[[chain]]
code = "A"
link = "thread"
[[chain]]
code = "B"
link = "mute"
[[chain]]
code = "C"
link = "onward"
from = "A2"
[[chain]]
code = "D"
link = "onward"
from = "B1"
BOXES
[[box]]
code = "FAN"
kind = "fan"
fed_from = "A3 in 1"
outputs_from = "A2 out 1"
[[box]]
code = "NEST"
kind = "small"
fed_from = "FAN in 1"
outputs_from = "FAN out 1"
[[box]]
code = "HALL"
kind = "fan"
fed_from = "DESK in 50"
outputs_from = "DESK out 50"
[[input]]
number = 5
name = "Voice"
level = "mic"
port = "A1 in 1"
[[insert]]
name = "Leveller"
input = 5
send = "SEND"
return = "RETURN"
"""
BOX = """
[[cable]]
code = "H{0}"
kind = "cord"
length_m = 1.0
[[box]]
code = "{0}"
kind = "mic8"
fed_from = "{1}"
cable = "H{0}"
"""
FEEDS = {"A1": "A", "A2": "A1", "A3": "A2", "B1": "B", "C1": "C", "C2": "C1", "D1": "D"}
BOXES = "".join(BOX.format(code, feed) for code, feed in FEEDS.items())


def plan(send, back, more=""):
    return PLAN.replace("BOXES", BOXES).replace("SEND", send).replace("RETURN", back) + more


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("send", "back", "delay_us"),
    [
        ("A1 out 7", "A1 in 7", 45.0 + 45.0),
        ("A3 out 7", "A1 in 7", 135.0 + 45.0),
        ("A2 out 7", "DESK in 7", 90.0),
        ("DESK out 7", "A3 in 7", 135.0),
        ("DESK out 7", "DESK in 7", None),
        ("C1 out 7", "C2 in 7", (90.0 + 10.0) + (90.0 + 20.0)),
        ("FAN out 4", "FAN in 4", 90.0 + 135.0),
        ("NEST out 1", "NEST in 1", 90.0 + 135.0),
        ("NEST out 1", "HALL in 1", 90.0),
        ("HALL out 1", "HALL in 1", None),
        ("B1 out 1", "B1 in 1", None),
        ("A1 out 7", "B1 in 1", None),
        ("D1 out 1", "D1 in 1", None),
    ],
)
def test_insert_delay(found_in, send, back, delay_us):
    """k-th box of a chain: k x 45 us; a chain from a box adds that box's way; unknown when a figure is not given."""
    found = found_in(plan(send, back), "insert-delay")
    assert [(one.level, one.where, one.value, one.limit, one.unit) for one in found] == (
        [("note", "in 5", pytest.approx(delay_us, rel=1e-12), None, "us")] if delay_us else []
    )


@pytest.mark.closed_form
def test_parallel_is_a_caution_and_says_where_the_comb_is(found_in):
    """125 us: 6 samples at 48 kHz; first notch 1/(2 tau) = 4 kHz, then every 1/tau = 8 kHz."""
    text = plan("A1 out 7", "A1 in 7", "parallel = true\n").replace("hop_delay_us = 45.0", "hop_delay_us = 62.5")
    (finding,) = found_in(text, "insert-delay")
    assert finding.level == "caution"
    assert "125 us later, 6 samples at 48 kHz" in finding.message
    assert "cancels at 4 kHz, and every 8 kHz from there" in finding.message
    (finding,) = found_in(text.replace("parallel = true", "parallel = false"), "insert-delay")
    assert finding.level == "note"
    assert "cancels" not in finding.message


def test_samples_are_those_of_the_rigs_rate(found_in):
    text = plan("A1 out 7", "A1 in 7").replace("[link_kind.thread]", "[link_kind.thread]", 1)
    (finding,) = found_in("sample_rate_hz = 96000.0\n" + text, "insert-delay")
    assert "90 us later, 8.64 samples at 96 kHz" in finding.message


def test_a_long_delay_notches_in_hertz(found_in):
    text = plan("A1 out 7", "A1 in 7", "parallel = true\n").replace("hop_delay_us = 45.0", "hop_delay_us = 500.0")
    (finding,) = found_in(text, "insert-delay")
    assert "cancels at 500 Hz, and every 1 kHz from there" in finding.message
