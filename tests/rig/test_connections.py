"""Which end of which cable goes into what, for all that set-up plugs."""

from pathlib import Path

import pytest

from checkapp.rig.connections import connections
from checkapp.rig.ends import plugs
from checkapp.rig.planfile import load_plan

PLANS = Path(__file__).parents[2] / "plans"


@pytest.fixture(scope="module")
def demo():
    return load_plan(PLANS / "demo.toml")


def of(rig, subject):
    return [one for one in connections(rig) if one.subject == subject]


def test_a_hop_goes_from_the_desks_chain_into_link_in(demo):
    near, far = of(demo, "HP01 A"), of(demo, "HP01 B")
    assert [(one.at, one.ports, one.place) for one in near] == [("chain FRONT", ("chain FRONT",), "House")]
    assert [(one.at, one.ports, one.into) for one in far] == [("RIGHT", ("RIGHT link in",), "RIGHT link in")]
    assert far[0].place == "Downstage right"


def test_the_next_hop_comes_from_link_out(demo):
    assert [(one.at, one.ports) for one in of(demo, "HP02 A")] == [("RIGHT", ("RIGHT link out",))]


def test_a_passive_boxs_multicore_takes_all_its_ports_at_one_box(demo):
    (near,) = of(demo, "LM01 A")
    assert near.at == "LEFT"
    assert near.ports == (*(f"LEFT in {n}" for n in range(5, 13)), "LEFT out 5", "LEFT out 6")
    assert near.into == "LEFT in 5 to 12 and LEFT out 5 to 6"
    assert [(one.at, one.ports) for one in of(demo, "LM01 B")] == [("DROP", ("DROP",))]


def test_ways_of_a_multicore_go_to_one_box_at_one_end_and_to_many_sources_at_the_other(demo):
    (near,) = of(demo, "FN01 A")
    assert near.ports[:2] == ("DRUM in 1", "DRUM in 2")
    assert near.into == "DRUM in 1 to 4, in 6 to 7"
    far = of(demo, "FN01 B")
    assert [one.at for one in far] == [f"source in {n}" for n in (1, 2, 3, 4, 6, 7)]
    assert far[1].into == "Kick out, way 2"


def test_a_source_with_a_tag_is_named_by_it_and_stands_for_its_line(demo):
    (far,) = of(demo, "LD21 B")
    assert (far.at, far.into, far.place) == ("DI04", "DI04, active DI", "Front right")
    assert far.goes("DI04")
    assert far.goes("in 31")
    assert not far.goes("in 32")


def test_a_chain_that_starts_at_an_outlet_can_be_known_by_its_box_too(tmp_path):
    kinds = (PLANS / "kinds.toml").read_text()
    (tmp_path / "kinds.toml").write_text(kinds)
    text = (PLANS / "small.toml").read_text()
    text += """
[[chain]]
code = "MON"
link = "thread"
from = "STOVE"
[[cable]]
code = "HP09"
kind = "cord"
length_m = 5
[[box]]
code = "EAR"
kind = "riser8"
fed_from = "MON"
cable = "HP09"
supply = "PWR1"
"""
    (tmp_path / "plan.toml").write_text(text)
    (near,) = of(load_plan(tmp_path / "plan.toml"), "HP09 A")
    assert (near.at, near.also, near.place) == ("chain MON", ("STOVE",), "Behind the stove")
    assert near.goes("STOVE")


@pytest.mark.independent
@pytest.mark.parametrize("name", ["demo", "small", "wrong"])
def test_the_ends_are_those_that_the_tags_and_the_paper_speak_of(name):
    rig = load_plan(PLANS / f"{name}.toml")
    assert {(one.cable, one.end) for one in connections(rig)} == set(plugs(rig))


@pytest.mark.parametrize("name", ["demo", "small"])
def test_no_two_ends_go_into_one_port(name):
    rig = load_plan(PLANS / f"{name}.toml")
    ports = [port for one in connections(rig) for port in one.ports]
    assert len(ports) == len(set(ports))
