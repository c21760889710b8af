"""Some of the lines only: which they are, that the walk stays with them, and that the rest is offered."""

import pytest

from checkapp.show.walk_only import Wanted, wanted_of


@pytest.fixture
def walking(new_session, plans):
    """The demo with its first four lines marked, the third and the fourth faulty."""
    session = new_session()
    session.open_rig(str(plans / "demo.toml"))
    session.start_check("Night 1", "", "2031-05-02", "JD")
    for line in ("in 1", "in 2"):
        session.ok(line)
    for line in ("in 3", "in 4"):
        session.faulty(line, "hum", "")
    return session


def listed(view):
    return [row.line for row in view.rows]


def test_the_list_is_of_all_open_faulty_or_one_zone(walking, demo):
    names = [line.line for line in demo.lines]
    assert listed(walking.line_list()) == names
    assert listed(walking.list_only(Wanted("faulty"))) == ["in 3", "in 4"]
    assert listed(walking.list_only(Wanted("open"))) == names[4:]
    brass = [line.line for line in demo.lines if line.zone == "Brass"]
    view = walking.list_only(Wanted("zone", "Brass"))
    assert listed(view) == brass
    assert view.walk_words == f"Brass: walk its {len(brass)} lines only"
    assert listed(walking.line_list()) == names


def test_a_filter_and_an_order_go_together(walking):
    walking.list_only(Wanted("faulty"))
    assert listed(walking.reorder("reverse")) == ["in 4", "in 3"]


def test_the_walk_goes_on_as_before_while_some_lines_are_listed(walking):
    walking.list_only(Wanted("faulty"))
    assert walking.ok("in 5").line == "in 6"


def test_zones_say_how_their_lines_stand(walking):
    zones = {zone.zone: zone.words for zone in walking.line_list().zones}
    assert zones["Drums"] == "12 lines, 8 open, 2 faulty"
    assert zones["Brass"] == "5 lines, 5 open"


def test_faulty_lines_are_walked_to_be_marked_again_and_then_the_rest_is_offered(walking):
    view = walking.walk_only(Wanted("faulty"))
    assert (view.line, view.only) == ("in 3", "Only faulty lines, 2 left. Walk all lines")
    assert view.then == ("4  Snare under",)
    view = walking.ok("in 3")
    assert (view.line, view.only) == ("in 4", "Only faulty lines, 1 left. Walk all lines")
    view = walking.faulty("in 4", "hum", "")
    assert (view.line, view.only) == ("in 4", "Done: faulty lines. Go on with all lines")
    view = walking.walk_all()
    assert (view.line, view.only) == ("in 5", "")


def test_back_and_next_stay_with_the_lines_that_are_walked(walking, demo):
    brass = [line.line for line in demo.lines if line.zone == "Brass"]
    assert walking.walk_only(Wanted("zone", "Brass")).line == brass[0]
    assert walking.back().line == brass[0]
    assert [walking.forward().line for _ in brass] == [*brass[1:], brass[-1]]
    assert walking.ok(brass[-1]).line == brass[0]
    assert walking.undo().line == brass[-1]
    assert walking.walk_again().only == f"Only Brass, {len(brass)} left. Walk all lines"


def test_a_line_outside_is_marked_like_any_other_and_the_walk_comes_back(walking, demo):
    brass = [line.line for line in demo.lines if line.zone == "Brass"]
    walking.walk_only(Wanted("zone", "Brass"))
    assert walking.go_to("in 9").line == "in 9"
    assert walking.ok("in 9").line == brass[0]
    assert walking.walk_again().ok == 3


def test_what_there_is_none_of_is_not_walked(walking):
    walking.ok("in 3")
    walking.ok("in 4")
    assert walking.list_only(Wanted("faulty")).walk_words == "No line is faulty."
    assert walking.walk_only(Wanted("faulty")).only == ""


def test_killed_it_comes_back_with_the_same_lines(walking, new_session):
    line = walking.walk_only(Wanted("zone", "Brass")).line
    view = new_session().resume()
    assert view.line == line
    assert view.only.startswith("Only Brass, 5 left")


def test_a_word_that_is_not_known_means_all_lines():
    assert wanted_of("sideways", "Brass") == wanted_of("all", "Brass") == Wanted()
    assert wanted_of("zone", "Brass") == Wanted("zone", "Brass")


def test_pace_and_what_is_left_are_told_from_the_fifth_mark(tmp_path, plans):
    from checkapp.show.session import Session

    now_ms = [1_900_000_000_000]
    session = Session(tmp_path / "j.db", home=tmp_path, now_ms=lambda: now_ms[0])
    session.open_rig(str(plans / "demo.toml"))
    view = session.start_check("Night 1", "", "2031-05-02", "JD")
    said = []
    for _ in range(6):
        now_ms[0] += 12_000
        view = session.ok(view.line)
        said.append((view.left, view.pace))
    session.close()
    assert said == [("", "")] * 4 + [("about 11 min left", "12 s a line")] * 2
