"""The first start, by real taps on the real session in an empty folder: the demo, a check begun, the app closed."""

import json
import sqlite3

import pytest

ESCAPE = 27


@pytest.fixture
def home(tmp_path):
    """A machine that nothing was ever done on."""
    return tmp_path


def entries(journal):
    """All that the journal holds, read without our library: kind, rig, show, subject, by, detail."""
    with sqlite3.connect(journal) as opened:
        rows = opened.execute("select kind, rig, show, subject, by, detail from entry order by rowid").fetchall()
    return [(*row[:5], json.loads(row[5])) for row in rows]


def test_from_an_empty_machine_to_a_check_and_back_after_a_restart(tablet):
    at = tablet()
    assert at.screen.name == "first"
    assert not at.journal.exists()
    at.key(ESCAPE)
    at.go("set-up")
    assert (at.screen.name, at.app.pages.banner.lines) == ("first", ["No rig is open. Pick one first."])
    at.hand.tap(at.hand.button(at.app.pages.banner, "put away"))
    at.tap("open a file")
    assert at.screen.name == "files"
    at.key(ESCAPE)
    assert at.screen.name == "first"
    assert not at.journal.exists()

    at.tap("demo rig")
    assert (at.screen.name, at.screen.view.title) == ("rig", "Quarry Nights, Ledge Stage")
    assert entries(at.journal) == []
    at.go("line check")
    assert at.screen.name == "newcheck"
    at.hand.type(at.screen.ids.by.ids.entry, "JD")
    at.tap("start")
    assert (at.screen.name, at.line) == ("walk", "in 1")
    at.tap("ok")

    rig = "Quarry Nights, Ledge Stage"
    made = entries(at.journal)
    assert [row[:5] for row in made] == [
        ("rig", rig, None, None, None),
        ("show", rig, "Night 1", made[1][3], "JD"),
        ("check", rig, "Night 1", made[2][3], "JD"),
        ("mark", rig, "Night 1", "in 1", "JD"),
    ]
    assert made[3][5]["verdict"] == "ok"

    again = tablet()
    assert (again.screen.name, again.line) == ("walk", "in 2")
    again.key(ESCAPE)
    again.key(ESCAPE)
    again.tap("rigs")
    assert again.screen.name == "rigs"
    assert entries(again.journal) == made
