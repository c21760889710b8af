from pathlib import Path

from checkapp.rig.ends import chain_start, plugs
from checkapp.rig.planfile import load_plan
from checkapp.tongue import speaking

PLANS = Path(__file__).parents[2] / "plans"


def into(rig, cable, end):
    return [plug.into for plug in plugs(rig).get((cable, end), ())]


def test_the_end_nearer_the_desk_is_a(small):
    assert into(small, "H1", "A") == ["FOH chain A"]
    assert into(small, "H1", "B") == ["S1 link in"]
    assert into(small, "H2", "A") == ["S1 link out"]
    assert into(small, "H2", "B") == ["S2 link in"]


def test_a_multicore_goes_from_the_ports_it_occupies_to_its_drop_box(small):
    assert into(small, "MU", "A") == ["S2 in 3 to 6", "S2 out 3 to 4"]
    assert into(small, "MU", "B") == ["D1"]


def test_a_line_cable_goes_from_port_to_source_and_a_spare_nowhere(small):
    assert into(small, "X1", "A") == ["D1 in 2"]
    assert into(small, "X1", "B") == ["MC1, condenser"]
    assert into(small, "X2", "A") == []


def test_a_chain_starts_at_a_desk_by_its_name_or_at_an_outlet(small, tmp_path):
    assert chain_start(small, "A") == "FOH"
    for name in ("kinds.toml", "small.toml"):
        (tmp_path / name).write_text((PLANS / name).read_text(encoding="utf-8"), encoding="utf-8")
    with (tmp_path / "small.toml").open("a", encoding="utf-8") as plan:
        plan.write('[[chain]]\ncode = "MON"\nlink = "thread"\nfrom = "STOVE"\n')
    rig = load_plan(tmp_path / "small.toml")
    assert (chain_start(rig, "ROOM"), chain_start(rig, "MON")) == ("desk", "STOVE outlet")
    with speaking("de"):
        assert (chain_start(rig, "ROOM"), chain_start(rig, "MON")) == ("Pult", "Abgang STOVE")
