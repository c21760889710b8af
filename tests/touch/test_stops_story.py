"""A rig whose plan has stops, by real taps on the real app: the stops are read, a box of them is looked at on the
picture, a check is asked for and not begun, then begun all the same. The journal is read with nothing of ours."""

import json
import sqlite3
from pathlib import Path

PLAN = Path(__file__).parents[2] / "plans" / "wrong.toml"
RIG = "Quarry Nights, as remembered on the bus"
START = "12 stops: check anyway"


def entries(journal):
    """Kind, show, subject, initials and detail of all that the journal holds; none while there is no file."""
    if not journal.exists():
        return []
    with sqlite3.connect(journal) as opened:
        rows = opened.execute("select kind, rig, show, subject, by, detail from entry order by rowid").fetchall()
    return [(*row[:5], json.loads(row[5])) for row in rows]


def listed(screen):
    from checkapp.touch.widgets.rows import RowList

    (found,) = [widget for widget in screen.walk() if isinstance(widget, RowList)]
    return found.data


def tap_on_picture(at, item):
    """Tap an item of the drawing; the whole of it is shown."""
    plan = at.screen.ids.plan
    spot = next(spot for spot in plan.view.drawing.spots if spot.item == item)
    x, y = plan.look.at(spot.rect.middle)
    at.hand.tap_at(plan, *plan.to_window(plan.x + x, plan.y + y))
    at.settle()


def ask_for_a_check(at):
    """Tap the button that starts a check in spite of the stops."""
    rig = at.screen.ids
    (button,) = [one for one in (rig.next, rig.other) if START in (getattr(one, "word", ""), getattr(one, "text", ""))]
    assert button.status == "look"
    at.hand.tap(button)
    at.settle()
    assert at.screen.name == "newcheck"


def test_rig_with_stops(tablet, hand):
    at = tablet(PLAN)
    hand.drawing = False
    assert (at.screen.name, at.screen.view.title) == ("rig", RIG)
    assert at.screen.view.summary == "12 stops, 4 cautions, 8 notes"
    found = [row for row in listed(at.screen) if row["kind"] == "ListedFinding"]
    assert [row["status"] for row in found] == ["faulty"] * 12 + ["look"] * 4 + ["note"] * 8
    read_the_card_of_a_box(at)

    ask_for_a_check(at)
    at.hand.type(at.screen.ids.by.ids.entry, "JD")
    at.tap("back")
    assert at.screen.name == "rig"
    assert entries(at.journal) == []  # looked at, asked for, nothing begun

    ask_for_a_check(at)
    by = at.screen.ids.by.ids.entry
    by.text = ""
    at.hand.type(by, "JD")
    at.tap("start")
    assert (at.screen.name, at.screen.view.total) == ("walk", 7)
    lines = walk(at, {"in 3": "silent"})
    at.tap("finish")
    at.tap("sign off with 1 faulty")
    assert at.screen.name == "past"
    at.tap("rig")
    assert at.screen.view.summary == "12 stops, 4 cautions, 8 notes"  # a check takes none of them away
    assert [check.signed_off for check in at.screen.view.checks] == [True]
    look_at_the_journal(at.journal, lines)


def read_the_card_of_a_box(at):
    """On the card of a box on the picture stand the stops of it; it leads back to the picture, and that to the rig."""
    at.tap("picture")
    tap_on_picture(at, "GATE")
    card = at.screen.view
    assert (at.screen.name, card.item) == ("card", "GATE")
    assert "stop" in [finding.level for finding in card.findings]
    at.key(27)
    assert at.screen.name == "picture"
    at.tap("rig")
    assert at.screen.name == "rig"


def walk(at, heard):
    """Mark every line; the lines in the order in which they came."""
    lines = []
    while not at.screen.view.complete:
        lines.append(at.line)
        if at.line in heard:
            at.tap("faulty")
            at.tap(heard[lines[-1]])
        else:
            at.tap("ok")
    return lines


def look_at_the_journal(path, lines):
    made = entries(path)
    assert [(kind, show, by) for kind, _rig, show, _subject, by, _detail in made] == [
        ("rig", None, None),
        ("show", "Night 1", "JD"),
        ("check", "Night 1", "JD"),
        *[("mark", "Night 1", "JD")] * 7,
        ("check", "Night 1", "JD"),
    ]
    assert {rig for _kind, rig, *_ in made} == {RIG}
    opened, *marks, closed = made[2:]
    assert (opened[5]["state"], closed[5]["state"], closed[5]["open"]) == ("opened", "signed off", [])
    assert [(subject, detail["verdict"], detail.get("symptom")) for *_, subject, _by, detail in marks] == [
        (line, *(("faulty", "silent") if line == "in 3" else ("ok", None))) for line in lines
    ]
    assert lines == ["in 1", "in 2", "in 3", "in 4", "in 5", "in 6", "out 1"]
    assert sorted(made[0][5]["lines"]) == sorted(lines)
