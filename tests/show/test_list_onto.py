"""A list put on a rig by `plan import --onto`: what stays, what is plugged, what is written."""

import json
import shutil
from pathlib import Path

import pytest

from checkapp.cli import main
from checkapp.rig.planfile import load_plan

PLANS = Path(__file__).parents[2] / "plans"
HEAD = "Ch,Name,Mic/DI,48V,Zone\n"


@pytest.fixture
def demo(tmp_path):
    for name in ("demo.toml", "kinds.toml"):
        shutil.copy(PLANS / name, tmp_path)
    return tmp_path / "demo.toml"


def brought(capsys, demo, rows, *words, status=0):
    sheet = demo.parent / "list.csv"
    sheet.write_text(HEAD + rows)
    with pytest.raises(SystemExit) as left:
        main(["plan", "import", str(sheet), "--onto", str(demo), "--out", str(demo.parent / "new.toml"), *words])
    assert left.value.code == status
    return capsys.readouterr()


def test_lines_that_go_on_stay_and_a_list_of_inputs_leaves_the_outputs(capsys, demo):
    out = brought(capsys, demo, "1,Snare top,dyn,,Drums\n2,Bagpipe,cond,x,Drums\n").out
    new, old = load_plan(demo.parent / "new.toml"), load_plan(demo)
    assert {line.line: line.port for line in new.lines if line.line.startswith("in")} == {
        "in 1": "DRUM in 3",
        "in 2": "DRUM in 12",
    }
    assert new.plan.output == old.plan.output
    assert f"{1 + len(old.plan.output)} lines stay, 1 to plug, {len(old.plan.input) - 1} of before gone." in out
    assert "Check these" in out
    assert "phantom power" in out


def test_the_rest_of_the_plan_stays_byte_for_byte(capsys, demo):
    brought(capsys, demo, "1,Snare top,dyn,,Drums\n")
    before, after = demo.read_bytes(), (demo.parent / "new.toml").read_bytes()
    assert before.partition(b"[[input]]")[0] == after.partition(b"[[input]]")[0]


def test_the_json_says_where_every_line_went_and_what_found_no_port(capsys, demo):
    rows = "".join(f"{n},Choir {n},cond,x,Choir\n" for n in range(1, 100))
    found = json.loads(brought(capsys, demo, rows, "--json").out)
    assert found["replugs"] == sum(line["port"] is not None for line in found["lines"] if not line["stays"])
    assert found["unplaced"] == [line["line"] for line in found["lines"] if line["port"] is None]
    assert len(found["unplaced"]) > 20
    assert found["written"].endswith("new.toml")
    assert {step["step"] for step in found["changes"]["steps"]} >= {"unplug", "lines"}


def test_a_strict_import_writes_nothing_while_a_line_has_no_port(capsys, demo):
    rows = "".join(f"{n},Choir {n},cond,x,Choir\n" for n in range(1, 100))
    assert "Nothing written" in brought(capsys, demo, rows, "--strict", status=1).out
    assert not (demo.parent / "new.toml").exists()


def test_the_port_that_a_list_names_is_taken(capsys, demo):
    sheet = demo.parent / "list.csv"
    sheet.write_text("Ch,Name,Box,Port\n1,Bagpipe,BRASS,7\n2,Reed pipe,KEYS,99\n")
    with pytest.raises(SystemExit):
        main(["plan", "import", str(sheet), "--onto", str(demo), "--out", str(demo.parent / "new.toml")])
    new = load_plan(demo.parent / "new.toml")
    assert new.line("in 1").port == "BRASS in 7"
    said = "The list has in 2 Reed pipe in KEYS in 99, which is not there, taken or takes no mic level: {} instead."
    assert said.format(new.line("in 2").port) in capsys.readouterr().out


def test_over_a_file_that_is_there_only_when_forced(capsys, demo):
    (demo.parent / "new.toml").write_text("mine")
    assert "--force" in brought(capsys, demo, "1,Snare top,dyn,,Drums\n", status=2).err
    assert (demo.parent / "new.toml").read_text() == "mine"
    brought(capsys, demo, "1,Snare top,dyn,,Drums\n", "--force")
    assert load_plan(demo.parent / "new.toml").line("in 1").name == "Snare top"


def test_the_rig_s_own_name_stays(capsys, demo):
    assert "leave them out" in brought(capsys, demo, "1,Snare top,dyn,,Drums\n", "--name", "Other", status=2).err
