"""The real app on a real session and a real journal, by taps and keys, from the rig to the sign-off."""

import sqlite3
import threading
from pathlib import Path

import pytest

from checkapp.show.standing import state_of
from checkapp.show.verifying import verify_journal

PLANS = Path(__file__).parents[2] / "plans"
SPACE, LEFT, UP, RIGHT, ESCAPE = 32, 276, 273, 275, 27


@pytest.fixture
def walking(tablet, home):
    """The app at the first line of a new check."""
    at = tablet(home / "plans" / "small.toml")
    at.start_check()
    return at


def test_from_the_rig_to_the_sign_off(tablet):
    at = tablet()
    assert at.screen.name == "rigs"
    at.tap_row("Quarry Nights, Weighing Room")
    assert at.screen.name == "rig"
    at.start_check()
    assert (at.line, at.screen.view.progress) == ("in 1", "1 of 8")
    at.tap("ok")
    assert at.line == "in 2"
    assert at.screen.view.caution
    at.tap("faulty")
    assert at.screen.name == "symptom"
    at.hand.type(at.screen.ids.note.ids.entry, "half latched")
    at.tap("silent")
    assert (at.screen.name, at.line) == ("walk", "in 3")
    at.tap("skip")
    for _ in range(5):
        at.tap("ok")
    assert at.line == "in 3"
    at.tap("finish")
    assert at.screen.name == "summary"
    assert [row.line for row in at.screen.view.open] == ["in 3"]
    assert [row.line for row in at.screen.view.faulty] == ["in 2"]
    at.tap_row("Fiddle")
    assert (at.screen.name, at.line) == ("walk", "in 3")
    at.tap("ok")
    assert at.screen.view.complete
    at.tap("finish")
    at.tap("sign off with 1 faulty")
    assert at.screen.name == "past"
    at.tap("rig")
    at.tap("read")
    assert at.screen.name == "past"
    assert [row.said for row in at.screen.view.faulty] == ["silent, half latched, JD"]

    standing = state_of(at.plan, "Night 1", at.journal)
    assert standing.signed_off
    assert {line: mark.verdict for line, mark in standing.marks.items()} == {
        "in 1": "ok",
        "in 2": "faulty",
        "in 3": "ok",
        "in 4": "ok",
        "in 5": "ok",
        "in 6": "ok",
        "out 1": "ok",
        "out 2": "ok",
    }
    assert ("in 2", "faulty", "silent", "JD") in at.marks()
    assert len(at.marks()) == 8
    lines, sound = verify_journal(at.journal)
    assert sound, lines


def test_a_check_can_be_signed_off_with_what_is_left_named(walking):
    walking.tap("ok")
    walking.tap("finish")
    walking.tap("sign off with 7 open")
    assert walking.screen.name == "past"
    assert len(walking.screen.view.open) == 7
    with sqlite3.connect(walking.journal) as opened:
        (detail,) = opened.execute("select detail from entry order by rowid desc limit 1").fetchone()
    assert "in 2" in detail
    assert '"in 1"' not in detail


def test_one_tap_reported_twice_marks_one_line(walking):
    walking.tap("ok")
    for after_s in (0.01, 0.1, 0.1):
        walking.tap("ok", after_s)
    assert walking.marks() == [("in 1", "ok", None, "JD")]
    assert walking.line == "in 2"
    walking.tap("ok", 0.31)
    assert [mark[0] for mark in walking.marks()] == ["in 1", "in 2"]


def test_two_reports_in_one_frame_mark_one_line(walking):
    ok = walking.screen.ids.ok
    walking.hand.tap(ok, then=False)
    walking.hand.tap(ok, 0.02, then=False)
    walking.settle()
    assert walking.marks() == [("in 1", "ok", None, "JD")]


def test_undo_takes_the_mark_back_and_goes_to_its_line(walking):
    walking.tap("ok")
    walking.tap("ok")
    walking.tap("undo")
    assert (walking.line, walking.screen.view.ok) == ("in 2", 1)
    assert walking.kinds().count("void") == 1
    assert walking.kinds().count("mark") == 2


def test_saved_is_said_only_after_the_entry_is_there(walking):
    said = []
    walking.screen.bind(saving=lambda _screen, words: said.append((words, len(walking.marks()))))
    walking.screen.bind(view=lambda _screen, view: said.append((view.message, len(walking.marks()))))
    walking.tap("ok")
    assert "in 1 ok, saved" in [words for words, _ in said]
    assert all(count == 1 for words, count in said if "saved" in words)
    assert {words for words, _ in said} <= {"in 1 ok, writing", "in 1 ok, saved", ""}  # the first when it took longer


def test_writing_is_said_while_the_entry_is_not_there(walking):
    go_on = threading.Event()
    walking.app.door.submit(lambda _session: go_on.wait(10), lambda _answer: None, lambda _error: None)
    walking.hand.tap(walking.hand.button(walking.screen, "ok"))
    assert (walking.screen.saving, walking.marks()) == ("in 1 ok, writing", [])
    go_on.set()
    walking.hand.until(lambda: walking.screen.view.message == "in 1 ok, saved", "the mark to be saved")
    assert len(walking.marks()) == 1


def test_cancelling_the_symptom_marks_nothing(walking):
    walking.tap("faulty")
    walking.tap("back")
    assert (walking.screen.name, walking.line) == ("walk", "in 1")
    assert walking.marks() == []


def test_a_note_stays_typed_until_it_is_used(walking):
    walking.tap("faulty")
    walking.hand.type(walking.screen.ids.note.ids.entry, "half latched")
    walking.tap("back")
    walking.tap("faulty")
    assert walking.screen.ids.note.text == "half latched"
    walking.go("settings")
    walking.app.pages.forget()  # as when the language is chosen
    walking.app.pages.front("settings")
    walking.key(ESCAPE)
    assert (walking.screen.name, walking.screen.ids.note.text) == ("symptom", "half latched")
    walking.tap("silent")
    walking.tap("back")
    walking.tap("faulty")
    assert (walking.line, walking.screen.ids.note.text) == ("in 1", "")
    walking.tap("back")
    walking.tap("next")
    walking.tap("faulty")
    assert walking.screen.ids.note.text == ""


def test_initials_and_the_show_stay_typed_until_the_check_begins(tablet, home):
    at = tablet(home / "plans" / "small.toml")
    at.tap("start a check")
    at.hand.type(at.screen.ids.venue.ids.entry, "Ledge")
    at.hand.type(at.screen.ids.by.ids.entry, "JD")
    at.go("settings")
    at.app.pages.forget()  # as when the language is chosen
    at.app.pages.front("settings")
    at.key(ESCAPE)
    assert [at.screen.ids[name].text for name in ("venue", "by")] == ["Ledge", "JD"]
    at.tap("back")
    at.tap("start a check")
    assert [at.screen.ids[name].text for name in ("venue", "by")] == ["Ledge", "JD"]
    at.tap("start")
    at.go("rig")
    at.tap_row("Another check")
    assert [at.screen.ids[name].text for name in ("venue", "by")] == ["", "JD"]


def test_back_next_and_any_line(walking):
    walking.tap("next")
    walking.tap("next")
    walking.tap("back")
    assert walking.line == "in 2"
    walking.tap("lines")
    walking.tap_row("Loudspeakers")
    assert (walking.screen.name, walking.line) == ("walk", "out 1")


def test_keys_do_what_the_buttons_do(walking):
    walking.key(SPACE)
    assert walking.line == "in 2"
    walking.key(RIGHT)
    assert walking.line == "in 3"
    walking.key(LEFT)
    walking.key(LEFT)
    assert walking.line == "in 1"
    walking.key(ord("f"))
    assert walking.screen.name == "symptom"
    walking.key(ord("2"))
    assert walking.screen.name == "walk"
    walking.key(ord("u"))
    assert walking.line == "in 1"
    assert walking.marks() == [("in 1", "ok", None, "JD"), ("in 1", "faulty", "hum", "JD")]
    walking.key(ESCAPE)
    walking.key(ESCAPE)
    assert walking.screen.name == "rig"


def test_a_held_key_marks_one_line(walking):
    walking.key(SPACE, up=False)
    for _ in range(40):
        walking.key(SPACE, 0.033, up=False)
    assert [mark[0] for mark in walking.marks()] == ["in 1"]
    walking.hand.window.dispatch("on_key_up", SPACE, 0)
    walking.key(SPACE, 0.4)
    assert [mark[0] for mark in walking.marks()] == ["in 1", "in 2"]


def test_keys_mean_nothing_while_a_note_is_typed_or_with_ctrl(walking):
    walking.key(SPACE, modifiers=["ctrl"])
    walking.tap("faulty")
    entry = walking.screen.ids.note.ids.entry
    walking.hand.type(entry, "u f 1")
    for key in (SPACE, ord("f"), ord("u"), ord("1")):
        walking.key(key)
    assert walking.marks() == []
    assert walking.screen.name == "symptom"
    assert entry.text == "u f 1"


def test_a_plan_that_cannot_be_used_is_one_banner_with_every_fault(tablet, home):
    at = tablet()
    at.tap_row("broken")
    assert at.screen.name == "rigs"
    banner = at.app.pages.banner
    assert len(banner.lines) >= 2
    assert all("broken.toml" in line for line in banner.lines)
    at.hand.tap(at.hand.button(banner, "put away"))
    assert banner.parent is None
    at.tap_row("Quarry Nights, Weighing Room")
    assert at.screen.name == "rig"


def test_a_named_plan_that_cannot_be_used_is_said_over_the_rigs_that_can(tablet, home):
    at = tablet(home / "plans" / "broken.toml")
    banner = at.app.pages.banner
    assert any("STOVE in 99" in line for line in banner.lines)
    assert at.screen.name == "rigs"
    at.hand.tap(at.hand.button(banner, "put away"))
    at.tap_row("Quarry Nights, Weighing Room")
    assert at.screen.name == "rig"


def test_a_check_without_initials_is_refused_in_words_and_can_be_mended(tablet, home):
    at = tablet(home / "plans" / "small.toml")
    at.tap("start a check")
    at.tap("start")
    assert at.screen.name == "newcheck"
    assert "initials" in at.app.pages.banner.lines[0]
    at.key(ESCAPE)
    assert at.app.pages.banner.parent is None
    assert at.screen.name == "newcheck"
    at.hand.type(at.screen.ids.by.ids.entry, "JD")
    at.tap("start")
    assert at.screen.name == "walk"


def test_from_the_rig_to_its_picture_to_a_box_and_back(tablet, home):
    at = tablet(home / "plans" / "small.toml")
    at.tap("picture")
    assert at.screen.name == "picture"
    assert at.screen.view.drawing.spots
    plan = at.screen.ids.plan
    (spot,) = [spot for spot in at.screen.view.drawing.spots if spot.item == "STOVE"]
    x, y = plan.look.at(spot.rect.middle)
    at.hand.tap_at(plan, *plan.to_window(plan.x + x, plan.y + y))
    at.settle()
    assert (at.screen.name, at.screen.view.item) == ("card", "STOVE")
    at.tap("picture")
    assert at.screen.name == "picture"
    at.key(ESCAPE)
    assert at.screen.name == "rig"


def test_a_card_tells_what_was_heard_in_this_check(walking):
    walking.tap("faulty")
    walking.tap("hum")
    walking.key(ESCAPE)
    walking.key(ESCAPE)
    walking.tap("picture")
    walking.hand.ticks.now_s += 1
    walking.screen.card("STOVE")
    walking.settle()
    assert walking.screen.name == "card"
    assert any("in 1 faulty: hum" in cell for row in walking.screen.view.history for cell in row)


def test_closed_in_the_middle_it_comes_back_at_the_same_line(walking, tablet, home):
    walking.tap("ok")
    walking.tap("faulty")
    walking.tap("hum")
    walking.tap("next")
    line = walking.line
    for plan in (None, home / "plans" / "small.toml"):
        at = tablet(plan)
        assert (at.screen.name, at.line) == ("walk", line)
        assert (at.screen.view.ok, at.screen.view.faulty) == (1, 1)


def test_another_plan_that_is_named_is_opened_all_the_same(walking, tablet):
    at = tablet(PLANS / "demo.toml")
    assert at.screen.name == "rig"
    assert at.screen.view.title == "Quarry Nights, Ledge Stage"


def test_a_check_is_gone_on_with_from_the_rig(walking):
    walking.tap("ok")
    walking.key(ESCAPE)
    walking.key(ESCAPE)
    walking.tap("go on")
    assert (walking.screen.name, walking.line) == ("walk", "in 2")


def test_put_aside_by_the_system_it_says_yes(walking):
    assert walking.app.on_pause() is True


def test_the_last_tap_before_closing_is_saved(walking, tablet):
    walking.hand.tap(walking.screen.ids.ok, then=False)
    at = tablet()
    assert at.marks() == [("in 1", "ok", None, "JD")]
    assert at.line == "in 2"
