"""Faults on a rig found by following the advice, repaired, heard again, signed off: by taps in the real app."""

import json
import shutil
import sqlite3
from pathlib import Path

import pytest

from checkapp.journal.journal import Journal
from checkapp.journal.state import read_show_state
from checkapp.journal.taken_out import read_taken_out
from checkapp.rig.planfile import load_plan
from checkapp.show.played import plant
from checkapp.show.verifying import verify_journal

PLANS = Path(__file__).parents[2] / "plans"
SEED = 7
MOST_MOVES = 20


@pytest.fixture
def demo(home):
    shutil.copy(PLANS / "demo.toml", home / "plans" / "demo.toml")
    return home / "plans" / "demo.toml"


class A2:
    """Somebody at the desk who hears what the planted faults do, and taps what the screen proposes."""

    def __init__(self, at, plan):
        self.at, self.rig = at, load_plan(plan)
        self.planted = plant(self.rig, SEED)
        self.bad = {fault.item.name: fault for fault in self.planted}
        self.found = []
        self.done = []

    @property
    def view(self):
        return self.at.screen.view

    def heard(self, line):
        """The symptom of a line; None when it is ok."""
        names = [item.name for item in self.rig.path(line)]
        return next((self.bad[name].symptom for name in names if name in self.bad), None)

    def walk_all(self):
        """Mark every line as it is heard."""
        while self.view.open:
            symptom = self.heard(self.view.line)
            self.at.tap("ok" if symptom is None else "faulty")
            if symptom is not None:
                self.at.tap(symptom)
        assert self.view.complete

    def follow(self):
        """Do what the fault sheet proposes until nothing is faulty; how many things were tried."""
        for number in range(MOST_MOVES):
            if self.view.over:
                return number
            self.try_next()
            self.answer()
            if self.view.asks_pulled:
                self.at.tap("pulled")
        pytest.fail(f"still faulty after {MOST_MOVES} tests: {self.view.heading}; {self.done}")

    def try_next(self):
        """Tap the one big button; where there is no test, repair the first suspect in its place or swap it."""
        if self.view.next is not None:
            self.at.hand.tap(self.at.screen.ids.next)
            self.at.settle()
        else:
            self.blame_first()
        assert self.view.step is not None
        assert self.view.step.steps
        self.done.append(self.view.step.title)

    def blame_first(self):
        first = self.view.suspects[0]
        self.at.tap_row(first.title)
        assert self.at.screen.name == "blame"
        rows = {row.work: row for row in first.works if row.item == first.items[0]}
        self.at.tap_row((rows.get("swap") or rows["mend"]).title)

    def answer(self):
        """What is done, as the step says it, and what is heard then."""
        step = self.at.app.pages.manager.get_screen("fault").view.step
        work, _, rest = step.title.partition(" ")
        item = rest.removesuffix(" for a good one")
        if step.asks:
            self.scan_spare(item)
        if work in ("Swap", "Mend"):
            self.put_right(item)
        symptom = self.heard(step.line)
        if symptom is None:
            self.at.tap("ok")
        elif step.symptom:
            self.at.tap("faulty")
            self.at.tap(symptom)
        else:
            self.at.tap("still faulty")
        assert self.at.screen.name == "fault"

    def put_right(self, item):
        """A swap or a mend takes a planted fault away."""
        if item in self.bad:
            self.found.append(item)
            del self.bad[item]

    def scan_spare(self, old):
        """Scan a spare of the same kind, else say that what goes in has no tag."""
        rig = self.rig
        kind = rig.cables[old].kind if old in rig.cables else None
        spares = [cable for cable in rig.cables.values() if kind and cable.spare and cable.kind == kind]
        spare = next((one for one in spares if one.code not in self.done), None)
        if spare is None:
            self.at.tap("it has no tag")
            return
        tag = next(tag.text for tag in rig.tags if (tag.code, tag.end) == (spare.code, "A"))
        self.at.scan(tag)
        self.done.append(spare.code)


@pytest.fixture
def a2(hand, tablet, demo):
    at = tablet(demo)
    hand.drawing = False
    at.start_check("Night 1")
    return A2(at, demo)


def entries(at, kind):
    """Subject and detail of the entries of a kind, read without our library."""
    with sqlite3.connect(at.journal) as opened:
        rows = opened.execute("select subject, detail from entry where kind = ? order by rowid", (kind,)).fetchall()
    return [(subject, json.loads(detail)) for subject, detail in rows]


def test_planted_faults_are_found_by_the_advice_repaired_heard_again_and_signed_off(a2):
    planted = {fault.item.name for fault in a2.planted}
    assert len(planted) == 3
    a2.walk_all()
    assert a2.at.screen.lead
    a2.at.tap(f"Suspect: {a2.at.screen.lead}")
    assert a2.at.screen.name == "fault"
    assert a2.view.suspects
    tried = a2.follow()
    assert set(a2.found) == planted
    assert tried <= 8 + len(a2.rig.lines) // 4, a2.done
    a2.at.tap("walk")
    assert a2.view.complete
    assert (a2.view.faulty, a2.view.open, a2.at.screen.lead) == (0, 0, "")
    a2.at.tap("finish")
    a2.at.tap("sign off")
    assert a2.at.screen.name == "past"

    cleared = {subject for subject, detail in entries(a2.at, "repair") if detail["cleared"]}
    assert planted <= cleared
    assert all(detail["listened"] for _, detail in entries(a2.at, "repair"))
    with Journal.read(a2.at.journal) as journal:
        state = read_show_state(journal, a2.rig.name, "Night 1")
        out = read_taken_out(journal, a2.rig.name)
    assert state.signed_off
    assert state.check.left_open == ()
    assert {mark.verdict for mark in state.lines.values()} == {"ok"}
    assert len(state.lines) == len(a2.rig.lines)
    assert all(one.is_pulled for one in out if one.is_to_be_pulled or one.cleared)
    assert {subject for subject, _ in entries(a2.at, "pulled")} == {one.item for one in out if one.cleared}
    assert "none missing, none changed" in " ".join(verify_journal(a2.at.journal)[0])

    a2.at.tap("rig")
    a2.at.go("history")
    assert a2.at.screen.name == "history"
    assert a2.view.summary == "1 check of 1 show, 3 confirmed faults"
    known = {row.item.removeprefix("QN.") for row in a2.view.rows if row.faults == "1 of 1"}
    assert known == planted
    first = a2.view.rows[0]
    a2.at.tap_row(first.title)
    assert a2.at.screen.name == "life"
    assert any("Night 1" in words for _, words in a2.view.events)
    a2.at.tap("history")
    a2.at.tap("rig")
    assert a2.at.screen.name == "rig"
