"""Levels and phantom power: what is plugged against what takes it."""

import pytest

PLAN = """
[link_kind.thread]
max_length_m = 60.0
[cable_kind.cord]
[box_kind.mic8]
inputs = 8
outputs = 0
accepts = ["mic", "instrument"]
phantom = true
[box_kind.line8]
inputs = 8
outputs = 0
accepts = ["line"]
[box_kind.fan]
inputs = 4
outputs = 0
passive = true
phantom = PASSIVE_PHANTOM
[box_kind.small]
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
kind = "cord"
length_m = 5.0
[[box]]
code = "MIC"
kind = "mic8"
fed_from = "A"
cable = "LK1"
[[box]]
code = "LINE"
kind = "line8"
fed_from = "MIC"
cable = "LK2"
[[box]]
code = "FAN1"
kind = "fan"
fed_from = "MIC in 5"
[[box]]
code = "FAN2"
kind = "fan"
fed_from = "LINE in 5"
[[box]]
code = "NEST"
kind = "small"
fed_from = "FAN2 in 3"
[[box]]
code = "FAN3"
kind = "fan"
fed_from = "DESK in 9"
[[input]]
number = 7
name = "Reeds"
level = "LEVEL"
phantom = PHANTOM
port = "PORT in 1"
"""


def plan(level, port, phantom="false", passive_phantom="false"):
    text = PLAN.replace("LEVEL", level).replace("PORT", port)
    return text.replace("PASSIVE_PHANTOM", passive_phantom).replace("PHANTOM", phantom)


@pytest.mark.parametrize(
    ("port", "taken"),
    [
        ("MIC", {"mic", "instrument"}),
        ("LINE", {"line"}),
        ("FAN1", {"mic", "instrument"}),
        ("FAN2", {"line"}),
        ("NEST", {"line"}),
        ("FAN3", {"mic", "line", "instrument"}),
        ("DESK", {"mic", "line", "instrument"}),
    ],
)
@pytest.mark.parametrize("level", ["mic", "line", "instrument"])
def test_level(found_in, port, taken, level):
    found = [finding for finding in found_in(plan(level, port)) if finding.level == "stop"]
    if level in taken:
        assert found == []
        return
    (finding,) = found
    assert (finding.rule, finding.where) == ("level", "in 7")
    assert (finding.value, finding.limit, finding.unit, finding.basis) == (None, None, None, "plan")
    assert "Reeds" in finding.message
    assert level in finding.message
    assert level in finding.remedy


@pytest.mark.parametrize(
    ("port", "level", "has"),
    [
        ("MIC", "mic", True),
        ("LINE", "line", False),
        ("FAN1", "mic", True),
        ("FAN2", "line", False),
        ("NEST", "line", False),
        ("FAN3", "mic", True),
        ("DESK", "mic", True),
    ],
)
@pytest.mark.parametrize("passive_phantom", ["false", "true"])
def test_phantom_comes_from_the_box_at_the_end_of_the_copper(found_in, port, level, has, passive_phantom):
    found = found_in(plan(level, port, "true", passive_phantom))
    found = [finding for finding in found if finding.level == "stop"]
    assert [(finding.rule, finding.where, finding.value) for finding in found] == (
        [] if has else [("phantom", "in 7", None)]
    )
    assert all("Mute the channel before re-plugging" in finding.remedy for finding in found)
    assert found_in(plan(level, port, "false", passive_phantom), "phantom") == []


def test_the_message_names_the_passive_box_and_the_one_behind_it(found_in):
    (finding,) = found_in(plan("mic", "NEST"), "level")
    assert "NEST" in finding.message
    assert "LINE" in finding.message


# IEC 61938, P48: 48 V behind 2 x 6.8 kohm in parallel, 10 mA at most
@pytest.mark.closed_form
@pytest.mark.parametrize(("draw_ma", "volts"), [(4.0, "34.4"), (10.0, "14"), (14.0, "0.4"), (20.0, "0")])
def test_the_volts_left_at_the_microphone(found_in, draw_ma, volts):
    text = plan("line", "LINE", "true") + f"phantom_ma = {draw_ma}\n"
    (finding,) = found_in(text, "phantom")
    assert f"At its {draw_ma:g} mA, P48 leaves {volts} V at the microphone." in finding.message
    (finding,) = found_in(plan("line", "LINE", "true"), "phantom")
    assert "P48" not in finding.message


@pytest.mark.parametrize("port", ["MIC", "LINE", "FAN1", "FAN3", "DESK"])
@pytest.mark.parametrize(
    ("draw_ma", "phantom", "found"),
    [(9.0, "true", False), (10.0, "true", False), (10.1, "true", True), (10.1, "false", False)],
)
def test_phantom_draw(found_in, port, draw_ma, phantom, found):
    text = plan("mic", port, phantom) + f"phantom_ma = {draw_ma}\n"
    findings = found_in(text, "phantom-draw")
    assert [(one.level, one.where, one.value, one.limit, one.unit, one.basis) for one in findings] == (
        [("caution", "in 7", pytest.approx(draw_ma / 1000), 0.01, "A", "IEC 61938")] if found else []
    )
    assert all("10.1 mA" in one.message and "13.7 V" in one.message for one in findings)


def test_a_line_level_that_does_not_fit_is_told_in_volts(found_in):
    volts = "Line level is 0.316 V (-10 dBV) to 1.228 V (+4 dBu)"
    for level, port, told in (("line", "MIC", True), ("mic", "LINE", True), ("instrument", "FAN2", True)):
        (finding,) = found_in(plan(level, port), "level")
        assert (volts in finding.message) == told
    (finding,) = found_in(plan("instrument", "MIC").replace('["mic", "instrument"]', '["mic"]'), "level")
    assert volts not in finding.message
