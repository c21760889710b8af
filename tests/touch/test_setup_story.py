"""A set-up as it happens: the real app, session and journal, tags scanned through the window's keys, wrong ones too."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from checkapp.journal.journal import Journal
from checkapp.journal.setup_state import read_setup_state
from checkapp.rig.codes import Tag
from checkapp.rig.connections import connections
from checkapp.rig.planfile import load_plan
from checkapp.show.verifying import verify_journal

PLANS = Path(__file__).parents[2] / "plans"
SHOW = ("Night 1", "Ledge", "2031-05-02", "JD")
ENTER = 13


@pytest.fixture
def demo(home):
    shutil.copy(PLANS / "demo.toml", home / "plans" / "demo.toml")
    return home / "plans" / "demo.toml"


class Stage:
    """A stagehand with a tablet in set-up: scans tags, types what has none, reads the answer."""

    def __init__(self, at, plan):
        self.at, self.rig = at, load_plan(plan)
        self.tags = {(tag.code, tag.end): tag.text for tag in self.rig.tags}

    def scan(self, what):
        """Scan the tag of an item or of an end; type what carries none. The answer as it stands on the screen."""
        code, _, end = what.removeprefix("chain ").rpartition(" ")
        text = self.tags.get((what.removeprefix("chain "), "")) or self.tags.get((code, end))
        if text is None:
            return self.type(what)
        self.at.scan(text)
        return self.answer()

    def scan_strange(self, owner, code, end=""):
        """Scan the tag of something that the rig does not have."""
        self.at.scan(Tag(owner, code, end).text)
        return self.answer()

    def type(self, text):
        """Type it into the place for it, on the set-up screen."""
        if self.at.screen.name != "setup":
            self.at.tap("set-up")
        self.at.hand.type(self.at.screen.ids.code, text)
        self.at.key(ENTER)
        return self.answer()

    def answer(self):
        """The answer that is seen, on the card or on the set-up screen."""
        view = self.at.screen.view
        assert view.answer is not None
        words = [getattr(w, "words", "") for w in self.at.screen.walk()]
        assert view.answer.words in words
        return view.answer

    @property
    def view(self):
        """The set-up as it stands, whatever lies over it."""
        return self.at.app.pages.manager.get_screen("setup").view

    def to_setup(self):
        if self.at.screen.name == "card":
            self.at.tap("set-up")
        assert self.at.screen.name == "setup"

    def tick(self, title, detail=""):
        """Bring a row of the list into sight and tap its tick."""
        self.to_setup()
        listed = self.at.screen.ids.list
        data = enumerate(listed.data)
        listed.bring(next(n for n, row in data if row.get("title") == title and row["detail"].startswith(detail)))
        self.at.hand.frames(4)
        rows = [w for w in listed.walk() if getattr(w, "title", "") == title and hasattr(w, "ticked")]
        (row,) = [row for row in rows if row.detail.startswith(detail)]
        self.at.hand.tap(self.at.hand.button(row, "untick" if row.status == "ok" else "tick"))
        self.at.settle()

    def tick_setting(self, box, setting):
        self.tick(f"set {box}", f"{setting}: {self.rig.boxes[box].settings[setting]}")


@pytest.fixture
def stage(hand, tablet, demo):
    at = tablet(demo)
    hand.drawing = False
    return begin(at, demo)


def begin(at, demo):
    at.tap("set up")
    for place, text in zip(("name", "venue", "date", "by"), SHOW, strict=True):
        entry = at.screen.ids[place].ids.entry
        entry.text = ""
        at.hand.type(entry, text)
    at.tap("start")
    assert at.screen.name == "setup"
    return Stage(at, demo)


def logged(at):
    """The kinds of all entries, read without our library."""
    with sqlite3.connect(at.journal) as opened:
        return [kind for (kind,) in opened.execute("select kind from entry order by rowid")]


def state(stage):
    """Where the set-up stands by the journal alone."""
    with Journal.open(stage.at.journal, new_device="reader") as journal:
        return read_setup_state(journal, stage.rig.name, SHOW[0])


def is_whole(stage, rig):
    """Whether the journal says that every box is placed and every end is in, none of them anywhere else."""
    stands = state(stage)
    ends_in = all(stands.is_in(one.subject, port) for one in connections(rig) for port in one.ports)
    return set(stands.placed) == set(rig.boxes) and ends_in


PLANTED = [
    # what is scanned first, what then, where the answer says that it belongs or why not
    ("LEFT", "LD20 A", "LD20 A goes into RIGHT in 1"),
    ("LEFT", "HP02 A", "HP02 A goes into RIGHT link out"),
    ("FAR", "HP02 B", "HP02 B goes into LEFT link in"),
    ("KEYS", "HP11 A", "HP11 A goes into House chain BACK"),
    ("KEYS", "LD01 A", "LD01 A goes into DRUM in 5"),
    ("RIGHT", "LD70 A", "LD70 is a spare: the plan plugs it nowhere"),
    ("STRINGS", "LM01 B", "LM01 B goes into DROP"),
    ("LD03 B", "MC05", "LD03 B goes to MC06"),
]
"""Wrong boxes, wrong ends of a hop, cables of other boxes, a spare, a multicore's far end, two microphones mixed up."""


def test_a_set_up_by_scans_with_ten_wrong_ones_ends_as_planned(stage, ticks):
    for first, then, belongs in PLANTED:
        stage.scan(first)
        answer = stage.scan(then)
        assert answer.status == "faulty", answer
        assert belongs in f"{answer.words}. {answer.more}", answer
        assert answer.words.startswith("Wrong")
        ticks.now_s += 1.0
    stage.scan("DRUM")
    for owner, code, said in (("QN", "ZZ99", "ZZ99"), ("ZZ", "LD04", "LD04")):
        answer = stage.scan_strange(owner, code, "A")
        assert answer.status in ("faulty", "look"), answer
        assert said in answer.words
    assert not is_whole(stage, stage.rig)
    assert sum(row.status == "faulty" for place in stage.view.places for row in place.rows) == 7

    plug_in_everything(stage)
    for box in stage.rig.boxes.values():
        for setting in box.settings:
            assert any(row.port == setting for place in stage.view.places for row in place.rows)
            stage.tick_setting(box.code, setting)
    assert stage.view.complete, stage.view.progress
    assert is_whole(stage, stage.rig)
    assert not any(row.status != "ok" for place in stage.view.places for row in place.rows)
    lines, sound = verify_journal(stage.at.journal)
    assert sound, lines
    assert logged(stage.at).count("placed") == len(stage.rig.boxes)


def plug_in_everything(stage):
    """Scan each place and then what goes in there; where nothing can be scanned, the end and then the line's name."""
    by_place = {}
    for one in connections(stage.rig):
        by_place.setdefault(one.at, []).append(one)
    for there, these in by_place.items():
        has_tag = not there.startswith(("source ", "load "))
        if has_tag:
            stage.scan(there)
        for one in these:
            answer = stage.scan(one.subject)
            if not has_tag:
                assert answer.status == "next", answer
                answer = stage.type(one.lines[0])
            assert answer.status == "ok", (one, answer)
            assert answer.words.startswith(("Correct. ", "Correct box. ")), (one, answer)


def connected(stage, end):
    """What the journal says of an end: its verdict by port."""
    return {port: made.verdict for port, made in state(stage).connected.get(end, {}).items()}


def test_a_box_scanned_shows_its_card_and_its_ends_are_checked_from_there(stage):
    assert stage.scan("RIGHT").words.startswith("RIGHT placed")
    assert (stage.at.screen.name, stage.at.screen.view.card.item) == ("card", "RIGHT")
    assert stage.scan("LD20 A").words == "Correct box. LD20 A goes into RIGHT in 1"
    assert (stage.at.screen.name, stage.view.here) == ("setup", "At RIGHT")
    assert stage.view.to_do.startswith("Plug ")
    assert stage.scan("LD21 A").words == "Correct box. LD21 A goes into RIGHT in 2"


def test_an_end_first_and_then_its_box(stage):
    assert "RIGHT link in" in stage.scan("HP01 B").words
    assert stage.scan("RIGHT").words == "Correct box. HP01 B goes into RIGHT link in"
    assert state(stage).placed.keys() == {"RIGHT"}


def test_what_was_done_last_is_taken_back(stage):
    stage.scan("RIGHT")
    stage.scan("LD20 A")
    stage.at.tap("undo")
    assert stage.answer().words.startswith("Taken back")
    assert connected(stage, "LD20 A") == {}
    stage.at.tap("undo")
    assert state(stage).placed == {}
    assert stage.at.hand.button(stage.at.screen, "undo").disabled
    assert logged(stage.at).count("void") == 2


def test_ticks_by_hand_are_kept_as_such_and_can_be_taken_back(stage):
    stage.tick("RIGHT")
    stage.tick("LD20 A")
    assert state(stage).placed.keys() == {"RIGHT"}
    assert connected(stage, "LD20 A") == {"RIGHT in 1": "ticked"}
    stage.tick("LD20 A")
    stage.tick("RIGHT")
    assert connected(stage, "LD20 A") == {}
    assert state(stage).placed == {}
    assert logged(stage.at)[-4:] == ["placed", "connected", "void", "void"]


def test_an_end_whose_far_side_has_no_tag_is_confirmed_with_one_tap(stage):
    assert stage.scan("LD20 B").status == "next"
    stage.to_setup()
    stage.at.tap(stage.view.confirm)
    assert connected(stage, "LD20 B") == {"source in 30": "ticked"}
    assert stage.view.confirm == ""


def test_a_spare_swapped_in_is_expected_from_then_on(stage):
    stage.scan("RIGHT")
    stage.scan("LD20 A")
    stage.at.tap("swap")
    assert stage.view.prompt == "Scan what comes out."
    stage.scan("LD20 A")
    answer = stage.scan("LD71 A")
    assert (answer.status, stage.at.screen.name) == ("look", "setup")  # 6 m for 10 m
    stage.at.tap(stage.view.confirm)
    assert stage.answer().words == "LD71 is in for LD20"
    assert stage.view.mode == "check"
    assert stage.scan("RIGHT").status in ("ok", "next")
    assert stage.scan("LD71 A").words == "Correct box. LD71 A goes into RIGHT in 1"
    wrong = stage.scan("LD20 A")
    assert (wrong.status, wrong.words.split(".")[0]) == ("faulty", "Wrong")
    stage.scan("RIGHT")
    said = str(stage.at.screen.view.card)
    assert "LD71" in said
    assert connected(stage, "LD71 A") == {"RIGHT in 1": "right"}
    titles = [row.title for place in stage.view.places for row in place.rows]
    assert "LD71 A" in titles
    assert "LD20 A" not in titles
    assert logged(stage.at).count("swap") == 1


def test_a_line_moved_to_a_free_port_is_expected_there(stage):
    stage.at.tap("other port")
    stage.type("in 30")
    assert stage.type("RIGHT in 8").words.startswith("in 30 Guitar amp is on RIGHT in 8")
    stage.scan("RIGHT")
    assert stage.scan("LD20 A").words == "Correct box. LD20 A goes into RIGHT in 8"
    assert connected(stage, "LD20 A") == {"RIGHT in 8": "right"}
    assert logged(stage.at).count("move") == 1


def test_a_swap_given_up_changes_nothing(stage):
    stage.at.tap("swap")
    stage.scan("LD20 A")
    stage.at.tap("cancel")
    assert (stage.view.mode, stage.view.prompt) == ("check", "")
    assert "swap" not in logged(stage.at)


def test_from_set_up_to_the_check_of_the_same_show_and_a_card_in_between(stage):
    stage.scan("RIGHT")
    stage.to_setup()
    stage.at.tap("rig")
    stage.at.tap("start a check")
    assert [stage.at.screen.ids[place].text for place in ("name", "venue", "date", "by")] == list(SHOW)
    stage.at.tap("start")
    assert stage.at.screen.name == "walk"
    stage.at.tap("ok")
    walk = stage.at.screen.view
    stage.at.scan(stage.tags["STRINGS", ""])
    assert (stage.at.screen.name, stage.at.screen.view.card.item) == ("card", "STRINGS")
    stage.at.tap("walk")
    assert (stage.at.screen.name, stage.at.screen.view) == ("walk", walk)
    assert "STRINGS" not in state(stage).placed


def test_every_code_of_a_quick_row_of_scans_is_taken(stage):
    stage.scan("RIGHT")
    stage.to_setup()
    ends = [f"LD2{n} A" for n in range(7)]
    for end in ends:
        code, _, letter = end.rpartition(" ")
        stage.at.hand.scan(stage.tags[code, letter])
        stage.at.hand.ticks.now_s += 0.2
    stage.at.settle()
    assert [connected(stage, end) for end in ends] == [{f"RIGHT in {n}": "right"} for n in range(1, 8)]


SCANNER = """
import signal
import sys

signal.alarm(60)  # the end of it, should it stand still
from pathlib import Path
from checkapp.rig.planfile import load_plan
from checkapp.show.session import Session
from checkapp.touch.start import prepare

home, plan = Path(sys.argv[1]), sys.argv[2]
tags = {(tag.code, tag.end): tag.text for tag in load_plan(Path(plan)).tags}
prepare(home / "kivy")
from kivy.clock import Clock
from checkapp.touch.app import CheckApp

seconds = [0.0]
app = CheckApp(lambda: Session(home=home), plan, now_s=lambda: seconds[0])


def steps():
    while app.pages.shown.name != "rig":
        yield
    seconds[0] += 1.0
    app.moves.set_up("Night 1", "", "2031-05-02", "JD")
    while app.pages.shown.name != "setup":
        yield
    setup = app.pages.shown
    for tag in (("RIGHT", ""), *((f"LD{n}", "A") for n in range(20, 27))):
        before = setup.view
        seconds[0] += 2.0
        app.moves.scanned(tags[tag])
        while setup.view is before:
            yield
        print(setup.view.ends_connected, flush=True)
    while True:
        yield


step = steps()
Clock.schedule_interval(lambda dt: next(step), 0)
app.run()
"""


def test_killed_in_the_middle_it_comes_back_with_everything_that_was_shown(demo, home, tablet):
    environment = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "PYTHONPATH": os.pathsep.join(sys.path)}
    scanner = subprocess.Popen(
        [sys.executable, "-c", SCANNER, str(home), str(demo)],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        said = [scanner.stdout.readline().strip() for _ in range(4)]
    finally:
        scanner.send_signal(signal.SIGKILL)
        rest, errors = scanner.communicate(timeout=30)
    said += rest.split()
    assert said[0] == "0", errors
    at = tablet()
    assert at.screen.name == "setup"
    assert (at.screen.view.boxes_placed, at.screen.view.show_title) == (1, "Night 1, 2 May 2031")
    assert int(said[-1]) <= at.screen.view.ends_connected <= int(said[-1]) + 1
    lines, sound = verify_journal(at.journal)
    assert sound, lines
