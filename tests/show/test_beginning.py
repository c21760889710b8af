"""What the app begins with before anything heavy is loaded."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from checkapp import tongue
from checkapp.show import places
from checkapp.show.beginning import FirstView, begin_with, keep
from checkapp.show.session import Session

PLANS = Path(__file__).parents[2] / "plans"
SHOW = ("Night 1", "Barn", "2031-05-02", "JD")


@pytest.fixture
def home(tmp_path):
    folder = tmp_path / "home"
    (folder / "plans").mkdir(parents=True)
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(PLANS / name, folder / "plans")
    return folder


@pytest.fixture
def session(home):
    made = Session(home=home)
    yield made
    made.close()


def test_a_new_machine_begins_with_the_demo(tmp_path):
    demo = FirstView(str(places.shipped("plans") / "demo.toml"))
    assert begin_with(tmp_path / "none") == ("first", demo)
    (tmp_path / "j.db").touch()
    assert begin_with(tmp_path / "none", tmp_path / "j.db") is None


def test_the_rigs_must_be_read_once_and_then_are_there_as_they_were(home, session):
    assert begin_with(home) is None
    rigs = session.rigs_to_begin_with()
    assert begin_with(home) == ("rigs", rigs)
    assert any(str(home) in row.plan for row in rigs)


def _another_plan(home):
    shutil.copy(PLANS / "small.toml", home / "plans" / "more.toml")


def _touched(home):
    os.utime(home / "plans" / "small.toml", ns=(1, 1))


def _gone(home):
    (home / "plans" / "small.toml").unlink()


def _left(home):
    places.bookmark(home).write_text("{}")


def _another_program(home):
    _change(home, 0, "0.0.0")


def _no_rows(home):
    _change(home, 3, [["too", "short"]])


def _no_json(home):
    (home / "rigs.json").write_text('["')


def _change(home, at, to):
    file = home / "rigs.json"
    kept = json.loads(file.read_text())
    kept[at] = to
    file.write_text(json.dumps(kept))


@pytest.mark.parametrize(
    "changed",
    [_another_plan, _touched, _gone, _left, _another_program, _no_rows, _no_json],
    ids=lambda one: one.__name__,
)
def test_where_anything_stands_otherwise_they_must_be_read(home, session, changed):
    session.rigs_to_begin_with()
    assert begin_with(home) is not None
    changed(home)
    assert begin_with(home) is None


def test_rigs_said_in_another_language_must_be_read(home, session):
    session.rigs_to_begin_with()
    tongue.use("de")
    try:
        assert begin_with(home) is None
    finally:
        tongue.use("en")


def test_a_walk_that_is_over_does_not_keep_the_rigs_from_being_shown_at_once(home, session):
    session.open_rig(str(home / "plans" / "small.toml"))
    session.start_check(*SHOW)
    rigs = session.rigs_to_begin_with()
    assert begin_with(home) == ("rigs", rigs)


def test_a_folder_that_cannot_be_written_keeps_nothing_and_stops_nothing(tmp_path):
    (tmp_path / "file").touch()
    keep(tmp_path / "file", ())
    assert (tmp_path / "file").read_bytes() == b""


def test_what_is_kept_already_is_not_written_again(home, session):
    session.rigs_to_begin_with()
    before = (home / "rigs.json").stat().st_mtime_ns
    os.utime(home / "rigs.json", ns=(before - 10**9, before - 10**9))
    session.rigs_to_begin_with()
    assert (home / "rigs.json").stat().st_mtime_ns == before - 10**9


def test_nothing_heavy_is_loaded_for_it(home, session):
    session.rigs_to_begin_with()
    code = f"""
import sys
from pathlib import Path
from checkapp.show.beginning import begin_with
assert begin_with(Path({str(home)!r}))[0] == "rigs"
print(sorted({{"sqlalchemy", "pydantic", "typer", "dataclasses"}} & set(sys.modules)))
"""
    found = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    run = [sys.executable, "-c", code]
    done = subprocess.run(run, cwd=home, env=found, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
