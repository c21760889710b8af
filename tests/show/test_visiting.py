"""Where each place of the app leads, as things stand."""

import pytest

from checkapp.show.visiting import OF_A_RIG, visit

SHOW = ("Night 1", "Barn", "2031-05-02", "JD")
LONG_AGO = ("Night 0", "Barn", "2021-05-02", "JD")
TOMORROW = ("Night 2", "Barn", "2131-05-02", "AB")


@pytest.fixture
def session(new_session, small_plan):
    session = new_session()
    session.open_rig(str(small_plan))
    return session


def went(session, place, again=False):
    at = visit(session, place, again)
    return at.target, at.words


@pytest.mark.parametrize("place", sorted(OF_A_RIG))
def test_without_a_rig_every_place_of_one_leads_to_where_one_is_picked_and_says_so(new_session, tmp_path, place):
    (tmp_path / "journal.db").touch()
    assert went(new_session(), place) == ("rigs", "No rig is open. Pick one first.")
    assert went(new_session(), "rig") == ("rigs", "")


def test_an_empty_machine_begins_with_the_demo_until_it_has_a_plan_or_a_journal(new_session, small_plan, tmp_path):
    session = new_session()
    demo = session.first_view().demo
    assert demo.endswith("demo.toml")
    assert went(session, "rig") == ("first", "")
    assert went(session, "faults") == ("first", "No rig is open. Pick one first.")
    session.open_rig(demo)
    session.start_check(*SHOW)
    session.close()
    assert new_session().first_view() is None


def test_a_plan_of_ones_own_makes_the_machine_no_longer_empty(new_session, tmp_path):
    (tmp_path / "home" / "plans").mkdir(parents=True)
    assert new_session().first_view() is not None
    (tmp_path / "home" / "plans" / "mine.toml").write_text("")
    assert new_session().first_view() is None


def test_rig_leads_to_the_open_one_and_from_there_to_all(session):
    assert went(session, "rig") == ("rig", "")
    assert went(session, "rig", again=True) == ("rigs", "")


def test_set_up_and_line_check_ask_until_they_are_begun_then_go_on(session):
    assert went(session, "set-up") == ("ask set-up", "")
    assert went(session, "line check") == ("ask check", "")
    session.set_up(*TOMORROW)
    assert went(session, "set-up") == ("setup", "")
    assert went(session, "line check") == ("ask check", "")
    session.start_check(*TOMORROW)
    session.ok("in 1")
    assert visit(session, "line check").view.line == "in 2"


def test_a_check_that_was_begun_leads_to_the_set_up_of_its_show(session, small_plan):
    session.start_check(*TOMORROW)
    at = visit(session, "set-up")
    assert at.target == "setup"
    assert at.view.show_title.startswith("Night 2, Barn, ")


def test_the_check_of_the_show_at_hand_is_gone_on_with_an_older_one_is_not(session, small_plan):
    session.start_check(*LONG_AGO)
    session.open_rig(str(small_plan))
    assert went(session, "line check") == ("ask check", "")
    session.start_check(*TOMORROW)
    session.ok("in 1")
    session.open_rig(str(small_plan))
    assert visit(session, "line check").view.ok == 1


def test_a_check_that_was_signed_off_is_not_gone_on_with(session):
    session.start_check(*TOMORROW)
    session.sign_off()
    assert went(session, "line check") == ("ask check", "")


def test_faults_are_those_of_the_rig(session):
    session.start_check(*SHOW)
    session.faulty("in 1", "hum", "")
    at = visit(session, "faults")
    assert at.target == "faults"
    assert [row.line for row in at.view.open] == ["in 1"]


def test_the_list_of_faults_says_what_to_do_as_things_stand(session, small_plan):
    session.start_check(*TOMORROW)
    nothing = session.fault_list()
    assert (nothing.next_work, nothing.has_sheet) == ("line check", False)
    assert nothing.to_do == "A line that is marked faulty in the line check stands here until it is cleared."
    session.faulty("in 1", "hum", "")
    here = session.fault_list()
    assert (here.next_work, here.has_sheet) == ("suspects", True)
    assert here.to_do == "See what is likeliest to blame, and try that."
    session.open_rig(str(small_plan))
    elsewhere = session.fault_list()
    assert (elsewhere.next_work, elsewhere.has_sheet) == ("line check", False)
    assert elsewhere.to_do == "Go on with the line check: a faulty line leads to what is to blame."
    session.go_on(session.rig_view().going_on)
    session.sign_off()
    known = session.fault_list()
    assert known.to_do == "They were signed off as they are. A new line check hears them again."


def test_the_rig_counts_its_open_faults_and_goes_on_with_the_open_check(session):
    assert (session.rig_view().open_faults, session.rig_view().next_work) == (0, "set up")
    session.start_check(*TOMORROW)
    session.faulty("in 1", "hum", "")
    rig = session.rig_view()
    assert (rig.open_faults, rig.next_work, rig.other_work) == (1, "go on", "set up")
    session.sign_off()
    assert session.rig_view().next_work == "set up"
