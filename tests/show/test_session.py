import pytest

from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify
from checkapp.rig.errors import PlanRefused, UnknownCode
from checkapp.show.session_errors import CheckGone, CheckSignedOff, NameMissing, NothingOpen

SHOW = ("Night 1", "Barn", "2031-05-02", "JD")


@pytest.fixture
def session(new_session, small_plan):
    session = new_session()
    session.open_rig(str(small_plan))
    return session


def test_the_shipped_rigs_are_offered_and_files_of_kinds_are_not(new_session):
    titles = [row.title for row in new_session().rigs()]
    assert len(titles) == 4
    assert all("kinds" not in title for title in titles)


def test_a_plan_with_faults_in_the_users_folder_is_shown_as_such(new_session, tmp_path):
    folder = tmp_path / "home" / "plans"
    folder.mkdir(parents=True)
    (folder / "broken.toml").write_text("format = 1\n[rig]\nname = 'x'\nowner = 'X'\n[[box]]\n")
    row = new_session().rigs()[0]
    assert row.title == "broken"
    assert "faults" in row.detail
    with pytest.raises(PlanRefused):
        new_session().open_rig(row.plan)


def test_a_check_starts_at_the_first_line_with_everything_open(session):
    view = session.start_check(*SHOW)
    assert (view.line, view.open, view.ok, view.faulty) == ("in 1", view.total, 0, 0)
    assert view.progress == f"1 of {view.total}"
    assert not view.can_undo


@pytest.mark.parametrize(("name", "by"), [("", "JD"), ("Night 1", ""), ("  ", "JD"), ("Night 1", " ")])
def test_a_check_needs_a_show_and_initials(session, name, by):
    with pytest.raises(NameMissing):
        session.start_check(name, "", "", by)


def test_moves_without_a_rig_or_check_say_so(new_session, session):
    with pytest.raises(NothingOpen):
        new_session().rig_view()
    with pytest.raises(NothingOpen):
        session.ok("in 1")


def test_ok_marks_the_line_that_was_shown_and_moves_to_the_next(session):
    coming = session.start_check(*SHOW).coming
    view = session.ok("in 1")
    assert view.line == "in 2"
    assert view.ok == 1
    assert view.message == coming.message == "in 1 ok, saved"


def test_a_mark_names_its_line_even_when_the_walk_is_elsewhere(session):
    session.start_check(*SHOW)
    session.go_to("in 4")
    session.ok("in 2")
    statuses = {row.line: row.status for row in session.lines()}
    assert statuses["in 2"] == "ok"
    assert statuses["in 4"] == "open"


def test_faulty_keeps_symptom_and_note(session):
    session.start_check(*SHOW)
    session.faulty("in 1", "hum", "  near the dimmer ")
    row = session.lines()[0]
    assert (row.status, row.said) == ("faulty", "hum, near the dimmer, JD")


def test_skip_leaves_open_and_comes_back_after_the_end(session):
    view = session.start_check(*SHOW)
    session.skip()
    for row in session.lines()[1:]:
        view = session.ok(row.line)
    assert view.line == "in 1"
    assert view.open == 1
    assert session.skip().line == "in 1"


def test_back_and_forward_stay_at_the_ends(session):
    view = session.start_check(*SHOW)
    assert session.back().line == view.line
    assert session.forward().line == "in 2"
    last = session.go_to("out 2")
    assert session.forward().line == last.line


def test_go_to_takes_any_spelling_and_refuses_what_is_not_there(session):
    session.start_check(*SHOW)
    assert session.go_to("OUT1").line == "out 1"
    with pytest.raises(UnknownCode):
        session.go_to("in 99")


def test_undo_takes_back_the_latest_mark_and_goes_to_its_line(session):
    session.start_check(*SHOW)
    session.ok("in 1")
    session.faulty("in 2", "low", "")
    view = session.undo()
    assert (view.line, view.status, view.faulty) == ("in 2", "open", 0)
    view = session.undo()
    assert (view.line, view.open) == ("in 1", view.total)
    assert "Nothing" in session.undo().message


def test_undo_of_a_second_mark_brings_back_the_first(session):
    session.start_check(*SHOW)
    session.ok("in 1")
    session.faulty("in 1", "crackle", "")
    session.undo()
    assert session.lines()[0].status == "ok"


def test_sign_off_names_what_is_left_and_the_check_stays_readable(session, new_session, small_plan):
    session.start_check(*SHOW)
    for row in session.lines()[:-2]:
        session.ok(row.line)
    before = session.summary()
    assert [row.line for row in before.open] == ["out 1", "out 2"]
    assert before.sign_off_words == "sign off with 2 open"
    after = session.sign_off()
    assert after.signed_off
    assert not after.can_sign_off
    with pytest.raises(CheckSignedOff):
        session.ok("out 1")
    again = new_session()
    view = again.open_rig(str(small_plan))
    row = view.checks[0]
    assert row.signed_off
    assert [left.line for left in again.read_check(row.key).open] == ["out 1", "out 2"]
    with pytest.raises(CheckSignedOff):
        again.go_on(row.key)


def test_a_check_of_another_rig_is_neither_gone_on_with_nor_read(session, plans):
    """The rig that a tap opened may come between the list of its checks and a tap on one of them."""
    session.start_check(*SHOW)
    key = session.rig_view().checks[0].key
    session.open_rig(str(plans / "demo.toml"))
    for move in (session.go_on, session.read_check):
        with pytest.raises(CheckGone, match="no such check of Night 1 is in the journal for this rig"):
            move(key)
    assert session.start_check(*SHOW).line


def test_a_new_check_of_the_same_show_begins_empty_and_the_old_one_stays(session):
    session.start_check(*SHOW)
    session.ok("in 1")
    session.sign_off()
    assert session.start_check(*SHOW).ok == 0
    rows = session.rig_view().checks
    assert [row.signed_off for row in rows] == [False, True]
    assert "1 ok" in session.read_check(rows[1].key).counts


def test_it_comes_back_at_the_same_line_after_an_end_without_goodbye(session, new_session):
    session.start_check(*SHOW)
    session.ok("in 1")
    session.go_to("in 5")
    view = new_session().resume()
    assert view is not None
    assert (view.line, view.ok) == ("in 5", 1)


def test_nothing_to_come_back_to(new_session, session):
    assert new_session().resume() is None
    session.start_check(*SHOW)
    session.sign_off()
    assert new_session().resume() is None


def test_a_plan_that_went_away_is_nothing_to_come_back_to(new_session, small_plan, tmp_path):
    copy = tmp_path / "plan.toml"
    folder = tmp_path / "kinds.toml"
    folder.write_bytes((small_plan.parent / "kinds.toml").read_bytes())
    copy.write_bytes(small_plan.read_bytes())
    session = new_session()
    session.open_rig(str(copy))
    session.start_check(*SHOW)
    copy.unlink()
    assert new_session().resume() is None


def test_two_tablets_on_one_journal_see_each_others_marks(new_session, small_plan):
    one, two = new_session(), new_session()
    for session in (one, two):
        session.open_rig(str(small_plan))
        session.start_check(*SHOW)
    one.ok("in 1")
    two.ok("in 2")
    assert [row.status for row in one.lines()[:2]] == ["ok", "ok"]


def test_everything_done_leaves_a_journal_that_verifies(session, tmp_path):
    session.start_check(*SHOW)
    session.ok("in 1")
    session.undo()
    session.faulty("in 1", "wrong line", "")
    session.sign_off()
    with Journal.open(tmp_path / "journal.db", new_device="reader") as journal:
        assert verify(journal) == []
        kinds = [entry.kind for entry in journal.entries()]
    assert kinds == ["rig", "show", "check", "mark", "void", "mark", "check"]


def test_the_next_show_is_named_after_how_many_there_were(session, new_session, small_plan):
    assert session.rig_view().suggested_show == "Night 1"
    session.start_check("Night 1", "", "2031-05-01", "JD")
    assert session.rig_view().suggested_show == "Night 2"
    session.start_check("Night 3", "", "2031-05-02", "JD")
    assert session.rig_view().suggested_show == "Night 4"


def test_the_show_of_today_is_gone_on_with_until_its_check_is_signed_off(session, new_session, small_plan):
    session.set_up("Night 1", "Upper ledge", "", "JD")
    assert session.rig_view().suggested_show == "Night 1"
    session.start_check("Night 1", "", "", "JD")
    assert session.rig_view().suggested_show == "Night 1"
    session.sign_off()
    assert session.rig_view().suggested_show == "Night 2"


def test_a_venue_left_blank_stays_what_it_was(session, new_session, small_plan):
    session.set_up("Night 1", "Upper ledge", "2031-05-02", "JD")
    session.start_check("Night 1", "", "", "JD")
    (show,) = session._recorder().shows()
    assert (show.venue, show.date) == ("Upper ledge", "2031-05-02")
    session.start_check("Night 1", "Lower hall", "", "JD")
    (show,) = session._recorder().shows()
    assert (show.venue, show.date) == ("Lower hall", "2031-05-02")


def test_a_start_in_spite_of_stops_says_how_many(session, new_session, small_plan):
    assert session.rig_view().start_words == "start a check"
    assert not session.rig_view().has_stop
    wrong = new_session().open_rig(str(small_plan.with_name("wrong.toml")))
    stops = sum(row.level == "stop" for row in wrong.findings)
    assert stops > 1
    assert wrong.start_words == f"{stops} stops: check anyway"
    assert wrong.has_stop


def test_the_picture_of_the_open_rig_has_a_spot_for_every_box_and_numbers_its_findings(new_session, small_plan):
    demo = new_session()
    rig = demo.open_rig(str(small_plan.with_name("demo.toml")))
    picture = demo.picture()
    spots = {spot.item for spot in picture.drawing.spots}
    assert picture.boxes <= spots
    assert len(picture.boxes) == 8
    assert all(demo.card(item).item == item for item in spots)
    assert picture.findings == rig.findings
    assert picture.caution == rig.caution
    assert [row.code for row in picture.keys] == ["FRONT", "BACK", ""]


def test_a_card_tells_of_its_findings_and_of_what_was_marked_in_this_session(session):
    session.start_check(*SHOW)
    session.faulty("in 2", "hum", "")
    card = session.card("stove")
    assert card.item == "STOVE"
    assert any("in 2 faulty: hum" in cell for row in card.history for cell in row)
    with pytest.raises(UnknownCode):
        session.card("NOWHERE")


def test_no_picture_and_no_card_without_a_rig(new_session):
    for move in (new_session().picture, lambda: new_session().card("STOVE")):
        with pytest.raises(NothingOpen):
            move()


def test_set_up_is_next_until_all_of_the_show_at_hand_is_done(session, new_session, small_plan):
    assert not session.rig_view().is_set_up
    view = session.set_up("Night 1", "", "", "JD")
    for row in [row for place in view.places for row in place.rows]:
        assert not session.rig_view().is_set_up
        if row.end:
            session.setup.tick(row.end, row.port)
        else:
            session.setup.place(row.item)
    assert session.setup.view().complete
    session._recorder().flush()
    assert session.rig_view().is_set_up
    session.setup.undo()
    assert not session.rig_view().is_set_up


def test_what_was_set_up_for_a_show_that_is_over_or_past_is_set_up_anew(session, new_session, small_plan):
    view = session.set_up("Night 1", "", "2031-05-02", "JD")
    for row in [row for place in view.places for row in place.rows]:
        session.setup.tick(row.end, row.port) if row.end else session.setup.place(row.item)
    session._recorder().flush()
    assert session.rig_view().is_set_up
    session.start_check("Night 1", "", "2021-05-02", "JD")
    assert not session.rig_view().is_set_up
    session.start_check("Night 1", "", "2031-05-02", "JD")
    assert session.rig_view().is_set_up
    session.sign_off()
    assert not session.rig_view().is_set_up
