"""What taps set off, with a session that can be held up while it saves."""

import threading
from dataclasses import replace

import pytest

from checkapp.rig.errors import CheckappError
from checkapp.touch.moves import Moves


class Slow:
    """A session whose saves wait until they are let go; it walks through numbered lines."""

    def __init__(self, walk):
        self.walk = walk
        self.calls = []
        self.go = threading.Event()
        self.go.set()
        self.refuse = False

    def _view(self, line):
        self.walk = replace(self.walk, line=line, number=line.removeprefix("in "))
        return self.walk

    def _after(self, line, by=1):
        return self._view(f"in {int(line.removeprefix('in ')) + by}")

    def _save(self, *call):
        assert self.go.wait(10)
        self.calls.append(call)
        if self.refuse:
            self.refuse = False
            raise CheckappError("the disk is full")

    def ok(self, line):
        self._save("ok", line)
        return self._after(line)

    def faulty(self, line, symptom, note):
        self._save("faulty", line, symptom, note)
        return self._after(line)

    def undo(self):
        self._save("undo")
        return self._after(self.walk.line, -1)

    def skip(self):
        self.calls.append(("skip", self.walk.line))
        return self._after(self.walk.line)

    forward = skip

    def back(self):
        self.calls.append(("back", self.walk.line))
        return self._after(self.walk.line, -1)

    def go_to(self, line):
        return self._view(line)

    def close(self):
        pass


class Screens:
    """Stands where the screens stand: what is shown, and what is said of the last tap."""

    def __init__(self, walk):
        self.at = "walk"
        self.views = {"walk": walk}
        self.said = []
        self.errors = []

    def show(self, name, view):
        self.renew(name, view)
        self.at = name

    def renew(self, name, view):
        self.views[name] = view

    def front(self, name):
        self.at = name

    def saving(self, words):
        self.said.append(words)

    def failed(self, error):
        self.errors.append(error.lines)

    @property
    def line(self):
        return self.views["walk"].line


@pytest.fixture
def session(views):
    return Slow(replace(views["walk"][1], line="in 1"))


@pytest.fixture
def screens(session):
    return Screens(session.walk)


@pytest.fixture
def moves(window, session, screens, ticks):
    from checkapp.touch.door import Door

    door = Door(lambda: session)
    moves = Moves(door, screens, ticks)
    moves.door = door
    yield moves
    session.go.set()
    door.close()


@pytest.fixture
def settle(hand, moves):
    return lambda: hand.until(lambda: moves.door.waiting == 0, "the door to be empty")


def test_ok_marks_the_line_and_moves_on(moves, session, screens, settle):
    moves.ok("in 1")
    settle()
    assert session.calls == [("ok", "in 1")]
    assert screens.line == "in 2"


def test_a_tap_within_300_ms_is_the_same_tap(moves, session, screens, settle, ticks):
    moves.ok("in 1")
    settle()
    for _ in range(5):
        ticks.now_s += 0.05
        moves.ok(screens.line)
        moves.skip(screens.line)
        moves.undo()
    settle()
    assert session.calls == [("ok", "in 1")]
    ticks.now_s += 0.06
    moves.ok(screens.line)
    settle()
    assert session.calls == [("ok", "in 1"), ("ok", "in 2")]


def test_faulty_and_the_symptom_are_two_taps(moves, session, screens, settle, ticks):
    moves.ask_symptom(session.walk)
    assert screens.at == "symptom"
    ticks.now_s += 0.2
    moves.faulty("in 1", "hum", "")
    settle()
    assert session.calls == []
    ticks.now_s += 0.2
    moves.faulty("in 1", "hum", "loose")
    settle()
    assert session.calls == [("faulty", "in 1", "hum", "loose")]
    assert screens.at == "walk"


def test_impatient_taps_while_saving_mark_the_shown_line_once(moves, session, screens, settle, ticks):
    session.go.clear()
    for _ in range(4):
        moves.ok(screens.line)
        ticks.now_s += 0.5
    assert screens.said == ["saving"]
    assert screens.line == "in 1"
    session.go.set()
    settle()
    assert session.calls == [("ok", "in 1")]
    assert screens.line == "in 2"


def test_a_tap_right_after_a_late_line_does_not_mark_it(moves, session, screens, settle, ticks):
    session.go.clear()
    moves.ok("in 1")
    ticks.now_s += 2.0
    session.go.set()
    settle()
    ticks.now_s += 0.1
    moves.ok(screens.line)
    settle()
    assert session.calls == [("ok", "in 1")]
    ticks.now_s += 0.3
    moves.ok(screens.line)
    settle()
    assert session.calls[-1] == ("ok", "in 2")


def test_a_second_tap_on_finish_does_not_sign_off_when_the_summary_comes_late(moves, session, screens, settle, ticks):
    session.summary = lambda: session.go.wait(10) and "check"
    session.sign_off = lambda: session.calls.append(("sign off",))
    session.go.clear()
    moves.summary()
    ticks.now_s += 2.0
    session.go.set()
    settle()
    assert screens.at == "summary"
    ticks.now_s += 0.2
    moves.sign_off()
    settle()
    assert session.calls == []
    ticks.now_s += 0.2
    moves.sign_off()
    settle()
    assert session.calls == [("sign off",)]


def test_a_symptom_tapped_while_an_ok_is_saved_marks_the_line_it_was_asked_for(moves, session, screens, settle, ticks):
    session.go.clear()
    moves.ok("in 1")
    ticks.now_s += 1.0
    moves.ask_symptom(screens.views["walk"])
    ticks.now_s += 1.0
    moves.faulty(screens.views["symptom"].line, "silent", "")
    session.go.set()
    settle()
    assert session.calls == [("ok", "in 1"), ("faulty", "in 1", "silent", "")]
    assert (screens.at, screens.line) == ("walk", "in 2")


@pytest.mark.parametrize(("step", "ends_at"), [("skip", "in 2"), ("forward", "in 2"), ("back", "in 0")])
def test_a_step_while_a_mark_is_saved_starts_from_the_line_that_was_shown(
    moves, session, screens, settle, ticks, step, ends_at
):
    session.go.clear()
    moves.ok("in 1")
    ticks.now_s += 1.0
    getattr(moves, step)(screens.line)
    session.go.set()
    settle()
    assert screens.line == ends_at
    assert session.calls[0] == ("ok", "in 1")


def test_undo_tapped_while_a_mark_is_saved_comes_after_it(moves, session, screens, settle, ticks):
    session.go.clear()
    moves.ok("in 1")
    ticks.now_s += 1.0
    moves.undo()
    session.go.set()
    settle()
    assert session.calls == [("ok", "in 1"), ("undo",)]


def test_a_mark_that_could_not_be_saved_says_so_and_can_be_tapped_again(moves, session, screens, settle, ticks):
    session.refuse = True
    moves.ok("in 1")
    settle()
    assert screens.errors == [("the disk is full",)]
    assert screens.said == ["saving", ""]
    assert screens.line == "in 1"
    ticks.now_s += 1.0
    moves.ok("in 1")
    settle()
    assert screens.line == "in 2"
