"""Where a check stands when the plan changes under it: lines that run otherwise are to be marked again."""

import shutil
from pathlib import Path

import pytest

from checkapp.show.marking import Where, mark, repair
from checkapp.show.session import Session
from checkapp.show.standing import asked_of, state_of, text_of

PLANS = Path(__file__).parents[2] / "plans"
LINES = [*(f"in {number}" for number in (1, 2, 3, 4, 5, 6)), "out 1", "out 2"]


@pytest.fixture
def checked(tmp_path):
    """A plan of which every line is marked ok, and the same plan with another port for one line, in the same rig."""
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(PLANS / name, tmp_path)
    old, new = tmp_path / "small.toml", tmp_path / "next.toml"
    new.write_text(old.read_text().replace('"STOVE in 4"', '"STOVE in 6"') + "# handed out on Friday\n")
    for line in LINES:
        mark(Where(old, "Night 1", journal=tmp_path / "j.db"), line, "ok")
    return old, new, tmp_path / "j.db"


def test_a_line_that_runs_otherwise_by_the_new_plan_is_to_be_marked_again_and_no_other(checked):
    old, new, journal = checked
    assert set(state_of(old, "Night 1", journal).marks) == set(LINES)
    found = state_of(new, "Night 1", journal)
    assert set(found.marks) == set(LINES) - {"in 4"}
    assert set(found.again) == {"in 4"}
    assert "  open    in 4    Fiddle vocal  again: was ok" in text_of(found)
    mark(Where(new, "Night 1", journal=journal), "in 4", "ok")
    assert set(state_of(new, "Night 1", journal).marks) == set(LINES)


def test_what_changed_is_told_first_of_what_to_check(checked):
    old, new, journal = checked
    for line in ("in 2", "in 4"):
        mark(Where(old, "Night 2", journal=journal), line, "ok")
    found = state_of(new, "Night 2", journal, asked_of(None, "changed"))
    assert [name for name, _ in found.first.lines] == ["in 4", "in 1", "in 3", "in 5", "in 6", "out 1", "out 2"]
    assert "  to check changed lines first: 7 lines" in text_of(found)


def test_a_swap_of_the_check_that_is_written_into_the_plan_asks_for_nothing_again(checked):
    old, _, journal = checked
    where = Where(old, "Night 1", journal=journal)
    repair(where, "LD04", "swap", other="LD09")
    assert set(state_of(old, "Night 1", journal).again) == {"in 4"}
    mark(where, "in 4", "ok")
    text = old.read_text()
    assert text.count('cable = "LD04"') == 1
    old.write_text(text.replace('cable = "LD04"', 'cable = "LD09"'))
    assert state_of(old, "Night 1", journal).again == {}
    old.write_text(text.replace('cable = "LD04"', 'cable = "LD01"').replace('cable = "LD01"', 'cable = "LD04"', 1))
    assert set(state_of(old, "Night 1", journal).again) == {"in 1", "in 4"}


def test_a_move_of_the_check_that_is_written_into_the_plan_asks_for_nothing_again(checked):
    old, new, journal = checked
    where = Where(old, "Night 1", journal=journal)
    repair(where, "STOVE in 4", "bypass", other="STOVE in 6")
    mark(where, "in 4", "ok")
    assert state_of(old, "Night 1", journal).again == {}
    assert state_of(new, "Night 1", journal).again == {}


def test_a_plan_with_other_words_alone_asks_for_nothing_again(checked):
    old, _, journal = checked
    old.write_text(old.read_text() + "# a comment\n")
    assert state_of(old, "Night 1", journal).again == {}


def test_the_walk_begins_with_it(checked, tmp_path):
    _, new, journal = checked
    session = Session(journal, home=tmp_path)
    session.open_rig(str(new))
    assert session.start_check("Night 1", "", "", "AB").line == "in 4"
    session.close()


def test_a_check_that_is_signed_off_stays_as_it_was(checked, tmp_path):
    old, new, journal = checked
    session = Session(journal, home=tmp_path)
    session.open_rig(str(old))
    session.start_check("Night 1", "", "", "AB")
    session.sign_off()
    session.close()
    assert set(state_of(new, "Night 1", journal).marks) == set(LINES)


def test_the_check_after_a_change_of_the_plan_begins_with_the_lines_that_run_otherwise(checked, tmp_path):
    old, new, journal = checked
    new.write_text(new.read_text().replace('number = 2\nname = "Music wedge"', 'number = 4\nname = "Music wedge"'))
    session = Session(journal, home=tmp_path)
    session.open_rig(str(old))
    session.start_check("Night 1", "", "", "AB")
    session.sign_off()
    session.open_rig(str(new))
    walk = session.start_check("Night 1", "", "", "AB")
    assert walk.message == "2 lines run otherwise than in the check before: they come first"
    walked = []
    while not walk.complete:
        walked.append(walk.line)
        walk = session.ok(walk.line)
    assert walked == ["in 4", "out 4", "in 1", "in 2", "in 3", "in 5", "in 6", "out 1"]
    session.sign_off()
    walk = session.start_check("Night 1", "", "", "AB")  # nothing changed since
    assert (walk.line, walk.message, session.line_list().order) == ("in 1", "", "list")
    session.close()
