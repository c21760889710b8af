"""The changeover on screen: from the act that stands to the one that comes, and the check of what changed."""

import json
import sqlite3

import change_samples
import pytest

from checkapp.show.session import Session
from checkapp.touch import listing
from checkapp.touch.asking import CHANGED, Asked

SECOND = [
    ("Quarry Nights, Weighing Room", "Second Act"),
    ('"STOVE in 4"', '"STOVE in 6"'),
    ('"STOVE in 5"', '"STOVE in 4"'),
    ('number = 3\nname = "Fiddle"', 'number = 7\nname = "Jaw harp"'),
]


@pytest.fixture
def acts(home):
    """A rig whose check is signed off, and the next one on the same stage."""
    first, second = home / "plans" / "small.toml", home / "plans" / "second.toml"
    text = first.read_text(encoding="utf-8")
    for old, new in SECOND:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    second.write_text(text, encoding="utf-8")
    session = Session(home=home)
    session.open_rig(str(first))
    walk = session.start_check("Night 1", "", "", "JD")
    while not walk.complete:
        walk = session.ok(walk.line)
    session.sign_off()
    session.close()
    return first, second


def written(journal, rig):
    """Kind, subject, show and what was marked of each entry of a rig, read without our library."""
    with sqlite3.connect(journal) as opened:
        rows = opened.execute("select kind, subject, show, detail from entry where rig = ? order by rowid", (rig,))
        return [(kind, subject, show, json.loads(detail).get("verdict")) for kind, subject, show, detail in rows]


def listed(screen):
    """The rows of the list that are tasks, as they are filled in."""
    return [
        (row["title"], row["from_words"], row["to_words"])
        for row in screen.rows_of(screen.view, screen.roomy, screen.opened)
        if row["kind"] == "ListedChange"
    ]


def test_from_one_act_to_the_next(tablet, hand, home, acts):
    start = tablet(acts[1])
    hand.drawing = False
    start.tap_row("Changeover")
    assert start.screen.name == "oldrigs"
    start.tap_row("Quarry Nights, Weighing Room")
    assert start.screen.name == "changeover"
    assert start.screen.view.headline == "3 lines to check again, 2 re-plugs, 1 new line, 1 line gone"
    assert listed(start.screen)[:4] == [
        ("in 4 Fiddle vocal", "", "STOVE in 4, Behind the stove"),
        ("in 3 Fiddle", "", "STOVE in 3, LD03, Behind the stove"),
        ("in 5 Accordion", "from STOVE in 5", "to STOVE in 4, Behind the stove"),
        ("in 4 Fiddle vocal", "from STOVE in 4", "to STOVE in 6, Behind the stove"),
    ]
    start.tap("check these 3 lines")
    assert start.screen.name == "newcheck"
    name, by = start.screen.ids.name.ids.entry, start.screen.ids.by.ids.entry
    name.text = ""
    hand.type(name, "Night 1")
    hand.type(by, "JD")
    start.tap("start")
    walked = []
    for _ in range(3):
        walked.append(start.line)
        start.tap("ok")
    assert walked == ["in 4", "in 5", "in 7"]
    assert start.line == "in 1"  # then the rest
    marks = [("mark", line, "Night 1", "ok") for line in walked]
    kinds = [("rig", "", None, None), ("show", "Night 1", "Night 1", None), ("check", "", "Night 1", None)]
    found = written(start.journal, "Second Act")
    assert [row[0] for row in found] == [row[0] for row in kinds] + ["mark"] * 3
    assert found[3:] == marks
    first = written(start.journal, "Quarry Nights, Weighing Room")
    assert [row[0] for row in first].count("mark") == 8

    hand.drawing = True
    again = tablet(acts[1])  # the app was closed: it comes back to the walk, in the same order
    assert (again.screen.name, again.line) == ("walk", "in 1")
    hand.ticks.now_s += 1.0
    again.app.moves.changeover(*acts)
    again.settle()
    assert again.screen.view.headline.startswith("3 lines to check again, 0 of them still open")
    again.tap("go on with the check")
    assert (again.screen.name, again.line) == ("walk", "in 1")


def test_buttons_and_rows_of_the_list(build, hand, calls, views):
    screen = build("changeover", change_samples.CHANGEOVER)
    rows = screen.rows_of(screen.view, screen.roomy, screen.opened)
    assert [row["text"] for row in rows if row["kind"] == "ListedHeading"] == [
        "Unplug first",
        "Re-plug",
        "In the plan alone",
        "Check these 2 lines again",
    ]
    gone, plug = [row for row in rows if row["kind"] == "ListedChange"][:2]
    assert gone["tapped"] is None  # the new rig has no card of it
    plug["tapped"]()
    hand.tap(hand.button(screen, "set up"))
    hand.tap(hand.button(screen, "check this line"))
    hand.tap(hand.button(screen, "rig"))
    assert calls.made == [
        ("card", "in 5"),
        ("new_setup", change_samples.RIG),
        ("check_changed", change_samples.CHANGEOVER),
        ("rig",),
    ]


def test_on_a_telephone_cautions_are_a_line_that_opens(build, hand):
    hand.size(360, 640)
    screen = build("changeover", change_samples.WITH_CAUTIONS)
    kinds = [row["kind"] for row in screen.rows_of(screen.view, screen.roomy, screen.opened)]
    assert kinds[:3] == ["ListedWords", "ListedCautions", "ListedHeading"]
    hand.tap(hand.button(screen, "read"))
    said = [row["text"] for row in screen.ids.list.data if row["kind"] == "ListedCaution"]
    assert said == list(change_samples.WITH_CAUTIONS.cautions)
    hand.tap(hand.button(screen, "close"))
    assert "ListedCaution" not in [row["kind"] for row in screen.ids.list.data]
    hand.size(1280, 800)
    assert [row["kind"] for row in screen.ids.list.data].count("ListedCaution") == 3


def test_with_nothing_to_check_again_the_button_is_shut(build, hand):
    screen = build("changeover", change_samples.NOTHING)
    assert screen.ids.check.disabled
    assert screen.ids.check.word == "no line to check again"


def test_the_rig_before_is_picked(build, hand, calls):
    screen = build("oldrigs", change_samples.OLD_RIGS)
    picked = [row for row in hand.buttons(screen) if getattr(row, "title", "") == "Barn"]
    hand.tap(picked[0])
    hand.tap(hand.button(screen, "rig"))
    assert calls.made == [("changeover", "plans/barn.toml", "plans/second.toml"), ("rig",)]


def test_a_check_of_what_changed_is_asked_for_and_leads_back_to_the_list(build, hand, calls):
    asked = Asked().asking(CHANGED, change_samples.RIG)
    screen = build("newcheck", asked)
    assert screen.view.title == "A check of Second Act, changed lines first"
    screen.start("Night 3", "", "2031-05-03", "JD")
    screen.leave()
    assert calls.made == [("start_changed", "Night 3", "", "2031-05-03", "JD"), ("changeover_again",)]


def test_a_row_says_from_where_to_where():
    row = listing.change(change_samples.PLUGS[1], None)
    assert (row["title"], row["fact"]) == ("in 4 Fiddle vocal", "cable")
    assert (row["from_words"], row["to_words"]) == (
        "from LD04, STOVE in 4",
        "to LD09, STOVE in 6, Behind the stove",
    )


def test_what_changed_can_be_walked_first_from_the_list_of_lines(build, hand, calls, views):
    hand.size(360, 640)
    screen = build(*views["lines, changed"])
    assert hand.button(screen, "changed").status == "next"
    hand.tap(hand.button(screen, "changed"))
    assert calls.made == [("reorder", "changed", None)]
    screen = build(*views["lines"])
    assert "changed" not in [getattr(button, "text", "") for button in hand.buttons(screen)]
