"""What the journal taught, where suspects are named: by command and on the fault sheet, and how it is left out."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from checkapp.cli_commands import app
from checkapp.rig.planfile import load_plan
from checkapp.show import suspecting
from checkapp.show.learning import learn, names_of
from checkapp.show.marking import Where, mark, repair

DEMO = Path(__file__).parents[2] / "plans" / "demo.toml"


@pytest.fixture
def journal(tmp_path):
    """Six nights: the cable of in 19 was faulty on five of them and reseated, and in 19 is faulty on the sixth."""
    for night in range(1, 7):
        where = Where(DEMO, f"Night {night}", "JD", tmp_path / "journal.db")
        for line in ("in 20", "in 21", "in 22"):
            mark(where, line, "ok")
        mark(where, "in 19", "faulty", symptom="low")
        if night < 6:
            repair(where, "LD13", "reseat", cleared=True)
            mark(where, "in 19", "ok")
    return tmp_path / "journal.db"


def first(found):
    return found.diagnosis.suspects[0]


def test_an_item_that_failed_before_is_suspected_first(journal):
    taught, plain = (suspecting.suspects_of(DEMO, None, journal, history=known) for known in (True, False))
    assert first(plain).item.name == "source in 19"
    assert first(taught).item.name == "LD13"
    assert first(taught).probability > 0.8


def test_the_show_itself_teaches_nothing(tmp_path):
    where = Where(DEMO, "Night 1", "JD", tmp_path / "journal.db")
    mark(where, "in 19", "faulty", symptom="hum")
    repair(where, "LD13", "swap", cleared=True)
    mark(where, "in 22", "faulty", symptom="hum")
    taught, plain = (suspecting.suspects_of(DEMO, None, where.journal, history=known) for known in (True, False))
    assert suspecting.document(taught) == suspecting.document(plain)


def test_the_plan_can_forbid_it(journal, tmp_path):
    plans = shutil.copytree(DEMO.parent, tmp_path / "plans")
    with (plans / DEMO.name).open("a", encoding="utf-8") as plan:
        plan.write("\n[diagnose]\nlearn = false\n")
    assert first(suspecting.suspects_of(plans / DEMO.name, None, journal)).item.name == "source in 19"


def test_the_command_leaves_it_out_when_told_to(journal):
    words = ["suspects", str(DEMO), "--journal", str(journal), "--json"]
    taught, plain = (json.loads(CliRunner().invoke(app, [*words, *more]).stdout) for more in ([], ["--no-history"]))
    assert taught["suspects"][0]["item"] == "LD13"
    assert plain["suspects"][0]["item"] == "source in 19"


def test_the_fault_sheet_tells_how_often_it_failed(journal, new_session):
    session = new_session()
    session.open_rig(str(DEMO))
    session.start_check("Night 7", "", "2031-05-08", "JD")
    session.faulty("in 19", "low", "")
    row = session.faults.view().suspects[0]
    assert (row.items[0], row.history) == ("LD13", "failed in 5 of 6 checks")


def test_names_are_by_owner_and_code(journal):
    rig = load_plan(DEMO)
    names = names_of(rig, (item.name for item in rig.path("in 19")))
    assert names["LD13"] == f"{rig.owner}.LD13"
    assert set(learn(rig, journal, "Night 7").lives) >= {"LD13", "source in 19"}
