"""The changeover list: all that lies between two rigs once, in crew words, and the check that begins with it."""

import shutil
import sqlite3
from pathlib import Path

import pytest

from checkapp.rig.planfile import load_plan
from checkapp.show.comparing import compared
from checkapp.show.session import Session
from checkapp.show.session_errors import NothingOpen

PLANS = Path(__file__).parents[2] / "plans"
SECOND = [
    ("Quarry Nights, Weighing Room", "Quarry Nights, Second Act"),
    ('"STOVE in 4"', '"STOVE in 6"'),  # the fiddle's vocal one socket on, and its place gets the accordion
    ('"STOVE in 5"', '"STOVE in 4"'),
    ('cable = "LD01"', 'cable = "LD09"'),
    ('number = 3\nname = "Fiddle"', 'number = 7\nname = "Jaw harp"'),
    ("version = 2 ", "version = 3 "),
]


@pytest.fixture
def acts(tmp_path):
    """Two plans of one stage: the act that stands, and the one that comes."""
    for name in ("small.toml", "kinds.toml"):
        shutil.copy(PLANS / name, tmp_path)
    text = (tmp_path / "small.toml").read_text()
    for old, new in SECOND:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (tmp_path / "second.toml").write_text(text.replace("spare = true\n\n[[box]]", "\n[[box]]"))
    return tmp_path / "small.toml", tmp_path / "second.toml"


@pytest.fixture
def session(tmp_path):
    session = Session(tmp_path / "j.db", home=tmp_path)
    yield session
    session.close()


def rows(view, title):
    return [
        (r.title, r.fact, r.from_words, r.to_words) for group in view.groups if group.title == title for r in group.rows
    ]


def entries(journal):
    """Kind, subject and show of each entry, read without our library."""
    with sqlite3.connect(journal) as opened:
        return opened.execute("select kind, subject, show from entry order by rowid").fetchall()


def test_the_work_in_its_order_in_crew_words(acts, session):
    view = session.changeover.between(*acts)
    assert view.title == "From Quarry Nights, Weighing Room to Quarry Nights, Second Act"
    counts = "2 re-plugs, 1 new line, 1 line gone, 1 other cable or source"
    assert view.headline == f"4 lines to check again, {counts}"
    assert [group.title for group in view.groups] == [
        "Unplug first",
        "Re-plug",
        "New: plug in",
        "Same port: other cable, source or stand",
        "Cables and sources: fetch, change, lay aside",
        "In the plan alone",
    ]
    assert rows(view, "Unplug first") == [
        ("in 4 Fiddle vocal", "in the way", "", "STOVE in 4, Behind the stove"),
        ("in 3 Fiddle", "gone", "", "STOVE in 3, LD03, Behind the stove"),
    ]
    assert rows(view, "Re-plug") == [
        ("in 5 Accordion", "", "from STOVE in 5", "to STOVE in 4, Behind the stove"),
        ("in 4 Fiddle vocal", "", "from STOVE in 4", "to STOVE in 6, Behind the stove"),
    ]
    assert rows(view, "New: plug in") == [("in 7 Jaw harp", "", "", "STOVE in 3, LD03, Behind the stove")]
    assert rows(view, "Same port: other cable, source or stand") == [
        ("in 1 Storyteller", "cable", "from LD01", "to LD09, STOVE in 1, Behind the stove")
    ]
    assert view.cautions[0].startswith("Mute the channel before re-plugging")
    assert "By the old plan it is on for in 5: off before they are unplugged." in view.cautions[0]


def test_every_change_is_told_once(acts, session):
    view = session.changeover.between(*acts)
    found = compared(*map(load_plan, acts))
    told = sum(len(group.rows) for group in view.groups)
    assert told == len(found.blocking) + sum(map(len, found.work.values()))  # here each line changes in one field
    items = {row.item for group in view.groups for row in group.rows if row.item}
    assert items == {"in 1", "in 4", "in 5", "in 7", "LD09"}
    assert all(session.card(item).item for item in items)


def test_more_that_changes_of_a_line_is_one_row(acts, session):
    old, new = acts
    new.write_text(
        new.read_text().replace('cable = "LD05"\nport = "STOVE in 4"', 'cable = "LD01"\nport = "STOVE in 4"')
    )
    found = rows(session.changeover.between(old, new), "Re-plug")
    assert found[0] == ("in 5 Accordion", "cable", "from LD05, STOVE in 5", "to LD01, STOVE in 4, Behind the stove")


def test_the_lines_to_check_again_are_those_of_the_command(acts, session):
    view = session.changeover.between(*acts)
    assert [row.line for row in view.again] == [one.line.line for one in compared(*map(load_plan, acts)).again]
    assert {row.line: row.said for row in view.again}["in 5"] == "STOVE in 4, not STOVE in 5"
    assert (view.again_title, view.check_words) == ("Check these 4 lines again", "check these 4 lines")


def test_the_check_begins_with_them_and_goes_on_with_the_rest(acts, session):
    session.changeover.between(*acts)
    walk = session.changeover.start("Night 1", "", "", "JD")
    walked = []
    while not walk.complete:
        walked.append(walk.line)
        walk = session.ok(walk.line)
    assert walked == ["in 1", "in 4", "in 5", "in 7", "in 2", "in 6", "out 1", "out 2"]
    listed = session.line_list()
    assert (listed.order, listed.changed) == ("changed", True)
    assert session.reorder("list").changed


def test_the_open_check_is_gone_on_with(acts, session, tmp_path):
    session.changeover.between(*acts)
    session.changeover.start("Night 1", "", "", "JD")
    session.ok("in 1")
    session.faulty("in 4", "silent", "")
    view = session.changeover.view()
    assert view.headline.startswith("4 lines to check again, 2 of them still open, 2 re-plugs")
    assert view.check_words == "check these 2 lines"
    assert [(row.line, row.status) for row in view.again] == [
        ("in 1", "ok"),
        ("in 4", "faulty"),
        ("in 5", "open"),
        ("in 7", "open"),
    ]
    assert session.changeover.go_on(view.rig.going_on).line == "in 5"
    session.ok("in 5")
    session.ok("in 7")
    view = session.changeover.view()
    assert view.check_words == "go on with the check"
    assert session.changeover.go_on(view.rig.going_on).line == "in 2"
    session.close()
    assert [kind for kind, _, _ in entries(tmp_path / "j.db")].count("check") == 1


def test_the_order_outlives_the_app(acts, session, tmp_path):
    session.changeover.between(*acts)
    session.changeover.start("Night 1", "", "", "JD")
    session.ok("in 1")
    session.close()
    later = Session(tmp_path / "j.db", home=tmp_path)
    assert later.resume().line == "in 4"
    assert later.line_list().order == "changed"
    later.reorder("list")
    assert [row.line for row in later.reorder("changed").rows][:4] == ["in 1", "in 4", "in 5", "in 7"]
    assert later.ok("in 4").line == "in 5"
    later.close()


def test_a_swap_of_the_night_counts_for_what_stands(acts, session):
    """LD05 was changed for LD09 in the first act: the second wants LD05 again, though the plans have it alike."""
    old, new = acts
    new.write_text((old.read_text()).replace("Weighing Room", "Second Act"))
    session.open_rig(str(old))
    session.set_up("Night 1", "", "", "JD")
    session.setup.mode("swap")
    for code in ("LD05", "LD09"):
        session.setup.scan(code)
    session.setup.confirm()
    view = session.changeover.between(old, new)
    assert [(row.line, row.said) for row in view.again] == [("in 5", "LD05, not LD09")]


def test_nothing_to_check_again(acts, session):
    old, new = acts
    new.write_text(old.read_text() + "# handed out again\n")
    view = session.changeover.between(old, new)
    assert (view.headline, view.groups, view.again) == ("Nothing has changed.", (), ())
    assert (view.check_words, view.can_check) == ("no line to check again", False)
    new.write_text(old.read_text().replace("version = 2 ", "version = 3 "))
    view = session.changeover.between(old, new)
    assert (view.headline, view.can_check) == ("no line to check again", False)
    assert view.title == "From Quarry Nights, Weighing Room 2 to Quarry Nights, Weighing Room 3"


def test_which_rig_stood_before(acts, session, tmp_path):
    (tmp_path / "plans").mkdir()
    for plan in (*acts, tmp_path / "kinds.toml"):
        shutil.copy(plan, tmp_path / "plans")
    session.open_rig(str(tmp_path / "plans" / "small.toml"))
    found = session.changeover.choices()
    assert Path(found.new) == tmp_path / "plans" / "small.toml"
    names = [Path(row.plan).name for row in found.rigs]
    assert names == ["second.toml", "demo.toml", "next.toml", "wrong.toml"]
    shutil.copy(tmp_path / "plans" / "small.toml", tmp_path / "plans" / "once more.toml")
    assert session.changeover.choices() == found, "a copy of the open plan is the open rig"


def test_without_a_rig_there_is_none(session):
    with pytest.raises(NothingOpen):
        session.changeover.choices()
    with pytest.raises(NothingOpen):
        session.changeover.view()
