"""What the journal puts on a card: the rig as it runs, how set-up stands, what was before."""

from pathlib import Path

import pytest

from checkapp.journal import kinds, setup_kinds, taken_out
from checkapp.show.card_lookup import find_card, look_up
from checkapp.show.recording import Recorder, open_journal
from checkapp.show.running import move_draft, swap_draft
from checkapp.show.seen import read_scanned, see


class Log:
    """A journal that is written to minute by minute."""

    def __init__(self, journal, rig):
        self._now_ms = 1_935_000_000_000
        self.recorder = Recorder(journal, rig, self._tick)

    def _tick(self):
        self._now_ms += 60_000
        return self._now_ms

    def write(self, draft, show="Night 1"):
        return self.recorder.write(draft, show, "JD")

    def show(self, name):
        self.write(kinds.show(name, date="2031-05-02"), name)
        return self.recorder.need_check(name, "JD")

    def mark(self, check, line, symptom=None, show="Night 1"):
        verdict = "faulty" if symptom else "ok"
        self.write(kinds.mark(line, verdict, plan=self.recorder.rig.digest, check=check, symptom=symptom), show)

    def swap(self, old, new, show="Night 1"):
        self.write(swap_draft(self.recorder.running(), old, new), show)

    def card(self, code, show=None):
        return find_card(self.recorder.rig, code, self.recorder.journal, show)

    def told(self, code):
        return [row[2] for row in self.card(code).history]


@pytest.fixture
def log(demo, tmp_path):
    with open_journal(tmp_path / "journal.db") as journal:
        log = Log(journal, demo)
        log.check = log.show("Night 1")
        yield log


def sockets(card):
    return {one.port: one for one in card.connectors}


# -- set-up


def test_before_set_up_nothing_is_said_of_any_socket(log):
    for code in ("LEFT", "HP02", "DESK", "chain FRONT"):
        assert {one.status for one in log.card(code).connectors} == {"open"}


def test_ends_that_were_found_right_or_ticked_are_ok_with_who_and_when(log):
    log.write(setup_kinds.connected("HP02 B", ["LEFT link in"], "right"))
    log.write(setup_kinds.connected("LD27 A", ["LEFT in 1"], "ticked"))
    log.write(setup_kinds.connected("HP01 A", ["chain FRONT"], "right"))
    left = sockets(log.card("LEFT"))
    assert (left["LEFT link in"].status, left["LEFT link out"].status) == ("ok", "open")
    assert left["LEFT link in"].said.startswith("JD, ")
    assert left["LEFT in 1"].said.endswith(", by hand")
    assert sockets(log.card("DESK"))["chain FRONT"].status == "ok"
    end = log.card("HP02 B")
    assert end.status == "ok"
    assert end.said.startswith("connected, JD")
    assert log.card("HP02 A").status == "open"


def test_an_end_in_the_wrong_socket_is_wrong_on_both(log):
    log.write(setup_kinds.connected("HP02 B", ["LEFT link out"], "wrong"))
    left = sockets(log.card("LEFT"))
    assert left["LEFT link in"].status == left["LEFT link out"].status == "faulty"
    assert left["LEFT link in"].said.startswith("HP02 B was found in LEFT link out, JD")
    assert left["LEFT link out"].said.startswith("HP02 B was found here, JD")
    assert log.card("HP02 B").said.startswith("HP02 B was found in LEFT link out")
    log.write(setup_kinds.connected("HP02 B", ["LEFT link in"], "right"))
    assert {one.status for one in sockets(log.card("LEFT")).values()} == {"ok", "open"}


def test_a_box_is_placed_and_its_settings_are_made_one_by_one(log):
    log.write(setup_kinds.placed("LEFT"))
    log.write(setup_kinds.set_on("LEFT", "Lamps", "dim"))
    card = log.card("LEFT")
    assert (card.status, card.said[:11]) == ("ok", "placed, JD,")
    settings = next(part for part in card.sections if part.title == "set on it")
    assert dict(zip((row[0] for row in settings.rows), settings.status, strict=True)) == {
        "Onward power": "open",
        "Lamps": "ok",
    }


def test_set_up_is_that_of_the_show_asked_for_or_of_the_latest(log):
    log.write(setup_kinds.placed("LEFT"))
    log.show("Night 2")
    assert log.card("LEFT").status == "open"
    assert log.card("LEFT", "Night 1").status == "ok"


def test_the_whole_set_up_of_the_demo_rig_leaves_no_socket_open(log, demo):
    from checkapp.rig.connections import connections

    for one in connections(demo):
        log.write(setup_kinds.connected(one.subject, one.ports, "right"))
    for code in (*demo.boxes, *demo.cables, "DESK"):
        for one in log.card(code).connectors:
            assert one.status == ("ok" if one.end else "open"), (code, one)


# -- what was taken out


def test_a_card_and_a_scan_say_that_an_item_was_pulled_until_it_is_back(log):
    def scanned():
        return read_scanned(log.recorder, see(log.recorder.rig, "HP02")).answer

    assert (scanned().status, scanned().more) == ("next", "")
    log.swap("HP02", "HP21")
    assert (scanned().status, scanned().more) == ("look", "HP02 is still to be tagged and pulled")
    log.write(taken_out.pulled("HP02"))
    assert (scanned().status, scanned().more) == ("look", "HP02 is tagged and pulled")
    assert log.told("HP02")[0] == "tagged and pulled"
    log.write(taken_out.returned("HP02"))
    assert (scanned().status, scanned().more) == ("next", "")
    assert log.told("HP02")[:2] == ["good again, and back", "tagged and pulled"]
    assert "tagged and pulled" not in log.told("HP21")


# -- the rig as it runs


def test_after_a_swap_cards_show_the_new_one_and_say_what_it_replaced(log):
    log.swap("HP02", "HP21")
    assert log.card("HP21 B").goes == "LEFT link in"
    assert log.card("HP21").instead == "in place of HP02 since Night 1"
    assert sockets(log.card("LEFT"))["LEFT link in"].end == "HP21 B"
    assert log.card("LEFT").instead == ""


def test_what_was_swapped_out_says_above_all_what_is_in_its_place(log):
    log.swap("HP02", "HP21")
    old = log.card("HP02 A")
    assert (old.goes, list(old.connectors), old.findings) == ("HP21 is in its place since Night 1", [], ())
    log.swap("BRASS", "SPARE8")
    gone = log.card("BRASS")
    assert (gone.goes, gone.sections, gone.run) == ("SPARE8 is in its place since Night 1", (), ())
    assert sockets(log.card("SPARE8"))["SPARE8 in 1"].line == "in 12"


def test_a_cable_that_came_back_is_no_longer_said_to_be_out(log):
    log.swap("HP02", "HP21")
    log.swap("HP21", "HP02", "Night 2")
    assert log.card("HP02").instead == "in place of HP21 since Night 2"
    assert log.card("HP21").goes == "HP02 is in its place since Night 2"


def test_a_line_that_moved_says_so_and_so_do_both_ports(log, demo):
    line = demo.line("in 17")
    log.write(move_draft(demo, "in 17", "STRINGS in 8"))
    assert log.card("in 17").instead == f"moved from {line.port} since Night 1"
    assert log.card("STRINGS in 8").instead == f"in 17, moved here from {line.port} since Night 1"
    assert log.card(line.port).goes == "Strings riser, left"
    assert log.card(line.port).instead == "in 17 moved away to STRINGS in 8 since Night 1"
    assert sockets(log.card("STRINGS"))["STRINGS in 8"].plug == "LD11 A"


def test_an_undone_swap_leaves_no_trace_on_cards(log):
    entry = log.write(swap_draft(log.recorder.rig, "HP02", "HP21"))
    log.write(kinds.void(entry.id))
    assert log.card("HP02 B").goes == "LEFT link in"
    assert log.card("HP02").instead == ""
    assert log.told("HP02") == []


# -- what was before


def test_a_faulty_mark_is_told_of_what_the_line_ran_through_then(log):
    log.mark(log.check, "in 17", "hum")
    log.swap("LD11", "LD71")
    log.mark(log.check, "in 17", "crackle")
    assert log.told("LD11") == ["LD71 in for LD11", "in 17 faulty: hum"]
    assert log.told("LD71") == ["in 17 faulty: crackle", "LD71 in for LD11"]
    assert log.told("STRINGS") == ["in 17 faulty: crackle", "in 17 faulty: hum"]
    assert log.told("LD12") == []


def test_a_mark_before_a_move_is_not_told_of_the_new_port(log, demo):
    log.mark(log.check, "in 17", "hum")
    log.write(move_draft(demo, "in 17", "STRINGS in 8"))
    moved = "in 17 moved from STRINGS in 1 to STRINGS in 8"
    assert log.told("STRINGS in 8") == [moved]
    assert log.told("STRINGS in 1") == [moved, "in 17 faulty: hum"]
    assert log.told("in 17") == [moved, "in 17 faulty: hum"]


def test_placed_set_and_connected_are_told_the_right_ones_of_a_show_in_one_row(log):
    log.write(setup_kinds.placed("LEFT"))
    log.write(setup_kinds.set_on("LEFT", "Lamps", "dim"))
    log.write(setup_kinds.connected("HP02 B", ["LEFT link in"], "right"))
    log.write(setup_kinds.connected("HP03 A", ["LEFT link in"], "wrong"))
    log.write(setup_kinds.connected("LD27 A", ["LEFT in 1"], "ticked"))
    assert log.told("LEFT") == [
        "2 ends connected",
        "HP03 A found in LEFT link in",
        "set: Lamps, dim",
        "LEFT placed",
    ]
    assert log.told("HP02") == ["HP02 B connected, LEFT link in"]
    assert log.told("LEFT in 1") == ["LD27 A connected, LEFT in 1"]


def test_what_was_undone_is_not_told_unless_that_was_undone_too(log):
    placed = log.write(setup_kinds.placed("LEFT"))
    void = log.write(kinds.void(placed.id))
    assert log.told("LEFT") == []
    log.write(kinds.void(void.id))
    assert log.told("LEFT") == ["LEFT placed"]


def test_no_more_than_the_latest_eight_rows_are_told(log):
    for number in range(11):
        log.write(kinds.repair("LD11", "reseat", cleared=number == 10))
    told = log.told("LD11")
    assert len(told) == 8
    assert told[0] == "LD11 reseat, cleared"


def test_looking_up_makes_no_journal_and_reads_one_that_is_there(log, plans, tmp_path):
    missing = tmp_path / "none" / "journal.db"
    assert look_up(plans / "demo.toml", "HP02", missing).history == ()
    assert not missing.exists()
    log.swap("HP02", "HP21")
    assert look_up(plans / "demo.toml", "HP21", Path(tmp_path / "journal.db")).instead.startswith("in place of HP02")
