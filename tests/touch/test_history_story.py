"""The history after a tour, by real taps on the real app: what is shown is what the journal holds, counted with nothing
of ours, and looking at it writes nothing."""

import json
import re
import shutil
import sqlite3
from collections import Counter
from pathlib import Path

import pytest

from checkapp.rig.errors import CheckappError
from checkapp.show.tour import play_tour

PLAN = Path(__file__).parents[2] / "plans" / "small.toml"
SHOWS = 3


@pytest.fixture
def toured(tmp_path):
    """A tablet that was on a short tour."""
    folder = tmp_path / "toured"
    folder.mkdir()
    home = tmp_path / "tablet"
    home.mkdir()
    shutil.copy(play_tour(PLAN, folder, SHOWS).journal, home / "journal.db")
    return home


def entries(journal):
    """The whole journal, all that an entry holds."""
    with sqlite3.connect(journal) as opened:
        return opened.execute("select * from entry order by rowid").fetchall()


def told(journal, kind):
    """Show, subject and detail of the entries of a kind."""
    with sqlite3.connect(journal) as opened:
        rows = opened.execute("select show, subject, detail from entry where kind = ? order by at", (kind,)).fetchall()
    return [(show, subject, json.loads(detail)) for show, subject, detail in rows]


def cleared(journal):
    """Show and item of every repair after which the lines were ok."""
    return [(show, subject) for show, subject, detail in told(journal, "repair") if detail["cleared"]]


def never_touched(journal):
    """In how many checks each item was run through that was neither repaired nor put in for another."""
    ((_show, _subject, rig),) = told(journal, "rig")
    repairs = told(journal, "repair")
    touched = {subject for _, subject, _ in repairs} | {detail["with"] for _, _, detail in repairs}
    through = {(item, detail["check"]) for _, line, detail in told(journal, "mark") for item, _ in rig["lines"][line]}
    return Counter(item for item, _check in through if item not in touched)


def tap_listed(at, words):
    """Tap a row of the list, scrolled into sight as a finger would."""
    from checkapp.touch.widgets.rows import RowList

    (rows,) = [widget for widget in at.screen.walk() if isinstance(widget, RowList)]
    rows.bring(next(number for number, row in enumerate(rows.data) if row.get("title") == words))
    at.hand.frames(2)
    at.tap_row(words)


def count(faults):
    return f"{faults} confirmed fault" + ("" if faults == 1 else "s")


def test_history_after_a_tour(tablet, hand, toured):
    at = tablet(PLAN, at=toured)
    hand.drawing = False
    before = entries(at.journal)
    faults = cleared(at.journal)
    assert faults
    at.go("history")
    view = at.screen.view
    assert view.summary.startswith(f"{SHOWS} checks of {SHOWS} shows, {count(len(faults))}")
    look_at_the_rows(at.journal, view.rows)

    of_item = Counter(item for _show, item in faults)
    worst = next(row for row in view.rows if row.item.removeprefix("QN.") in of_item)
    look_at_a_life(at, worst, [show for show, item in faults if item == worst.item.removeprefix("QN.")])

    at.tap("figures")
    assert (at.screen.name, len(at.screen.view.pictures) > 0) == ("figures", True)
    assert at.screen.ids.scroll.viewport_size[0] <= at.screen.ids.scroll.width
    look_elsewhere_and_come_back(at)
    at.tap("history")
    show = faults[-1][0]
    at.tap("a show")
    assert {row.show for row in at.screen.view.shows} == {f"Night {number}" for number in range(1, SHOWS + 1)}
    tap_listed(at, show)
    assert at.screen.view.summary.startswith(f"1 check of 1 show, {count(sum(one == show for one, _ in faults))}")
    at.tap("all time")
    assert at.screen.view.summary == view.summary
    at.tap("rig")
    assert at.screen.name == "rig"
    assert entries(at.journal) == before


def look_elsewhere_and_come_back(at):
    """Figures that nobody looks at are let go of, and drawn anew, in what are the colours then."""
    figures, before = at.screen, at.screen.view
    at.go("settings")
    assert (at.screen.name, figures.view.pictures, figures.ids.pictures.children) == ("settings", (), [])
    at.tap("light")
    at.key(27)
    after = at.screen.view
    assert (at.screen.name, after.title, after.chosen) == ("figures", before.title, before.chosen)
    assert [len(one.pixels) for one in after.pictures] == [len(one.pixels) for one in before.pictures]
    assert [one.pixels[:3].hex() for one in (before.pictures[0], after.pictures[0])] == ["0f1214", "f5f2ea"]
    assert len(at.screen.ids.pictures.children) == len(after.pictures)
    at.go("settings")
    at.tap("dark")
    at.key(27)
    assert [one.pixels for one in at.screen.view.pictures] == [one.pixels for one in before.pictures]


def test_figures_come_back_to_that_cannot_be_drawn_do_not_go_on_drawing(tablet, hand, toured, monkeypatch):
    at = tablet(PLAN, at=toured)
    hand.drawing = False
    at.go("history")
    at.tap("figures")
    at.go("settings")

    def refused(*_):
        raise CheckappError("The journal cannot be read.")

    with monkeypatch.context() as meanwhile:
        meanwhile.setattr("checkapp.show.history_desk.HistoryDesk.drawn_again", refused)
        at.key(27)
        assert (at.screen.name, at.screen.ids.head.title) == ("figures", "not drawn")
        assert at.app.pages.banner.lines == ["The journal cannot be read."]
    hand.key(27)
    at.tap("draw again")
    assert at.screen.ids.head.title == "Figures"
    assert at.screen.view.pictures


def look_at_the_rows(journal, rows):
    """Each item's faults of its checks."""
    shown = {row.item.removeprefix("QN."): [int(number) for number in re.findall(r"\d+", row.faults)] for row in rows}
    assert {item: faults for item, (faults, _) in shown.items() if faults} == Counter(
        item for _show, item in cleared(journal)
    )
    checks = never_touched(journal)
    known = {item: checks[item] for item in shown if item in checks}
    assert len(known) > 5
    assert {item: shown[item] for item in known} == {item: [0, many] for item, many in known.items()}


def look_at_a_life(at, row, shows):
    """All that was cleared of an item stands in its life, and so does a figure of it; then back to the history."""
    tap_listed(at, row.title)
    assert (at.screen.name, at.screen.view.item) == ("life", row.item)
    told_of = [words for _time, words in at.screen.view.events]
    assert [sum(show in words for words in told_of) >= shows.count(show) for show in shows] == [True] * len(shows)
    at.tap("figures")
    drawn = at.screen.view
    assert drawn.item == row.item
    at.go("settings")
    at.key(27)
    assert at.screen.view == drawn
    at.tap("life")
    at.tap("history")
    assert at.screen.name == "history"
