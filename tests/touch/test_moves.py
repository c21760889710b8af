"""What taps set off, with a session that can be held up while it saves."""

import threading
from dataclasses import replace

import pytest

from checkapp.rig.errors import CheckappError
from checkapp.show.setup_views import Answer, ScanView
from checkapp.touch.asking import CHECK, SETUP
from checkapp.touch.moves import Moves
from checkapp.touch.pages import OVER


class Slow:
    """A session whose saves wait until they are let go; it walks through numbered lines."""

    def __init__(self, walk):
        self.walk = walk
        self.calls = []
        self.go = threading.Event()
        self.go.set()
        self.refuse = False
        self.at_faults = SlowFaults(self)

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

    def scanned(self, text, *, burst=False):
        self._save("scanned", text, burst)
        card = None if text.startswith("XX") else f"card of {text}"
        return ScanView(Answer("look" if card is None else "ok", text, "why"), card)

    @property
    def setup(self):
        return self.at_setup

    @property
    def faults(self):
        return self.at_faults

    def close(self):
        pass


class SlowSetUp:
    """A set-up whose saves wait likewise; its view tells what was asked of it."""

    def __init__(self, session, view):
        self.session, self.shown = session, view

    def view(self):
        return self.shown

    def _did(self, *call):
        self.session._save(*call)
        self.shown = replace(self.shown, answer=Answer("ok", " ".join(map(str, call)), ""), card=None, card_first=False)
        return self.shown

    def scan(self, text, *, burst=False):
        self._did("scan", text, burst)
        is_box = text.startswith("BOX")
        self.shown = replace(self.shown, card=f"card of {text}", card_first=is_box)
        return self.shown

    def __getattr__(self, name):
        return lambda *args: self._did(name, *args)


class SlowFaults:
    """A fault sheet whose saves wait likewise; its view tells what was asked of it."""

    wants_scan = False

    def __init__(self, session):
        self.session = session

    def lead(self):
        return f"cable LD0{len(self.session.calls)}, 71 %"

    def scan(self, text, *, burst=False):
        self.session._save("scan at fault", text, burst)
        return f"sheet after {text}"

    def __getattr__(self, name):
        def asked(*args):
            self.session._save(name, *args)
            return f"sheet after {name}"

        return asked


class Screens:
    """Stands where the screens stand: what is shown, and what is said of the last tap."""

    def __init__(self, walk):
        self.at = self.base = self.under = "walk"
        self.views = {"walk": walk}
        self.said = []
        self.errors = []
        self.banner = ()
        self.blinks = []
        self.sought = 0
        self.leads = []

    def lead(self, words):
        self.leads.append(words)

    def show(self, name, view):
        self.renew(name, view)
        self.front(name)

    def renew(self, name, view):
        self.views[name] = view

    def front(self, name):
        if name not in OVER:
            self.base = self.under = name
        elif name != self.at:
            self.under = "camera" if self.at == "camera" else self.base
        self.at = name

    def leave_for(self, way):
        self.left_for = way

    def seek(self, name):
        self.sought += 1

    def say(self, lines):
        self.banner = tuple(lines)

    def put_away(self):
        self.banner = ()

    def blink(self, status):
        self.blinks.append(status)

    def saving(self, words):
        self.said.append(words)

    def failed(self, error):
        self.errors.append(error.lines)
        self.say(error.lines)

    @property
    def line(self):
        return self.views["walk"].line


@pytest.fixture
def session(views):
    session = Slow(replace(views["walk"][1], line="in 1"))
    session.at_setup = SlowSetUp(session, views["setup"][1])
    session.set_up = lambda *asked: session.calls.append(("set_up", *asked)) or session.setup.view()
    return session


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
    assert screens.said == ["in 1 ok, writing"]
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
    assert screens.said in ([""], ["in 1 ok, writing", ""])  # the second when it did not come at once
    assert screens.line == "in 1"
    ticks.now_s += 1.0
    moves.ok("in 1")
    settle()
    assert screens.line == "in 2"


@pytest.fixture
def setting_up(moves, screens, settle, ticks):
    moves.set_up("Night 1", "Ledge", "2031-05-02", "JD")
    settle()
    ticks.now_s += 1.0
    return screens


def test_set_up_is_begun_with_what_was_asked_and_shown(setting_up, session):
    assert session.calls == [("set_up", "Night 1", "Ledge", "2031-05-02", "JD")]
    assert setting_up.at == "setup"


def test_who_set_up_is_not_asked_again_for_the_check(setting_up, moves, views, ticks):
    moves.new_check(views["rig"][1])
    asked = setting_up.views["newcheck"]
    assert (setting_up.at, asked.work, asked.name, asked.by) == ("newcheck", CHECK, "Night 1", "JD")
    ticks.now_s += 1.0
    moves.new_setup(views["rig"][1])
    assert setting_up.views["newcheck"].work == SETUP


def test_ticks_and_all_other_taps_of_set_up_reach_it(setting_up, moves, session, settle, ticks):
    for move, *args in (
        ("tick", "HP01 B", "RIGHT link in"),
        ("untick", "HP01 B", "RIGHT link in"),
        ("place", "RIGHT"),
        ("unplace", "RIGHT"),
        ("undo_setup",),
        ("setup_mode", "swap"),
        ("confirm",),
    ):
        getattr(moves, move)(*args)
        settle()
        ticks.now_s += 1.0
    assert session.calls[1:] == [
        ("tick", "HP01 B", "RIGHT link in"),
        ("untick", "HP01 B", "RIGHT link in"),
        ("place", "RIGHT"),
        ("unplace", "RIGHT"),
        ("undo",),
        ("mode", "swap"),
        ("confirm",),
    ]
    assert setting_up.at == "setup"


def test_after_a_tick_nothing_moves_after_a_scan_the_next_thing_comes_into_sight(setting_up, moves, settle, ticks):
    setting_up.sought = 0
    moves.tick("HP01 B", "RIGHT link in")
    settle()
    assert setting_up.sought == 0
    moves.scanned("HP01 B")
    settle()
    assert setting_up.sought == 1


def test_a_tick_is_not_made_twice_while_it_is_being_saved(setting_up, moves, session, settle, ticks):
    session.go.clear()
    for _ in range(3):
        moves.tick("HP01 B", "RIGHT link in")
        ticks.now_s += 0.5
    session.go.set()
    settle()
    assert session.calls[1:] == [("tick", "HP01 B", "RIGHT link in")]


def test_a_scan_in_set_up_is_checked_there(setting_up, moves, session, settle):
    moves.scanned("QN.HP01.B.X", burst=True)
    settle()
    assert session.calls[-1] == ("scan", "QN.HP01.B.X", True)
    assert (setting_up.at, setting_up.blinks) == ("setup", ["ok"])
    assert setting_up.views["setup"] is session.setup.view()


def test_a_box_brings_its_card_and_scanning_goes_on_on_the_card(setting_up, moves, session, settle, ticks):
    moves.scanned("BOX1")
    settle()
    assert (setting_up.at, setting_up.base) == ("card", "setup")
    assert setting_up.views["card"] == ScanView(Answer("ok", "scan BOX1 False", ""), "card of BOX1")
    moves.scanned("BOX2")
    settle()
    assert setting_up.views["card"].card == "card of BOX2"
    moves.scanned("HP01 B")
    settle()
    assert (setting_up.at, session.calls[-1]) == ("setup", ("scan", "HP01 B", False))
    ticks.now_s += 1.0
    moves.scanned("BOX1")
    settle()
    ticks.now_s += 1.0
    moves.under()
    assert setting_up.at == "setup"


def test_scans_made_while_one_is_worked_on_are_all_taken_in_their_order(setting_up, moves, session, settle, ticks):
    session.go.clear()
    texts = [f"LD{n} A" for n in range(10, 40)]
    for text in texts:
        moves.scanned(text, burst=True)
        ticks.now_s += 0.01
    session.go.set()
    settle()
    assert [call[1] for call in session.calls if call[0] == "scan"] == texts


def test_a_scan_needs_not_wait_for_a_tap_nor_a_tap_for_the_scan_that_was_sent(
    setting_up, moves, session, settle, ticks
):
    moves.tick("HP01 B", "RIGHT link in")
    moves.scanned("HP02 B")
    settle()
    assert [call[0] for call in session.calls[1:]] == ["tick", "scan"]


def test_the_same_scan_within_a_second_is_one(setting_up, moves, session, settle, ticks):
    for after_s in (0.0, 0.3, 0.69):
        ticks.now_s += after_s
        moves.scanned("HP01 B")
        settle()
    assert session.calls[1:] == [("scan", "HP01 B", False)]
    ticks.now_s += 1.0
    moves.scanned("HP01 B")
    settle()
    assert len(session.calls) == 3


def test_nothing_typed_is_no_scan(setting_up, moves, session, settle):
    moves.scanned("  ")
    settle()
    assert len(session.calls) == 1


def test_a_scan_that_could_not_be_saved_is_said_and_the_next_goes_on(setting_up, moves, session, settle):
    session.refuse = True
    moves.scanned("HP01 B")
    moves.scanned("HP02 B")
    settle()
    assert setting_up.errors == [("the disk is full",)]
    assert setting_up.banner == ()
    assert setting_up.views["setup"].answer.words == "scan HP02 B False"


def test_on_the_walk_a_scan_shows_the_card_and_leads_back_to_the_walk_as_it_stood(
    moves, session, screens, settle, ticks
):
    moves.ok("in 1")
    settle()
    walk = screens.views["walk"]
    moves.scanned("LEFT")
    settle()
    assert (screens.at, screens.views["card"].card) == ("card", "card of LEFT")
    ticks.now_s += 1.0
    moves.under()
    assert screens.at == "walk"
    assert screens.views["walk"] is walk
    assert session.calls == [("ok", "in 1"), ("scanned", "LEFT", False)]


def test_what_is_not_of_the_rig_is_said_over_the_walk(moves, screens, settle):
    moves.scanned("XX99")
    settle()
    assert (screens.at, screens.banner, screens.blinks) == ("walk", ("XX99", "why"), ["look"])
    moves.scanned("LEFT")
    settle()
    assert (screens.at, screens.banner) == ("card", ())


def test_the_camera_stays_and_shows_the_answer_but_gives_way_to_a_box_s_card(setting_up, moves, session, settle, ticks):
    moves.camera()
    assert (setting_up.at, setting_up.views["camera"]) == ("camera", None)
    moves.scanned("HP01 B")
    settle()
    assert session.calls[-1] == ("scan", "HP01 B", False)
    assert (setting_up.at, setting_up.views["camera"].words) == ("camera", "scan HP01 B False")
    moves.scanned("BOX1")
    settle()
    assert setting_up.at == "card"
    for there in ("camera", "setup"):
        ticks.now_s += 1.0
        moves.under()
        assert setting_up.at == there


def test_in_the_camera_a_code_that_is_not_of_the_rig_is_answered_there(moves, screens, settle):
    moves.camera()
    moves.scanned("XX99")
    settle()
    assert (screens.at, screens.banner, screens.views["camera"].words) == ("camera", (), "XX99")


def test_after_a_mark_the_walk_is_told_who_is_to_blame(moves, session, screens, settle, ticks):
    moves.ok("in 1")
    settle()
    assert screens.leads == ["cable LD01, 71 %"]
    session.walk = replace(session.walk, faulty=0, waiting=0)
    ticks.now_s += 1.0
    moves.ok("in 2")
    settle()
    assert screens.leads[-1] == ""


def test_what_was_heard_goes_to_the_fault_sheet_when_that_asked(moves, session, screens, settle, ticks):
    moves.ask_what_is_heard("step")
    assert (screens.at, screens.views["symptom"]) == ("symptom", "step")
    ticks.now_s += 1.0
    moves.unheard()
    assert screens.at == "fault"
    ticks.now_s += 1.0
    moves.faulty("in 1", "hum", "loose")
    settle()
    assert session.calls == [("faulty", "hum", "loose")]
    assert screens.views["fault"] == "sheet after faulty"
    ticks.now_s += 1.0
    moves.ask_symptom(session.walk)
    ticks.now_s += 1.0
    moves.faulty("in 1", "hum", "loose")
    settle()
    assert session.calls[-1] == ("faulty", "in 1", "hum", "loose")


def test_impatient_taps_on_ok_at_the_fault_sheet_are_one_answer(moves, session, screens, settle, ticks):
    session.go.clear()
    for _ in range(3):
        moves.fault_ok("in 1")
        ticks.now_s += 0.5
    session.go.set()
    settle()
    assert session.calls == [("ok",)]
    assert screens.at == "fault"


def test_a_scan_at_the_fault_sheet_goes_in_where_a_swap_is_under_way(moves, session, screens, settle, ticks):
    screens.front("fault")
    moves.scanned("QN.LD09.A.1")
    settle()
    assert session.calls == [("scanned", "QN.LD09.A.1", False)]
    assert screens.at == "card"
    screens.front("fault")
    session.at_faults.wants_scan = True
    ticks.now_s += 2.0
    moves.scanned("QN.LD09.A.1", burst=True)
    settle()
    assert session.calls[-1] == ("scan at fault", "QN.LD09.A.1", True)
    assert (screens.at, screens.views["fault"]) == ("fault", "sheet after QN.LD09.A.1")


@pytest.mark.parametrize(
    ("move", "asks", "call"),
    [
        ("fault_sheet", (), ("view",)),
        ("try_next", ("row",), ("begin", "row")),
        ("repair", ("swap", "LD03"), ("repair", "swap", "LD03")),
        ("untagged", (), ("untagged",)),
        ("give_up", (), ("give_up",)),
        ("still_faulty", ("in 1",), ("faulty",)),
        ("put_back", (), ("put_back",)),
        ("undo_fault", (), ("undo",)),
        ("tagged", ("LD03",), ("pulled", "LD03")),
        ("later", (), ("later",)),
    ],
)
def test_what_is_tapped_at_the_fault_sheet_is_asked_of_it(moves, session, screens, settle, move, asks, call):
    getattr(moves, move)(*asks)
    settle()
    assert session.calls == [call]
    assert screens.views["fault"] == f"sheet after {call[0]}"
