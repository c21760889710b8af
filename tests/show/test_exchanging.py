"""A spare swapped in and a line moved, by two scans each, and everything follows."""

from pathlib import Path

import pytest

from checkapp.rig.codes import Tag
from checkapp.show.card_lookup import find_card
from checkapp.show.session import Session

DEMO = Path(__file__).parents[2] / "plans" / "demo.toml"


@pytest.fixture
def session(tmp_path):
    session = Session(tmp_path / "journal.db", home=tmp_path)
    session.open_rig(str(DEMO))
    session.set_up("Night 1", "Upper ledge", "2031-05-02", "JD")
    yield session
    session.close()


@pytest.fixture
def exchange(session):
    def exchange(mode, *texts):
        view = session.setup.mode(mode)
        for text in texts:
            view = session.setup.scan(text)
        return view

    return exchange


def kinds(session):
    return [entry.kind for entry in session.setup.recorder.journal.entries(kind=("swap", "move"))]


def test_old_then_new_is_one_action_and_the_rig_follows(session, exchange):
    view = session.setup.mode("swap")
    assert (view.mode, view.prompt) == ("swap", "Scan what comes out.")
    view = session.setup.scan("HP13 A")
    assert view.prompt == "Scan what goes in for HP13."
    view = session.setup.scan("HP21 B")
    if view.confirm:
        view = session.setup.confirm()
    assert (view.answer.status, view.answer.words) == ("ok", "HP21 is in for HP13")
    assert (view.mode, kinds(session)) == ("check", ["swap"])
    rig = session.setup.rig
    assert rig.boxes["BRASS"].cable == "HP21"
    line = next(line for line in rig.lines if line.port.startswith("BRASS "))
    assert "HP21" in [item.name for item in rig.path(line.line)]
    assert session.setup.scan("HP21 B").answer.words == "HP21 B goes into BRASS link in"
    assert session.setup.scan("BRASS").answer.words == "Correct box. HP21 B goes into BRASS link in"
    assert (
        "HP13 goes nowhere" in session.setup.scan("HP13 A").answer.more or "nowhere" in session.setup.view().answer.more
    )


def test_the_walk_and_the_rigs_own_screens_follow_too(session, exchange):
    exchange("swap", "HP13", "HP21")
    session.setup.confirm()
    walk = session.start_check("Night 1", "Upper ledge", "2031-05-02", "JD")
    line = next(line.line for line in session.setup.rig.lines if line.port.startswith("BRASS in"))
    walk = session.go_to(line)
    names = [item.name for item in walk.run]
    assert "HP21" in names
    assert "HP13" not in names
    assert any(row.where == "HP13" and row.rule == "unused" for row in session.rig_view().findings)


def test_a_shorter_spare_is_asked_back(session, exchange):
    view = exchange("swap", "HP01", "HP22")
    assert view.answer.status == "look"
    assert "12 m" in view.answer.more
    assert view.confirm == "swap HP22 in"
    assert kinds(session) == []
    assert session.setup.confirm().answer.words == "HP22 is in for HP01"


def test_hired_gear_with_a_good_tag_is_asked_back_and_taken_as_the_same(session, exchange):
    tag = Tag("ZZ", "SB9")
    view = exchange("swap", "DRUM", tag.text)
    assert view.confirm == "swap SB9 in"
    assert "The plan does not know ZZ.SB9" in view.answer.more
    view = session.setup.confirm()
    assert view.answer.status == "ok"
    rig = session.setup.rig
    assert "DRUM" not in rig.boxes
    assert rig.owner_of("SB9") == "ZZ"
    assert rig.line("in 1").port == "SB9 in 1"
    assert find_card(session.setup.recorder.rig, tag.text, session.setup.recorder.journal).item == "SB9"


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        (("HP13", "HP14"), "HP14 is in use"),
        (("HP13", "HP13"), "HP13 cannot take its own place"),
        (("HP13", "DI01"), "only a cable takes its place"),
        (("in 7",), "in 7 cannot be swapped"),
        (("DRUM in 3",), "DRUM in 3 cannot be swapped"),
    ],
)
def test_what_cannot_be_swapped_is_told_and_nothing_is_logged(session, exchange, texts, words):
    view = exchange("swap", *texts)
    assert view.answer.status == "faulty"
    assert words in view.answer.words
    assert kinds(session) == []
    assert view.mode == "swap"
    assert session.setup.mode("check").mode == "check"


def test_a_line_goes_to_a_free_port_that_is_typed(session, exchange):
    old = session.setup.rig.line("in 31").port
    view = exchange("move", "in 31", "RIGHT in 10")
    if view.confirm:
        view = session.setup.confirm()
    assert view.answer.words == "in 31 Guitar acoustic is on RIGHT in 10 now"
    assert f"re-plug from {old}" in view.answer.more
    assert session.setup.rig.line("in 31").port == "RIGHT in 10"
    assert session.setup.scan("LD21 A").answer.words == "LD21 A goes into RIGHT in 10"


def test_a_line_that_is_scanned_by_its_cable_goes_to_the_boxs_first_free_port(session, exchange):
    view = exchange("move", "LD21 A", "RIGHT")
    assert view.confirm.startswith("put it on RIGHT in ")
    assert session.setup.confirm().answer.status == "ok"
    assert kinds(session) == ["move"]


def test_a_port_that_cannot_take_the_line_is_looked_at_first(session, exchange):
    rig = session.setup.rig
    line = next(line.line for line in rig.plan.input if line.level == "instrument")
    view = exchange("move", line, "RIGHT in 10")
    assert (view.answer.status, view.confirm) == ("look", "put it on RIGHT in 10")
    assert "instrument" in view.answer.more
    assert session.setup.confirm().answer.status == "ok"


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        (("in 31", "RIGHT in 1"), "RIGHT in 1 is in use"),
        (("in 31", "RIGHT out 5"), "the rig has no input RIGHT out 5"),
        (("in 31", "HP01 A"), "in 31 cannot go to HP01 A"),
        (("FN01 A",), "FN01 A carries 6 lines"),
        (("HP01 A",), "HP01 A carries no line"),
    ],
)
def test_what_cannot_be_moved_is_told(session, exchange, texts, words):
    view = exchange("move", *texts)
    assert words in view.answer.words
    assert kinds(session) == []


def test_undo_of_a_swap_puts_the_old_one_back_in_the_plan_of_things(session, exchange):
    exchange("swap", "HP13", "HP21")
    session.setup.confirm()
    assert session.setup.rig.boxes["BRASS"].cable == "HP21"
    view = session.setup.undo()
    assert view.answer.words == "Taken back: HP21 in for HP13"
    assert session.setup.rig.boxes["BRASS"].cable == "HP13"
