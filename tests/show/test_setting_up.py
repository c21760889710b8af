"""Set-up by scans and by hand: what is said, what the log says then, and where everything stands."""

from pathlib import Path

import pytest

from checkapp.journal.journal import Journal
from checkapp.journal.setup_state import read_setup_state
from checkapp.rig.connections import connections
from checkapp.rig.planfile import load_plan
from checkapp.show.session import Session
from checkapp.show.session_errors import NameMissing, NothingOpen
from checkapp.show.setting_up import HELD_MS
from checkapp.show.setup_checking import has_phantom

DEMO = Path(__file__).parents[2] / "plans" / "demo.toml"


class Watch:
    def __init__(self):
        self.now_ms = 1_930_000_000_000

    def __call__(self):
        self.now_ms += 10
        return self.now_ms


@pytest.fixture
def watch():
    return Watch()


@pytest.fixture
def session(tmp_path, watch):
    session = Session(tmp_path / "journal.db", home=tmp_path, now_ms=watch)
    session.open_rig(str(DEMO))
    session.set_up("Night 1", "Upper ledge", "2031-05-02", "JD")
    yield session
    session.close()


@pytest.fixture
def scan(session):
    def scan(*texts):
        for text in texts:
            view = session.setup.scan(text)
        return view

    return scan


def entries(session, kind):
    return session.setup.recorder.journal.entries(kind=kind)


def logged(session):
    return [(entry.subject, entry.details["port"], entry.details["verdict"]) for entry in entries(session, "connected")]


def test_a_set_up_needs_a_rig_a_show_and_initials(tmp_path):
    session = Session(tmp_path / "journal.db", home=tmp_path)
    with pytest.raises(NothingOpen):
        session.set_up("Night 1", "", "", "JD")
    session.open_rig(str(DEMO))
    with pytest.raises(NameMissing):
        session.set_up("Night 1", "", "", " ")
    with pytest.raises(NothingOpen):
        session.setup.view()
    session.close()


def test_it_begins_with_nothing_done_and_the_first_box_to_place(session):
    view = session.setup.view()
    assert view.progress == "0 of 8 boxes placed, 0 of 128 ends connected"
    assert view.to_do == "Put RIGHT at Downstage right, then scan it."
    assert view.show_title == "Night 1, Upper ledge, 2 May 2031"
    assert (view.answer, view.here, view.can_undo, view.complete) == (None, "", False, False)


def test_every_box_and_every_end_is_in_the_list_once(session):
    rig, view = load_plan(DEMO), session.setup.view()
    rows = [row for place in view.places for row in place.rows]
    assert [row.item for row in rows if not row.end] != sorted(rig.boxes)
    assert {row.item for row in rows if not row.end} == set(rig.boxes)
    ends = [(row.end, row.port) for row in rows if row.end and row.end not in rig.boxes]
    assert sorted(ends) == sorted((one.subject, one.ports[0]) for one in connections(rig))
    assert sum(place.total for place in view.places) == len(rows)


def test_a_box_that_is_scanned_is_placed_once(session, scan):
    view = scan("RIGHT", "RIGHT")
    assert [entry.subject for entry in entries(session, "placed")] == ["RIGHT"]
    assert view.boxes_placed == 1
    assert view.here == "At RIGHT"
    assert view.card.item == "RIGHT"
    assert view.card_first


def test_end_then_box_and_box_then_end_are_both_checked_and_logged(session, scan):
    view = scan("HP01 B")
    assert (view.answer.status, view.answer.words) == ("next", "HP01 B goes into RIGHT link in")
    view = scan("RIGHT")
    assert (view.answer.status, view.answer.words) == ("ok", "Correct box. HP01 B goes into RIGHT link in")
    assert "socket towards the desk" in view.answer.more
    view = scan("HP02 A")
    assert view.answer.words == "Correct box. HP02 A goes into RIGHT link out"
    assert logged(session) == [("HP01 B", "RIGHT link in", "right"), ("HP02 A", "RIGHT link out", "right")]
    assert view.ends_connected == 2


def test_the_same_connection_scanned_again_is_logged_once(session, scan):
    scan("RIGHT", "HP01 B", "HP01 B", "RIGHT", "HP01 B")
    assert len(logged(session)) == 1


def test_the_other_end_of_a_hop_is_told_from_the_right_one(session, scan):
    view = scan("RIGHT", "HP02 B")
    assert view.answer.status == "faulty"
    assert view.answer.words == "Wrong end. HP02 A goes into RIGHT link out; this is end B"
    assert "HP02 B goes into LEFT link in" in view.answer.more
    assert logged(session) == [("HP02 B", "RIGHT", "wrong")]
    row = next(row for place in view.places for row in place.rows if row.end == "HP02 B")
    assert (row.status, row.said.split(",")[0]) == ("faulty", "found at RIGHT")


def test_a_wrong_box_is_told_what_belongs_there_and_where_the_cable_belongs(session, scan):
    view = scan("LEFT", "LD20 A")
    assert view.answer.words == "Wrong. LD20 A does not go into LEFT"
    assert "LD20 A goes into RIGHT in 1, Downstage right." in view.answer.more
    assert "Still open at LEFT: LD27 A into LEFT in 1" in view.answer.more
    assert view.answer.short == "LD20 A goes into RIGHT in 1, Downstage right."


def test_a_wrong_port_is_told_which_end_it_takes(scan):
    view = scan("RIGHT in 3", "LD23 A")
    assert view.answer.status == "faulty"
    assert view.answer.more.endswith("RIGHT in 3 takes LD22 A.")


def test_what_was_wrong_is_right_once_it_is_scanned_where_it_belongs(session, scan):
    scan("LEFT", "LD20 A")
    view = scan("RIGHT")
    assert view.answer.words == "Correct box. LD20 A goes into RIGHT in 1"
    row = next(row for place in view.places for row in place.rows if row.end == "LD20 A")
    assert row.status == "ok"


def test_after_a_wrong_one_another_box_is_no_second_wrong(session, scan):
    view = scan("LEFT", "LD20 A", "KEYS")
    assert view.answer.words == "KEYS placed, Under the keyboards"
    assert len(logged(session)) == 1


def test_a_right_one_found_elsewhere_later_is_open_to_be_put_right(session, scan):
    assert scan("RIGHT", "LD20 A").ends_connected == 1
    assert scan("LEFT", "LD20 A").ends_connected == 0
    assert scan("RIGHT").ends_connected == 1


def test_a_spare_goes_nowhere(scan):
    view = scan("RIGHT", "HP22 A")
    assert view.answer.status == "faulty"
    assert "HP22 is a spare: the plan plugs it nowhere." in view.answer.more


def test_the_far_end_of_a_lines_cable_is_not_checked_against_the_box_that_one_left(scan):
    view = scan("RIGHT", "LD20 A", "LD20 B")
    assert (view.answer.status, view.answer.words) == ("next", "LD20 B goes to Guitar amp")
    assert view.confirm == "it is plugged in"


def test_what_has_no_tag_is_confirmed_or_named_by_its_line(session, scan):
    scan("LD20 B")
    view = session.setup.confirm()
    assert (view.answer.status, view.confirm) == ("ok", "")
    view = scan("LD23 B", "in 33")
    assert view.answer.words == "Correct. LD23 B to Accordion treble"
    assert logged(session) == [("LD20 B", "source in 30", "ticked"), ("LD23 B", "source in 33", "right")]


def test_a_source_with_a_tag_is_checked_like_a_box(scan):
    assert scan("LD21 B", "DI04").answer.status == "ok"
    assert scan("LD22 B").answer.words == "LD22 B goes to DI05, passive DI"  # a source takes one cable: gone on from it
    assert scan("DI04").answer.words == "Wrong. LD22 B does not go into DI04"


def test_a_fans_ways_are_named_one_after_the_other_by_their_lines(scan):
    assert scan("FN01 B", "in 1").answer.words == "Correct. FN01 B to Kick in, way 1"
    assert scan("in 2").answer.words == "Correct. FN01 B to Kick out, way 2"


def test_all_ways_of_a_multicore_at_one_box_are_one_connection(session, scan):
    view = scan("DRUM", "FN01 A")
    assert view.answer.words == "Correct box. FN01 A goes into DRUM in 1 to 4, in 6 to 7"
    (entry,) = entries(session, "connected")
    assert entry.details["ports"] == [f"DRUM in {n}" for n in (1, 2, 3, 4, 6, 7)]
    assert view.ends_connected == 1


def test_a_cable_without_its_end_is_asked_for_it(session, scan):
    view = scan("RIGHT", "HP02")
    assert view.answer.words == "HP02 has two ends"
    assert logged(session) == []


def test_a_box_and_its_supply_are_compared_with_the_mains_caution(session, scan):
    rig = load_plan(DEMO)
    box = next(box for box in rig.boxes.values() if box.supply)
    view = scan(box.code, box.supply)
    assert view.answer.words == f"Correct. {box.code} plugs into {box.supply}"
    assert "qualified people" in view.answer.more
    other = next(code for code in rig.supplies if code != box.supply)
    view = scan(other, box.code)
    assert (view.answer.status, view.answer.words) == ("faulty", f"Wrong. {box.code} does not plug into {other}")
    assert logged(session) == []


def test_what_is_not_of_this_rig_is_said_so_and_changes_nothing(session, scan):
    view = scan("RIGHT", "ZZ.SB1.4", "<b>", "", "\u202eXL01", "https://example.org/x")
    assert view.answer.status == "look"
    assert logged(session) == []
    assert view.here == "At RIGHT"


def test_a_scan_waits_two_minutes_for_its_other_half(session, scan, watch):
    scan("HP01 B")
    watch.now_ms += HELD_MS + 1
    view = scan("LEFT")
    assert view.answer.words.startswith("LEFT placed")
    assert logged(session) == []


def test_ticking_by_hand_says_so_and_can_be_taken_back(session):
    view = session.setup.tick("HP01 B", "RIGHT link in")
    row = next(row for place in view.places for row in place.rows if row.end == "HP01 B")
    assert row.status == "ok"
    assert row.said.endswith("by hand")
    view = session.setup.untick("HP01 B", "RIGHT link in")
    assert view.ends_connected == 0
    view = session.setup.place("RIGHT")
    assert view.boxes_placed == 1
    assert session.setup.unplace("RIGHT").boxes_placed == 0


def test_a_wrong_one_can_be_ticked_or_cleared_by_hand(session, scan):
    scan("LEFT", "LD20 A")
    assert session.setup.untick("LD20 A", "RIGHT in 1").next_row.status == "open"
    scan("LEFT", "LD20 A")
    assert session.setup.tick("LD20 A", "RIGHT in 1").ends_connected == 1


def test_settings_are_ticked_too_and_counted(session):
    before = session.setup.view()
    rows = [row for place in before.places for row in place.rows if row.end == row.item]
    assert before.to_set == len(rows) > 0
    view = session.setup.tick(rows[0].end, rows[0].port)
    assert view.to_set == before.to_set - 1
    assert session.setup.untick(rows[0].end, rows[0].port).to_set == before.to_set


def test_undo_takes_back_the_latest_of_this_tablet_and_says_what(session, scan):
    scan("RIGHT", "HP01 B")
    view = session.setup.undo()
    assert view.answer.words == "Taken back: HP01 B in RIGHT link in"
    assert (view.ends_connected, view.boxes_placed) == (0, 1)
    view = session.setup.undo()
    assert (view.boxes_placed, view.here) == (0, "")
    assert session.setup.undo().answer.words == "Nothing to take back"


def test_undo_stays_at_the_box_that_was_scanned(session, scan):
    scan("RIGHT", "HP02 B")
    view = session.setup.undo()
    assert (view.answer.words, view.here) == ("Taken back: HP02 B not in RIGHT", "At RIGHT")
    assert scan("HP02 A").answer.words == "Correct box. HP02 A goes into RIGHT link out"


def test_everything_scanned_and_ticked_is_complete(session, scan):
    rig = load_plan(DEMO)
    for box in rig.boxes.values():
        for name in box.settings:
            session.setup.tick(box.code, name)
        scan(box.code)
    for one in connections(rig):
        for there in one.ports if one.at == "DESK" else one.lines if one.end == "B" and one.lines else (one.at,):
            session.setup.mode("check")  # begins afresh
            view = scan(one.subject, there)
            assert view.answer.status == "ok", (one, view.answer)
    assert view.complete
    assert view.to_do == "Everything is placed and connected. The line check is next."
    assert {row.status for place in view.places for row in place.rows} == {"ok"}


def test_another_show_begins_with_nothing_done(session, scan):
    scan("RIGHT", "HP01 B")
    view = session.set_up("Night 2", "", "", "JD")
    assert (view.boxes_placed, view.ends_connected) == (0, 0)
    assert session.set_up("Night 1", "Upper ledge", "2031-05-02", "JD").ends_connected == 1


def test_a_set_up_comes_back_after_the_app_was_killed(session, scan, tmp_path):
    scan("RIGHT", "HP01 B")
    again = Session(tmp_path / "journal.db", home=tmp_path)
    assert again.resume() is None
    view = again.resume_setup()
    assert (view.ends_connected, view.show_title) == (1, "Night 1, Upper ledge, 2 May 2031")
    again.close()


def test_once_the_check_begins_the_app_comes_back_to_the_check(session, tmp_path):
    session.start_check("Night 1", "Upper ledge", "2031-05-02", "JD")
    again = Session(tmp_path / "journal.db", home=tmp_path)
    assert again.resume_setup() is None
    assert again.resume() is not None
    again.close()


def test_two_tablets_see_each_others_work_in_one_journal(session, scan, tmp_path):
    scan("RIGHT", "HP01 B")
    state = read_setup_state(Journal.open(tmp_path / "journal.db", new_device="b"), load_plan(DEMO).name, "Night 1")
    assert state.is_in("HP01 B", "RIGHT link in")
    assert set(state.placed) == {"RIGHT"}


# -- cautions and what is astray


def test_what_is_astray_is_pulled_before_it_is_plugged(scan):
    view = scan("LEFT", "LD20 A")
    assert view.to_do == "Pull LD20 A out of LEFT, then plug it into RIGHT in 1."


def test_an_end_with_phantom_says_to_mute_before_it_is_plugged(session, scan):
    rig = load_plan(DEMO)
    line = next(line for line in rig.lines if getattr(line, "phantom", False) and line.cable)
    box = line.port.split(" ")[0]
    answer = scan(box, f"{line.cable} A").answer
    assert answer.status == "ok"
    assert answer.more.endswith("Phantom power: mute before you plug.")
    with_phantom = {line.cable for line in rig.lines if getattr(line, "phantom", False)}
    plain = next(line for line in rig.lines if line.cable and line.cable not in with_phantom)
    assert "Phantom" not in scan(plain.port.split(" ")[0], f"{plain.cable} A").answer.more
    rows = {row.end: row.detail for place in session.setup.view().places for row in place.rows}
    assert rows[f"{line.cable} A"].endswith("; phantom")
    assert "phantom" not in rows[f"{plain.cable} A"]


def test_the_next_thing_says_so_too(session):
    rig = load_plan(DEMO)
    for box in rig.boxes:
        session.setup.place(box)
    while True:
        row = session.setup.view().next_row
        if "phantom" in row.detail:
            break
        session.setup.tick(row.end, row.port)
    assert session.setup.view().to_do.endswith(". Phantom power: mute before you plug.")


def test_a_multicore_of_a_passive_box_carries_the_phantom_of_its_lines():
    rig = load_plan(DEMO)
    fed = {line.port.split(" ")[0] for line in rig.lines if getattr(line, "phantom", False)}
    passive = [box for box in rig.boxes.values() if rig.box_kind(box).passive and box.cable]
    assert passive
    for box in passive:
        ends = [one for one in connections(rig) if one.cable == box.cable]
        assert [has_phantom(rig, one) for one in ends] == [box.code in fed] * len(ends)
