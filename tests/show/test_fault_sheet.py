"""The fault sheet: what is proposed, what is logged of tests and repairs, what was taken out, what is said to it."""

import json
import sqlite3

import pytest

from checkapp.rig.change import CannotChange
from checkapp.rig.codes import Tag
from checkapp.show.fault_sheet import NothingToAnswer
from checkapp.show.fault_step import NoWayRound
from checkapp.show.session_errors import NothingOpen


@pytest.fixture
def night(new_session, small_plan):
    """A check in which in 3 crackles and everything before it is ok."""
    session = new_session()
    session.open_rig(str(small_plan))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    session.ok("in 1")
    session.ok("in 2")
    session.faulty("in 3", "crackle", "")
    return session


def logged(tmp_path, *kinds):
    with sqlite3.connect(tmp_path / "journal.db") as opened:
        rows = opened.execute("select kind, subject, detail, by from entry order by rowid").fetchall()
    return [(kind, subject, json.loads(detail), by) for kind, subject, detail, by in rows if kind in kinds]


def test_there_is_none_without_a_check(new_session, small_plan):
    session = new_session()
    session.open_rig(str(small_plan))
    with pytest.raises(NothingOpen):
        _ = session.faults


def test_while_no_line_is_faulty_nothing_is_suspected(new_session, small_plan):
    session = new_session()
    session.open_rig(str(small_plan))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    session.ok("in 1")
    view = session.faults.view()
    assert (view.heading, view.suspects, view.next, view.nothing) == ("No line is faulty", (), None, "")
    assert view.over
    assert session.faults.lead() == ""


def test_suspects_are_named_with_what_they_are_and_what_speaks_for_and_against_them(night):
    view = night.faults.view()
    assert view.heading == "Faulty: in 3"
    first = view.suspects[0]
    assert first.title == "cable LD03 or source in 3"
    assert first.speaks_for == "the faulty line runs through it: in 3, crackle"
    assert night.faults.lead().startswith(f"cable LD03, {first.percent} or source in 3, ")
    shared = [row for row in view.suspects if "in 1 to 2 are ok through it" in row.speaks_against]
    assert all(row.probability < 0.05 for row in shared)
    assert {item.name for item in view.run if item.share} >= {"LD03", "source in 3"}


def test_items_on_the_same_lines_are_one_suspect_with_the_chance_of_each(night):
    first = night.faults.view().suspects[0]
    assert first.items[0] == "LD03"
    assert "source in 3" in first.items
    assert "on the same lines" in first.speaks_against
    assert [row.work for row in first.works if row.item == "LD03"] == ["reseat", "swap", "mend"]
    assert [row.work for row in first.works if row.item == "STOVE in 3"] == ["reseat", "bypass", "mend"]


def test_the_next_test_says_what_each_outcome_would_mean(night):
    row = night.faults.view().next
    assert row.line == "in 3"
    assert "If ok: " in row.more
    assert "If still faulty: most likely " in row.more
    assert "1.5 min." in row.more


def test_a_swap_for_a_scanned_spare_that_clears(night, tmp_path):
    sheet = night.faults
    view = sheet.repair("swap", "LD03")
    assert view.step.asks == "Scan what goes in"
    assert not view.step.ready
    with pytest.raises(NothingToAnswer, match="scan what goes in for LD03"):
        sheet.ok()
    view = sheet.scan(Tag("QN", "LD09", "A").text)
    assert view.step.ready
    assert "Put LD09 in its place." in view.step.steps
    view = sheet.ok()
    assert view.answer.words == "3 Fiddle is ok: it was LD03"
    assert view.asks_pulled == "LD03"
    assert view.heading == "No line is faulty"
    assert view.confirmed[0].startswith("LD03: swap for LD09 cleared it, JD")
    repair, mark = logged(tmp_path, "repair", "mark")[-2:]
    assert repair[1] == "LD03"
    assert repair[2] == {
        "action": "swap",
        "with": "LD09",
        "cleared": True,
        "lines": ["in 3"],
        "listened": ["in 3"],
    }
    assert (mark[1], mark[2]["verdict"], mark[3]) == ("in 3", "ok", "JD")
    assert night.walk_again().faulty == 0


def test_tagged_and_pulled_now_or_later(night, tmp_path):
    sheet = night.faults
    sheet.repair("swap", "LD03")
    sheet.scan("LD09")
    sheet.ok()
    view = sheet.later()
    assert view.asks_pulled == ""
    assert "still to be tagged and pulled" in view.answer.words
    assert [row.item for row in night.fault_list().pull] == ["LD03"]
    assert night.summary().pull == "Still to be tagged and pulled: LD03"
    view = sheet.pulled("LD03")
    assert view.answer.status == "ok"
    assert [row[1] for row in logged(tmp_path, "pulled")] == ["LD03"]
    assert night.summary().pull == ""
    assert [row.item for row in night.fault_list().pulled] == ["LD03"]


def test_a_swap_that_does_not_help_can_be_put_back(night, tmp_path):
    sheet = night.faults
    before = sheet.view().suspects[0].probability
    sheet.repair("swap", "LD03")
    sheet.scan("LD09")
    view = sheet.faulty()
    assert view.answer.words == "3 Fiddle is still faulty with LD09 in"
    assert view.puts_back == "LD03"
    assert view.faulty[0].line == "in 3"
    assert {row.items[0]: row.probability for row in view.suspects}.get("LD03", 0.0) < before / 2
    view = sheet.put_back()
    assert view.puts_back == ""
    assert night.faults.rig.line("in 3").cable == "LD03"
    assert view.faulty[0].line == "in 3"
    assert [(row[0], row[1]) for row in logged(tmp_path, "repair", "swap")] == [("repair", "LD03"), ("swap", "LD09")]
    assert all("LD03" not in row.title for row in view.others)


def test_what_goes_in_may_have_no_tag(night, tmp_path):
    sheet = night.faults
    sheet.repair("swap", "LD03")
    view = sheet.untagged()
    assert view.step.ready
    sheet.faulty()
    (repair,) = logged(tmp_path, "repair")
    assert (repair[2]["with"], repair[2]["cleared"], repair[2]["listened"]) == (None, False, ["in 3"])
    rows = {row.items[0]: row.probability for row in sheet.view().suspects}
    assert rows.get("LD03", 0.0) < 0.2
    assert "LD03" not in [row.item for row in (sheet.view().next, *sheet.view().others)]


def test_a_reseat_is_logged_whether_it_helped_or_not(night, tmp_path):
    sheet = night.faults
    sheet.repair("reseat", "LD03")
    view = sheet.faulty()
    assert view.answer.words == "3 Fiddle is still faulty after reseating"
    sheet.repair("reseat", "LD03")
    view = sheet.ok()
    assert view.answer.words == "3 Fiddle is ok: LD03 reseated"
    assert view.asks_pulled == ""
    assert [row[2]["cleared"] for row in logged(tmp_path, "repair")] == [False, True]


def test_a_way_round_a_port_moves_its_line(night, tmp_path):
    sheet = night.faults
    view = sheet.repair("bypass", "STOVE in 3")
    assert view.step.title == "Move 3 Fiddle to STOVE in 6"
    view = sheet.scan("STOVE in 7")
    assert view.step.title == "Move 3 Fiddle to STOVE in 7"
    view = sheet.scan("STOVE in 1")
    assert view.answer.status == "faulty"
    view = sheet.scan("LD09")
    assert "is no port" in view.answer.words
    sheet.ok()
    assert night.faults.rig.line("in 3").port == "STOVE in 7"
    around = night.fault_list().around
    assert [(row.line, row.said.split(",")[0]) for row in around] == [("in 3", "round STOVE in 3")]


def test_where_no_port_is_free_a_way_round_is_refused(new_session, small_plan, tmp_path):
    plan = tmp_path / "full.toml"
    text = small_plan.read_text(encoding="utf-8").replace('use = ["kinds.toml"]', "")
    plan.write_text(text + KINDS, encoding="utf-8")
    session = new_session()
    session.open_rig(str(plan))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    session.faulty("out 1", "silent", "")
    with pytest.raises(NoWayRound, match="no port is free for out 1"):
        session.faults.repair("bypass", "STOVE out 1")


KINDS = """
[link_kind.thread]
max_length_m = 100.0
[cable_kind.cord]
[cable_kind.lead]
[box_kind.riser8]
inputs = 8
outputs = 2
accepts = ["mic", "line", "instrument"]
phantom = true
"""


def test_a_line_of_a_test_is_asked_for_its_symptom(new_session, small_plan, tmp_path):
    session = new_session()
    session.open_rig(str(small_plan))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    session.faulty("in 1", "silent", "")
    sheet = session.faults
    row = next(one for one in (sheet.view().next, *sheet.view().others) if one.work == "listen")
    view = sheet.begin(row)
    assert view.step.symptom
    assert view.step.caution == ""
    sheet.faulty("hum", " near the lamp ")
    mark = logged(tmp_path, "mark")[-1]
    assert (mark[1], mark[2]["symptom"], mark[2]["note"]) == (row.line, "hum", "near the lamp")


def test_what_was_logged_last_can_be_taken_back(night, tmp_path):
    sheet = night.faults
    assert not sheet.view().can_undo
    sheet.repair("swap", "LD03")
    sheet.scan("LD09")
    assert sheet.ok().can_undo
    view = sheet.undo()
    assert view.answer.words == "Taken back"
    assert view.heading == "Faulty: in 3"
    assert night.faults.rig.line("in 3").cable == "LD03"
    assert len(logged(tmp_path, "void")) == 2
    assert sheet.undo().answer.words == "Nothing to take back"


def test_giving_up_logs_nothing(night, tmp_path):
    before = logged(tmp_path, "repair", "mark", "swap")
    night.faults.repair("swap", "LD03")
    view = night.faults.give_up()
    assert view.step is None
    assert logged(tmp_path, "repair", "mark", "swap") == before


def test_phantom_power_and_mains_are_minded(new_session, small_plan):
    session = new_session()
    session.open_rig(str(small_plan))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    for line in ("in 1", "in 2", "in 3", "in 4"):
        session.faulty(line, "silent", "")
    view = session.faults.repair("swap", "STOVE")
    assert "mains" in view.step.caution.lower()
    assert "it is on for in 2, in 5. Never switch it as a guess." in view.step.caution
    assert view.step.steps[0] == "Mute all 8 lines through STOVE: in 1 to 6, out 1 to 2."


def test_what_cannot_go_in_is_refused(night):
    sheet = night.faults
    sheet.repair("swap", "LD03")
    for text in ("LD04", "STOVE"):
        view = sheet.scan(text)
        assert view.answer.status == "faulty"
        assert not view.step.ready
    assert sheet.scan("no such thing").answer.status == "look"
    sheet.give_up()
    assert sheet.scan("LD09").answer.words == "Nothing is to be scanned now"


def test_answers_need_something_under_way(night):
    for move in (night.faults.ok, night.faults.faulty, night.faults.untagged):
        with pytest.raises(NothingToAnswer):
            move()
    with pytest.raises(NothingToAnswer, match="no faulty line runs through LD01"):
        night.faults.repair("swap", "LD01")


def test_lines_that_a_repair_opened_again_are_next(new_session, small_plan):
    session = new_session()
    session.open_rig(str(small_plan))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    for line in ("in 1", "in 2", "in 3"):
        session.faulty(line, "silent", "")
    sheet = session.faults
    sheet.repair("reseat", "HP01")
    view = sheet.ok()
    assert view.heading.startswith("Still to hear: ")
    assert view.next.work == "listen"
    assert {row.line for row in view.again} == {"in 1", "in 2", "in 3"} - {sheet_line(session)}
    sheet.begin(view.next)
    assert sheet.ok().next.line != view.next.line


def sheet_line(session):
    """The line that the repair was listened to on."""
    (done,) = [row.line for row in session.lines() if row.status == "ok"]
    return done


def test_faults_stay_in_the_list_until_they_are_cleared_or_signed_off_as_known(night, new_session, small_plan):
    listed = night.fault_list()
    assert [row.line for row in listed.open] == ["in 3"]
    assert listed.can_walk
    assert night.rig_view().faults == "1 open fault"
    night.sign_off()
    listed = night.fault_list()
    assert (listed.open, [row.line for row in listed.known]) == ((), ["in 3"])
    assert "Night 1" in listed.known[0].said
    night.start_check("Night 2", "", "2031-05-03", "JD")
    night.ok("in 3")
    listed = night.fault_list()
    assert (listed.open, listed.known) == ((), ())
    assert listed.summary == "No open fault, nothing to pull"
    assert night.rig_view().faults == ""


def test_what_is_good_again_goes_back(night):
    night.pull("LD03")
    assert [row.item for row in night.fault_list().pulled] == ["LD03"]
    assert night.pull("LD03", back=True).pulled == ()


def test_cannot_change_is_what_a_bad_spare_raises(night):
    with pytest.raises(CannotChange):
        from checkapp.show.fault_step import step_of_repair, with_other

        rig = night.faults.rig
        with_other(step_of_repair(rig, "bypass", "STOVE in 3", "in 3"), night.faults.recorder.run(), "LD09")


def test_what_was_pulled_is_told_of_wherever_it_is_scanned_to_go_in_again(night):
    def scan(scanned, code):
        return scanned.scan(Tag("QN", code, "A").text, burst=True)

    night.faults.repair("swap", "LD03")
    scan(night.faults, "LD09")
    night.faults.ok()
    night.faults.pulled("LD03")
    night.faulty("in 2", "hum", "")
    night.faults.repair("swap", "LD02")
    step = scan(night.faults, "LD03").step
    assert step.ready
    assert step.caution.startswith("LD03 is tagged and pulled. Mute the channel")
    night.faults.give_up()

    night.set_up("Night 2", "", "2031-05-03", "JD")
    assert scan(night.setup, "LD03").answer.more == "LD03 is tagged and pulled"
    night.setup.mode("swap")
    scan(night.setup, "LD02")
    asked = scan(night.setup, "LD03")
    assert (asked.answer.words, asked.answer.more) == ("LD03 for LD02: look first", "LD03 is tagged and pulled")
    night.setup.confirm()
    night.setup.mode("swap")
    scan(night.setup, "LD03")
    assert scan(night.setup, "LD09").answer.status == "faulty"  # it is in use
