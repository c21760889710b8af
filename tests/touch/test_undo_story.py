"""Taking back, by real taps on the real app: scans of a set-up, marks of a check, before and after the app was closed.
Nothing is ever taken out of the journal; what was taken back is named in an entry of its own."""

import json
import sqlite3

import pytest

from checkapp.rig.codes import Tag


@pytest.fixture
def start(tablet, hand, home):
    """Starts the app, as often as it is called."""

    def start():
        hand.drawing = True  # the app begins with its first frame
        at = tablet(home / "plans" / "small.toml")
        hand.drawing = False
        return at

    return start


def entries(journal):
    with sqlite3.connect(journal) as opened:
        rows = opened.execute("select id, kind, subject, detail, by from entry order by rowid").fetchall()
    return [(id_, kind, subject, json.loads(detail), by) for id_, kind, subject, detail, by in rows]


def told(journal, *kinds):
    """What was done and what was taken back, in order: a taking back names what it took back."""
    named, made = {}, []
    for id_, kind, subject, detail, by in entries(journal):
        named[id_] = what = (kind, subject, *(detail[name] for name in ("verdict", "symptom") if detail.get(name)))
        if kind == "void":
            what = ("void", *named[subject])
        if what[0] in kinds:
            made.append(what)
            assert by == "JD"
    return made


def answer(at, button):
    """Fill in who it is, and begin."""
    at.tap(button)
    by = at.screen.ids.by.ids.entry
    by.text = ""
    at.hand.type(by, "JD")
    at.tap("start")


def test_scans_of_a_set_up_are_taken_back_also_after_a_restart(start):
    at = start()
    answer(at, "set up")
    at.scan(Tag("QN", "STOVE").text)
    at.scan(Tag("QN", "LD01", "A").text)
    assert (at.screen.name, progress(at)) == ("setup", (1, 1))
    at.tap("undo")
    assert progress(at) == (1, 0)
    assert at.screen.view.here == "At STOVE"  # what was undone was done there, and there one still is
    at.scan(Tag("QN", "LD02", "A").text)
    assert progress(at) == (1, 1)

    at = start()
    assert (at.screen.name, progress(at)) == ("setup", (1, 1))
    at.tap("undo")
    at.tap("undo")
    assert progress(at) == (0, 0)
    assert at.hand.button(at.screen, "undo").disabled
    lead, other, box = ("connected", "LD01 A", "right"), ("connected", "LD02 A", "right"), ("placed", "STOVE")
    made = [box, lead, ("void", *lead), other, ("void", *other), ("void", *box)]
    assert told(at.journal, "placed", "connected", "void") == made


def progress(at):
    """Boxes placed and ends connected, as they are shown."""
    view = at.screen.view
    assert f"{view.boxes_placed} of {view.boxes} box placed" in view.progress
    assert f"{view.ends_connected} of {view.ends} ends connected" in view.progress
    return view.boxes_placed, view.ends_connected


def test_marks_of_a_check_are_taken_back_also_after_a_restart(start):
    at = start()
    answer(at, "start a check")
    assert at.hand.button(at.screen, "undo").disabled
    at.tap("ok")
    at.tap("undo")
    assert standing(at) == ("in 1", 0, 0)
    at.tap("faulty")
    at.tap("hum")
    assert standing(at) == ("in 2", 0, 1)
    at.tap("undo")
    assert standing(at) == ("in 1", 0, 0)
    at.tap("ok")
    at.tap("faulty")
    at.tap("crackle")
    assert standing(at) == ("in 3", 1, 1)

    at = start()
    assert standing(at) == ("in 3", 1, 1)
    at.tap("undo")
    assert standing(at) == ("in 2", 1, 0)
    at.tap("undo")
    assert standing(at) == ("in 1", 0, 0)
    assert at.hand.button(at.screen, "undo").disabled
    at.tap("ok")
    assert standing(at) == ("in 2", 1, 0)
    ok, hum, crackle = ("mark", "in 1", "ok"), ("mark", "in 1", "faulty", "hum"), ("mark", "in 2", "faulty", "crackle")
    made = [ok, ("void", *ok), hum, ("void", *hum), ok, crackle, ("void", *crackle), ("void", *ok), ok]
    assert told(at.journal, "mark", "void") == made


def standing(at):
    """The line on the walk, and how many are ok and faulty, as they are shown."""
    assert at.screen.name == "walk"
    view = at.screen.view
    assert view.ok + view.faulty + view.open == view.total
    return view.line, view.ok, view.faulty
