"""A whole line check by real taps on the real app: 60 lines, 5 of them faulty, one mark taken back, closed in the
middle; then the faulty ones once more, and signed off. The journal is read with nothing of ours."""

import json
import sqlite3
from pathlib import Path

PLAN = Path(__file__).parents[2] / "plans" / "demo.toml"
HEARD = {"in 4": "hum", "in 11": "silent", "in 23": "wrong line", "in 40": "crackle", "out 3": "noisy"}
MENDED = ("in 4", "in 23")
SLIP = "in 17"
CLOSED_AFTER = 30


def started(tablet, hand):
    """The app, from its first frame on; the others are laid out and not drawn."""
    hand.drawing = True
    at = tablet(PLAN)
    at.hand.drawing = False
    return at


def begin(at):
    rig = at.screen.ids
    at.tap(rig.other.text if rig.next.word == "set up" else rig.next.word)
    at.hand.type(at.screen.ids.by.ids.entry, "JD")
    at.tap("start")


def mark(at, line):
    """Touch what is heard on the line that is shown, which is that line."""
    assert at.line == line
    if line in HEARD:
        at.tap("faulty")
        at.tap(HEARD[line])
    else:
        at.tap("ok")


def test_line_check_of_60_lines_with_5_faults(tablet, hand):
    at = started(tablet, hand)
    begin(at)
    lines = [f"in {n}" for n in range(1, 49)] + [f"out {n}" for n in range(1, 13)]
    for count, line in enumerate(lines, 1):
        mark(at, line)
        if line == SLIP:
            at.tap("undo")
            assert at.line == line
            mark(at, line)
        if count == CLOSED_AFTER:
            at = started(tablet, hand)
            assert at.screen.name == "walk"
    view = at.screen.view
    assert (view.ok, view.faulty, view.open, view.complete) == (55, 5, 0, True)
    recheck(at)
    view = at.screen.view
    assert (view.ok, view.faulty) == (57, 3)
    at.tap("finish")
    at.tap("sign off with 3 faulty")
    assert at.screen.name == "past"
    look_at_the_journal(at.journal, lines)


def recheck(at):
    """The faulty lines on their own: two were mended, three are still as they were."""
    at.tap("lines")
    at.tap("faulty")
    assert [row.line for row in at.screen.view.rows] == list(HEARD)
    at.tap("walk")
    for line in HEARD:
        assert at.line == line
        if line in MENDED:
            at.tap("ok")
        else:
            at.tap("next")
    assert at.screen.view.only == "Only faulty lines, 3 left. Walk all lines"
    at.tap("Only faulty lines, 3 left. Walk all lines")
    assert at.screen.view.only == ""


def look_at_the_journal(path, lines):
    with sqlite3.connect(path) as opened:
        entries = opened.execute("select id, kind, subject, detail, by from entry order by rowid").fetchall()
    marks = [(id_, subject, json.loads(detail)) for id_, kind, subject, detail, _by in entries if kind == "mark"]
    told = [(line, detail["verdict"], detail.get("symptom")) for _id, line, detail in marks]
    at_slip = lines.index(SLIP)
    first = [(line, "faulty" if line in HEARD else "ok", HEARD.get(line)) for line in lines]
    assert told == [
        *first[: at_slip + 1],
        *first[at_slip:],
        *((line, "ok", None) for line in MENDED),
    ]
    assert [subject for _id, kind, subject, _detail, _by in entries if kind == "void"] == [marks[at_slip][0]]
    assert {by for _id, kind, _subject, _detail, by in entries if kind == "mark"} == {"JD"}
    checks = [json.loads(detail) for _id, kind, _subject, detail, _by in entries if kind == "check"]
    assert [check["state"] for check in checks] == ["opened", "signed off"]
    assert checks[-1]["open"] == []
    assert len({detail["check"] for _id, _line, detail in marks}) == 1
