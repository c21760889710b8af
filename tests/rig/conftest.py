"""Small plans to start from."""

from pathlib import Path

import pytest

from checkapp.rig.planfile import load_plan

SMALL = """
format = 1
[rig]
name = "Test rig"
owner = "TR"
[link_kind.wire]
max_length_m = 100
[cable_kind.hop]
core_mm2 = 0.5
[cable_kind.lead]
[cable_kind.core]
ways = 4
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["mic", "line"]
phantom = true
[box_kind.drop]
inputs = 4
outputs = 2
passive = true
[[chain]]
code = "A"
link = "wire"
desk = "FOH"
[[supply]]
code = "M1"
volts = 230
breaker_amps = 16
[[source]]
code = "MC1"
kind = "condenser"
[[cable]]
code = "H1"
kind = "hop"
length_m = 15
[[cable]]
code = "H2"
kind = "hop"
length_ft = 50
[[cable]]
code = "MU"
kind = "core"
length_m = 10
[[cable]]
code = "X1"
kind = "lead"
length_m = 3
[[cable]]
code = "X2"
kind = "lead"
length_m = 5
spare = true
[[box]]
code = "S1"
kind = "eight"
fed_from = "A"
cable = "H1"
supply = "M1"
[[box]]
code = "S2"
kind = "eight"
fed_from = "S1"
cable = "H2"
[[box]]
code = "D1"
kind = "drop"
fed_from = "S2 in 3"
outputs_from = "S2 out 3"
cable = "MU"
[[input]]
number = 2
name = "Voice"
level = "mic"
phantom = true
source = "MC1"
cable = "X1"
port = "D1 in 2"
[[input]]
number = 1
name = "Drum"
level = "mic"
port = "S1 in 1"
[[input]]
number = 3
name = "Playback"
level = "line"
port = "DESK in 5"
[[output]]
number = 1
name = "Wedge"
port = "D1 out 1"
[[insert]]
name = "Outboard"
input = 1
send = "S2 out 1"
return = "S2 in 8"
"""


@pytest.fixture
def write(tmp_path):
    """Write a plan's text to a file and return its path."""

    def writer(text: str, name: str = "plan.toml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return writer


@pytest.fixture
def small(write):
    """A small rig: two boxes on a chain, a drop box on a multicore, an insert, a line on the desk."""
    return load_plan(write(SMALL))


@pytest.fixture
def small_text():
    """The text of that rig's plan."""
    return SMALL
