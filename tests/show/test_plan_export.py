"""The rig as a workbook and back, as the commands do it: in place, with used files, and every fault at its cell."""

import importlib.util
import json
import random
import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from checkapp.cli_commands import app
from checkapp.rig.errors import PlanRefused
from checkapp.rig.planfile import load_plan
from checkapp.rig.toml_text import document
from checkapp.sheets.workbook_in import WorkbookRefused
from checkapp.show.plan_export import SheetNotMade, export_plan
from checkapp.show.workbook_importing import PlanNotMade, bring_back, is_workbook

_spec = importlib.util.spec_from_file_location("random_rigs", Path(__file__).parents[1] / "sheets" / "random_rigs.py")
random_rigs = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(random_rigs)


@pytest.fixture
def folder(plans, tmp_path):
    shutil.copytree(plans, tmp_path / "plans")
    return tmp_path / "plans"


@pytest.fixture
def book(folder):
    """The workbook of the demo rig, beside its plan."""
    export_plan(folder / "demo.toml", folder / "demo.xlsx")
    return folder / "demo.xlsx"


def edit(path, *cells):
    opened = load_workbook(path)
    for sheet, cell, value in cells:
        opened[sheet][cell].value = value
    opened.save(path)


def differing(old, new):
    return [(a, b) for a, b in zip(old.split("\n"), new.split("\n"), strict=True) if a != b]


@pytest.mark.parametrize("name", ["demo", "small", "wrong"])
def test_a_plan_brought_back_is_the_same_rig_and_onto_itself_the_same_file(name, folder):
    plan, book = folder / f"{name}.toml", folder / "rig.xlsx"
    before, rig = plan.read_bytes(), load_plan(plan)
    export_plan(plan, book)
    new = bring_back(book, folder / "new.toml")
    assert new.rig.plan == rig.plan and new.onto is None and new.said == ()
    onto = bring_back(book, plan)
    assert onto.rig.plan == rig.plan and onto.rig.digest == rig.digest and plan.read_bytes() == before
    assert onto.changes == {}


@pytest.mark.parametrize("seed", range(6))
def test_random_rigs_come_back(seed, tmp_path):
    plan, book = tmp_path / "plan.toml", tmp_path / "rig.xlsx"
    text = document(random_rigs.random_plan(random.Random(2000 + seed))).encode()
    plan.write_bytes(text)
    rig = load_plan(plan)
    export_plan(plan, book)
    assert bring_back(book, tmp_path / "new.toml").rig.plan == rig.plan
    bring_back(book, plan)
    assert plan.read_bytes() == text


def test_edits_go_to_their_places_and_comments_stay(folder, book):
    before = (folder / "demo.toml").read_text()
    edit(book, ("rig", "C2", 8), ("cables", "C2", 45.5), ("inputs", "B3", "Kick, =out"))
    done = bring_back(book, folder / "demo.toml")
    changed = differing(before, (folder / "demo.toml").read_text())
    assert len(changed) == 3 and changed[0][1].startswith("version = 8              # count it up")
    assert changed[1] == ("length_m = 45.0          # desk to RIGHT", "length_m = 45.5          # desk to RIGHT")
    assert [new for _, new in changed if "Kick" in new] == ['name = "Kick, =out"']
    assert done.changes == {
        "rig": {"new": 0, "changed": 1, "gone": 0},
        "cables": {"new": 0, "changed": 1, "gone": 0},
        "inputs": {"new": 0, "changed": 1, "gone": 0},
    }


def test_another_plan_is_edited_and_stays_as_it_is(folder, book):
    before = (folder / "demo.toml").read_bytes()
    edit(book, ("rig", "A2", "Another night"))
    done = bring_back(book, folder / "new.toml", folder / "demo.toml")
    assert (folder / "demo.toml").read_bytes() == before and done.onto == folder / "demo.toml"
    old, new = before.decode(), (folder / "new.toml").read_text()
    assert differing(old, new) == [('name = "Quarry Nights, Ledge Stage"', 'name = "Another night"')]


def test_kinds_of_used_files_come_into_the_plan_where_these_are_not_the_same(folder, book, tmp_path):
    other = bring_back(book, tmp_path / "alone.toml")
    assert other.said == (
        "Kinds of kinds.toml are written into the plan: that file does not lie beside it, or cannot be used.",
    )
    rig = load_plan(folder / "demo.toml")
    assert other.rig.plan.use == [] and other.rig.plan.model_copy(update={"use": rig.plan.use}) == rig.plan
    edit(book, ("box kinds", "G2", 18))
    changed = bring_back(book, folder / "demo.toml")
    assert changed.said == ("Kinds of kinds.toml are written into the plan: that file says otherwise.",)
    assert changed.rig.plan.use == [] and "# A full rig for one stage" in (folder / "demo.toml").read_text()


def test_a_sheet_that_is_not_there_stays_as_in_the_plan(folder, book):
    opened = load_workbook(book)
    for title in ("settings", "cables", "diagnose", "chances", "lists", "Read me"):
        del opened[title]
    opened.save(book)
    rig = load_plan(folder / "demo.toml")
    done = bring_back(book, folder / "demo.toml")
    assert done.rig.plan == rig.plan and done.changes == {}
    assert "No sheet cables: it stays as in the plan." in done.said
    with pytest.raises(WorkbookRefused, match="faults in the workbook") as refused:
        bring_back(book, folder / "new.toml")
    assert f'{book}: boxes!E2: cable: no cable "HP01"; add that cable: the plan has none' in refused.value.lines


def test_faults_of_the_rig_name_the_cells(folder, book):
    edit(
        book,
        ("inputs", "A3", 1),
        ("inputs", "I4", "MISSING in 1"),
        ("inputs", "B5", None),
        ("cables", "A3", "HP01"),
        ("cables", "C4", -2.0),
        ("boxes", "B2", "mic13"),
        ("rig", "B2", "much too long"),
        ("supplies", "B2", None),
        ("box kinds", "B2", None),
        ("inserts", "B2", 99),
        ("sources", "A2", "sm-1"),
        ("link kinds", "I2", None),
    )
    with pytest.raises(WorkbookRefused) as refused:
        bring_back(book, folder / "demo.toml")
    said = {fault.place: f"{fault.wrong}; {fault.right}" for fault in refused.value.faults}
    assert said["inputs!A3"] == "number 1 used twice, first in inputs!A2; number each input once"
    assert said["inputs!I4"].startswith('port: no box "MISSING"')
    assert said["inputs!B5"] == "name is missing; fill it in"
    assert said["cables!A3"].startswith("code used twice, first in cables!A2; ")
    assert said["cables!C4"] == "length_m is -2.0; it must be above 0"
    assert said["boxes!B2"].startswith('kind: no box_kind "mic13", did you mean "mic12"?')
    assert said["rig!B2"].startswith('owner is "much too long"; 1 to 4 of A-Z 0-9')
    assert said["supplies!B2"] == "volts is missing; fill it in"
    assert said["box kinds!B2"] == "inputs is missing; fill it in"
    assert said["inserts!B2"].startswith("input: no input 99")
    assert said["sources!A2"].startswith('code is "sm-1"; 1 to 10 of')
    assert said["link kinds!J2"].startswith("max_amps stands without volts; ")
    assert all(line.startswith(f"{book}: ") for line in refused.value.lines)


def test_what_cannot_be_done_is_said_and_nothing_is_written(folder, book, tmp_path):
    plan = folder / "demo.toml"
    with pytest.raises(SheetNotMade, match=r'a workbook\'s name ends with .xlsx: "rig.xlsx"'):
        export_plan(plan, tmp_path / "rig.ods")
    shutil.copy(plan, folder / "plan.xlsx")
    with pytest.raises(SheetNotMade, match="is the plan itself"):
        export_plan(folder / "plan.xlsx", folder / "plan.xlsx")
    with pytest.raises(PlanNotMade, match="is the workbook itself"):
        bring_back(book, book)
    (folder / "broken.toml").write_text("[rig]\n")
    with pytest.raises(PlanRefused):
        bring_back(book, folder / "broken.toml")
    assert (folder / "broken.toml").read_text() == "[rig]\n"
    (folder / "list.csv").write_text("Ch,Name\n1,Kick\n")
    assert not is_workbook(folder / "list.csv") and is_workbook(book)
    with pytest.raises(PlanNotMade, match="is no rig's own workbook"):
        bring_back(folder / "list.csv", folder / "new.toml", plan)


def run(*words):
    return CliRunner().invoke(app, ["plan", *map(str, words)], catch_exceptions=True)


def test_the_commands(folder, book):
    done = run("export", folder / "demo.toml", folder / "again.xlsx")
    assert done.exit_code == 0 and "inputs 48, outputs 12, boxes 8" in done.stdout
    done = run("import", folder / "again.xlsx", "--out", folder / "demo.toml")
    assert done.exit_code == 0 and "Nothing in it has changed." in done.stdout
    edit(book, ("cables", "A2", None), ("cables", "B2", None), ("cables", "C2", None), ("rig", "C2", 9))
    edit(book, ("boxes", "E2", "HP20"), ("cables", "E8", None))
    done = run("import", book, "--out", folder / "new.toml", "--plan", folder / "demo.toml", "--json")
    told = json.loads(done.stdout)
    assert told["edited"] == str(folder / "demo.toml") and told["changes"]["cables"]["gone"] == 1
    done = run("export", folder / "demo.toml", folder / "again.xlsx", "--json")
    assert {"sheet": "inputs", "rows": 48} in json.loads(done.stdout)["sheets"]


def test_options_of_lists_are_refused_for_a_workbook(folder, book):
    with pytest.raises(PlanNotMade, match="are for lists: leave them out"):
        bring_back(book, folder / "new.toml", as_list=True)
    assert isinstance(run("import", book, "--out", folder / "n.toml", "--map", "Ch=number").exception, PlanNotMade)
    assert not (folder / "n.toml").exists()
