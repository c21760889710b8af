"""The first start, by real taps on the real session in an empty folder: the demo, a check begun, the app closed."""

import json
import shutil
import sqlite3
import threading
from pathlib import Path

import pytest

from checkapp.show.beginning import begin_with
from checkapp.show.session import Session

ESCAPE = 27
PLANS = Path(__file__).parents[2] / "plans"


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


class Held:
    """An app whose session is made only when it is let go."""

    def __init__(self, home, ticks):
        from checkapp.touch.app import CheckApp

        self._go = threading.Event()
        self._home = home
        self.app = CheckApp(self._made, now_s=ticks, begin=lambda: begin_with(home))
        self.app._run_prepare()

    def _made(self):
        assert self._go.wait(20)
        return Session(home=self._home)

    def let_go(self, hand):
        self._go.set()
        hand.until(lambda: not self.app.door.waiting, "all answers")
        hand.frames(2)

    def end(self, window):
        from kivy.app import App

        self._go.set()
        self.app.dispatch("on_stop")
        window.remove_widget(self.app.root)
        App._running_app = None


@pytest.fixture
def held(hand, home, ticks):
    started = []

    def start():
        started.append(Held(home, ticks))
        hand.frames(3)
        return started[-1].app.pages, started[-1]

    yield start
    for one in started:
        one.end(hand.window)


def test_on_a_new_machine_the_first_frame_can_be_used_and_a_tap_on_it_is_kept(hand, held):
    pages, app = held()
    assert (pages.at, pages.shown.view) == ("first", begin_with(app._home)[1])
    hand.tap(hand.button(pages.shown, "demo rig"))
    hand.frames(3)
    assert pages.at == "first"
    app.let_go(hand)
    assert (pages.at, pages.shown.view.title) == ("rig", "Quarry Nights, Ledge Stage")


def test_the_rigs_of_last_time_are_there_in_the_first_frame_and_one_can_be_picked(hand, held, home, ticks):
    (home / "journal.db").touch()
    session = Session(home=home)
    rigs = session.rigs_to_begin_with()
    session.close()
    pages, app = held()
    assert (pages.at, pages.shown.view) == ("rigs", rigs)
    app.let_go(hand)
    assert pages.shown.view == rigs
    picks = [one for one in hand.buttons(pages.shown) if getattr(one, "word", "") == "pick"]
    hand.tap(picks[0])  # at once after the answer: nothing has changed, so it is not kept off
    hand.until(lambda: pages.at == "rig", "the rig")


def test_rigs_that_are_others_by_now_are_shown_as_they_are(hand, held, home):
    (home / "journal.db").touch()
    session = Session(home=home)
    before = session.rigs_to_begin_with()
    session.close()
    pages, app = held()
    assert pages.shown.view == before
    (home / "plans").mkdir()
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(PLANS / name, home / "plans")
    app.let_go(hand)
    assert pages.at == "rigs"
    assert len(pages.shown.view) == len(before) + 1
