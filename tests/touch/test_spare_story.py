"""A bad lead swapped for a spare, by real taps on the real app: found on the fault sheet, a wrong spare scanned, then
the right one, the line heard again, the lead pulled; cards tell what was done. The journal is read with nothing of
ours."""

import json
import sqlite3

from checkapp.rig.codes import Tag

BAD, SPARE, WRONG = "LD06", "LD09", "HP02"
LINE = "in 6"
ESCAPE = 27


def entries(journal, *kinds):
    with sqlite3.connect(journal) as opened:
        rows = opened.execute("select kind, subject, detail, by from entry order by rowid").fetchall()
    return [(kind, subject, json.loads(detail), by) for kind, subject, detail, by in rows if kind in kinds]


def tap_listed(at, words):
    """Tap the row that says so, scrolled into sight as a finger would."""
    from checkapp.touch.widgets.rows import RowList

    (rows,) = [widget for widget in at.screen.walk() if isinstance(widget, RowList)]
    rows.bring(next(number for number, row in enumerate(rows.data) if words in row.get("title", "")))
    at.hand.frames(2)
    at.hand.tap(next(b for b in at.hand.buttons(at.screen) if words in getattr(b, "title", "")))
    at.settle()


def scan(at, code):
    """What the card says that the scan of an end brings up; then back to the walk."""
    at.scan(Tag("QN", code, "A").text)
    assert at.screen.name == "card"
    view = at.screen.view
    at.key(ESCAPE)
    assert at.screen.name == "walk"
    return view


def walk_all(at):
    """Mark every line that is open; one is silent."""
    while at.screen.view.open:
        if at.line == LINE:
            at.tap("faulty")
            at.tap("silent")
        else:
            at.tap("ok")


def test_spare_swapped(tablet, hand, home):
    at = tablet(home / "plans" / "small.toml")
    hand.drawing = False
    at.start_check()
    walk_all(at)
    assert scan(at, BAD).answer.more == ""
    at.tap(f"Suspect: {at.screen.lead}")
    swap(at)
    assert at.screen.view.over
    at.tap("walk")
    assert (at.screen.view.faulty, at.screen.view.open) == (0, 0)

    bad, spare = scan(at, BAD), scan(at, SPARE)
    assert (bad.answer.status, bad.answer.more) == ("look", f"{BAD} is tagged and pulled")
    assert bad.card.goes == f"{SPARE} is in its place since Night 1"
    assert [words for _at, _show, words in bad.card.history] == [
        "tagged and pulled",
        f"{BAD} swap with {SPARE}, cleared",
        f"{LINE} faulty: silent",
    ]
    assert (spare.answer.status, spare.card.goes) == ("next", "STOVE in 8")
    assert spare.card.instead == f"in place of {BAD} since Night 1"

    at.tap("finish")
    at.tap("sign off")
    assert at.screen.name == "past"
    look_at_the_journal(at.journal)


def swap(at):
    """From the suspects to the repair, which is heard and told."""
    tap_listed(at, BAD)
    tap_listed(at, f"Swap {BAD}")
    assert at.screen.view.step.asks == "Scan what goes in"
    at.scan(Tag("QN", WRONG, "A").text)
    assert at.screen.view.step.caution.startswith(f"{WRONG} is 15 m, {BAD} 10 m. kind cord, not lead. Mute the channel")
    at.scan(Tag("QN", SPARE, "A").text)
    assert f"Put {SPARE} in its place." in at.screen.view.step.steps
    assert at.screen.view.step.caution == "Mute the channel before re-plugging."
    at.tap("ok")
    assert at.screen.view.asks_pulled == BAD
    at.tap("pulled")
    assert at.screen.view.asks_pulled == ""


def look_at_the_journal(journal):
    marks = [(line, detail["verdict"], detail["symptom"]) for _, line, detail, _ in entries(journal, "mark")]
    lines = [f"in {n}" for n in range(1, 7)] + ["out 1", "out 2"]
    first = [(line, *(("faulty", "silent") if line == LINE else ("ok", None))) for line in lines]
    assert marks == [*first, (LINE, "ok", None)]
    done = {"action": "swap", "cleared": True, "lines": [LINE], "listened": [LINE], "with": SPARE}
    assert entries(journal, "repair", "pulled", "void", "returned") == [
        ("repair", BAD, done, "JD"),
        ("pulled", BAD, {}, "JD"),
    ]
    states = [(detail["state"], detail.get("open")) for _, _, detail, _ in entries(journal, "check")]
    assert states == [("opened", None), ("signed off", [])]
