import json
import sqlite3
from contextlib import closing
from dataclasses import replace

import pytest

from checkapp.rig.change import CannotChange
from checkapp.rig.codes import Tag
from checkapp.rig.errors import UnknownCode
from checkapp.rig.planfile import load_plan
from checkapp.show.card_lookup import look_up
from checkapp.show.marking import SwapWithItself, SymptomWithoutFault, Where, mark, repair
from checkapp.show.recording import UnknownShow, run_of
from checkapp.show.standing import document, state_of, text_of


@pytest.fixture
def where(small_plan, tmp_path):
    return Where(small_plan, None, "JD", tmp_path / "journal.db")


def state(where, show=None):
    return document(state_of(where.plan, show, where.journal))


def test_before_anything_is_marked_all_is_open_and_no_journal_is_made(where):
    found = state(where)
    assert (found["show"], found["unmarked"]) == (None, 8)
    assert not where.journal.exists()
    with pytest.raises(UnknownShow):
        state(where, "Night 9")


def test_a_mark_is_in_the_database_under_the_id_that_was_given(where):
    entry = mark(where, "IN 3", "faulty", symptom="wrong line", note="swapped with 4")
    row = sqlite3.connect(where.journal).execute("SELECT kind, subject, by FROM entry WHERE id = ?", [entry]).fetchone()
    assert row == ("mark", "in 3", "JD")
    line = state(where)["lines"][2]
    assert (line["verdict"], line["symptom"], line["note"], line["by"]) == (
        "faulty",
        "wrong line",
        "swapped with 4",
        "JD",
    )
    assert line["at"].endswith("Z")


def test_the_latest_mark_of_a_line_counts(where):
    mark(where, "in 1", "faulty")
    mark(where, "in 1", "ok")
    found = state(where)
    assert (found["ok"], found["faulty"], found["unmarked"]) == (1, 0, 7)


@pytest.mark.parametrize("cleared", [True, False])
def test_a_repair_that_cleared_opens_the_faulty_lines_again_and_leaves_ok_ones(where, cleared):
    mark(where, "in 1", "ok")
    mark(where, "in 2", "faulty", symptom="silent")
    repair(where, "stove", "reseat", cleared=cleared)
    found = state(where)
    assert (found["ok"], found["faulty"]) == (1, 0 if cleared else 1)


def test_a_named_show_is_made_and_the_latest_is_taken_without_a_name(where, small_plan):
    mark(Where(small_plan, "Night 1", "JD", where.journal), "in 1", "ok")
    mark(Where(small_plan, "Night 2", "JD", where.journal), "in 2", "ok")
    mark(where, "in 3", "ok")
    assert state(where)["show"] == "Night 2"
    assert state(where)["ok"] == 2
    assert state(where, "Night 1")["ok"] == 1


def test_what_is_wrong_is_refused_and_nothing_is_written(where):
    with pytest.raises(SymptomWithoutFault):
        mark(where, "in 1", "ok", symptom="hum")
    with pytest.raises(UnknownCode):
        mark(where, "in 99", "ok")
    with pytest.raises(UnknownCode):
        repair(where, "Q77", "mend")
    assert not where.journal.exists()


def test_the_state_in_words_names_what_is_faulty_and_open(where):
    mark(where, "in 2", "faulty", symptom="hum")
    text = "\n".join(text_of(state_of(where.plan, None, where.journal)))
    assert "0 ok, 1 faulty, 7 open" in text
    assert "hum, JD" in text


@pytest.fixture
def later_plan(small_plan, tmp_path):
    """The small plan with some of its text replaced: a later version of it."""
    (tmp_path / "kinds.toml").write_bytes(small_plan.with_name("kinds.toml").read_bytes())

    def write(*pairs):
        text = small_plan.read_text()
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new)
        (tmp_path / "later.toml").write_text(text)
        return tmp_path / "later.toml"

    return write


def verdict(where, line):
    return next(row["verdict"] for row in state(where)["lines"] if row["line"] == line)


def path(where, line):
    return [item.name for item in run_of(load_plan(where.plan), where.journal).rig.path(line)]


def logged(where, kind):
    columns = "SELECT subject, detail FROM entry WHERE kind = ? ORDER BY clock"
    with closing(sqlite3.connect(where.journal)) as base:
        return [(subject, json.loads(detail)) for subject, detail in base.execute(columns, [kind])]


def history(where, code):
    return " ".join(" ".join(row) for row in look_up(where.plan, code, where.journal).history)


def test_a_faulty_line_whose_cable_is_swapped_runs_through_the_spare_and_is_open_again(where):
    mark(where, "in 1", "faulty", symptom="crackle")
    done = repair(where, "LD01", "swap", other="LD09")
    assert done.doubts == ("LD09 is 10 m, LD01 6 m",)
    assert logged(where, "repair") == [
        ("LD01", {"action": "swap", "with": "LD09", "cleared": True, "lines": ["in 1"]}),
    ]
    assert (path(where, "in 1")[1], verdict(where, "in 1")) == ("LD09", None)
    mark(where, "in 1", "ok")
    assert (verdict(where, "in 1"), state(where)["ok"]) == ("ok", 1)
    assert "crackle" in history(where, "LD01")
    assert "crackle" not in history(where, "LD09")
    ((_, told),) = logged(where, "rig")
    assert told["lines"]["in 1"][1] == ["LD01", "cable"]


def test_swapped_back_the_old_mark_of_the_old_cable_stands_again(where):
    mark(where, "in 1", "ok")
    repair(where, "LD01", "swap", other="LD09", cleared=False)
    assert verdict(where, "in 1") is None
    repair(where, "LD09", "swap", other="LD01", cleared=False)
    assert (path(where, "in 1")[1], verdict(where, "in 1")) == ("LD01", "ok")


def test_a_swap_that_did_not_clear_leaves_the_line_faulty_on_the_new_cable(where):
    mark(where, "in 1", "faulty")
    repair(where, "LD01", "swap", other="LD09", cleared=False)
    assert (path(where, "in 1")[1], verdict(where, "in 1")) == ("LD09", "faulty")
    repair(where, "LD09", "reseat")
    assert verdict(where, "in 1") is None


def test_hired_gear_is_taken_by_its_whole_tag_and_can_be_named_from_then_on(where):
    tag = Tag("TN", "SB9")
    mark(where, "in 3", "faulty")
    done = repair(where, "STOVE", "swap", other=tag.text.lower())
    assert done.doubts == ("the plan does not know TN.SB9: it is taken to be like STOVE",)
    assert path(where, "in 3")[2:4] == ["SB9 in 3", "SB9"]
    assert logged(where, "repair")[0][1]["owner"] == "TN"
    mark(where, "in 3", "faulty", symptom="hum")
    repair(where, "sb9 in 3", "bypass", other="SB9 in 6")
    assert (path(where, "in 3")[2], verdict(where, "in 3")) == ("SB9 in 6", None)
    repair(where, "STOVE", "mend")
    repair(where, "SB9", "swap", other="STOVE")
    assert path(where, "in 3")[2:4] == ["STOVE in 6", "STOVE"]
    assert run_of(load_plan(where.plan), where.journal).left_out == ()


def test_a_cable_end_is_what_a_hired_cable_is_scanned_by(where):
    repair(where, "LD01", "swap", other=f"https://example.org/{Tag('TN', 'LX1', 'B').text}")
    assert path(where, "in 1")[1] == "LX1"
    with pytest.raises(CannotChange, match="not the tag of a cable's end, unlike LD02"):
        repair(where, "LD02", "swap", other=Tag("TN", "LX2").text)
    with pytest.raises(CannotChange, match="the tag of a cable's end, unlike STOVE"):
        repair(where, "STOVE", "swap", other=Tag("TN", "SB9", "A").text)


def test_a_line_is_led_round_a_dead_port(where):
    mark(where, "in 2", "faulty")
    repair(where, "STOVE in 2", "bypass", other="stove in 7")
    assert (path(where, "in 2")[2], verdict(where, "in 2")) == ("STOVE in 7", None)
    subject, detail = logged(where, "repair")[0]
    assert (subject, detail["with"], detail["lines"], detail["path"][2]) == (
        *("STOVE in 2", "STOVE in 7", ["in 2"]),
        ["STOVE in 7", "port"],
    )
    repair(where, "STOVE in 6", "bypass", other="STOVE in 2")
    assert path(where, "in 2")[2] == "STOVE in 7"


@pytest.mark.parametrize(
    ("item", "action", "other", "words"),
    [
        ("LD01", "swap", "PWR1", "PWR1 is a supply, LD01 a cable"),
        ("STOVE in 1", "swap", "STOVE in 6", "cannot be swapped: move its line to a free port, or swap the box"),
        ("chain ROOM", "swap", "LD09", "chain ROOM cannot be swapped"),
        ("STOVE in 1", "bypass", "STOVE out 3", "the rig has no input STOVE out 3"),
        ("LD01", "swap", Tag("TN", "LD02", "A").text, "the rig has a LD02 of QN already"),
    ],
)
def test_what_a_crew_gets_wrong_is_refused_in_plain_words_and_not_logged(where, item, action, other, words):
    with pytest.raises(CannotChange, match=words):
        repair(where, item, action, other=other)
    assert not where.journal.exists()


@pytest.mark.parametrize(
    ("item", "action", "other", "words"),
    [
        ("LD01", "swap", "LD02", "LD02 is in use: in 2"),
        ("LD09", "swap", "LD08", "LD09 is not in use"),
        ("STOVE in 1", "bypass", "STOVE in 2", "STOVE in 2 is in use"),
    ],
)
def test_what_happened_is_logged_also_where_the_plan_knows_no_such_way(where, item, action, other, words):
    made = repair(where, item, action, other=other)
    assert made.doubts[0].startswith(words)
    assert made.doubts[0].endswith("it is in the log, and the rig runs as before")
    assert path(where, "in 1")[1:3] == ["LD01", "STOVE in 1"]


@pytest.mark.parametrize("other", ["LX1", "TN.LX1.A.0", "TN.SB9", "Q77"])
@pytest.mark.parametrize("action", ["swap", "bypass"])
def test_what_the_rig_does_not_have_is_refused_unless_it_is_a_whole_good_tag_swapped_in(where, action, other):
    with pytest.raises(UnknownCode):
        repair(where, "LD01", action, other=other)
    with pytest.raises(UnknownCode):
        repair(where, "LD01", "mend", other=Tag("TN", "LX1", "A").text)
    assert not where.journal.exists()


@pytest.mark.parametrize("action", ["swap", "bypass", "mend"])
def test_nothing_takes_its_own_place(where, action):
    with pytest.raises(SwapWithItself):
        repair(where, "LD01", action, other="ld01")


def test_a_repair_without_another_item_changes_nothing_of_the_rig(where):
    for action in ("reseat", "swap", "mend", "bypass"):
        assert repair(where, "LD01", action).doubts == ()
    repair(where, "LD01", "mend", other="LD02")
    assert path(where, "in 1")[1] == "LD01"
    assert [set(detail) for _, detail in logged(where, "repair")] == [{"action", "with", "cleared"}] * 5


def test_a_later_plan_with_the_swap_in_it_goes_on_without_a_word(where, later_plan):
    mark(where, "in 1", "ok")
    repair(where, "LD01", "swap", other="LD09")
    later = replace(where, plan=later_plan(('cable = "LD01"', 'cable = "LD09"'), ("version = 2", "version = 3")))
    assert path(later, "in 1")[1] == "LD09"
    mark(later, "in 1", "faulty")
    assert verdict(later, "in 1") == "faulty"
    text = "\n".join(text_of(state_of(later.plan, None, later.journal)))
    assert "not as planned" not in text
    assert "left out" not in text


def test_the_state_in_words_tells_what_is_not_as_planned_and_what_is_to_be_marked_again(where, later_plan):
    mark(where, "in 2", "faulty", symptom="hum")
    for old, new in (("LD02", "LD09"), ("LD09", "LD02"), ("LD02", "LD09"), ("LD09", "LD02"), ("LD02", "LD09")):
        repair(where, old, "swap", other=new)
    text = text_of(state_of(where.plan, None, where.journal))
    assert text[1] == (
        "  not as planned: LD02 in for LD09, JD; LD09 in for LD02, JD; LD02 in for LD09, JD; LD09 in for LD02, JD;"
        " 1 more before"
    )
    assert "  open    in 2    Storyteller's table  again: was faulty hum, JD" in text
    later = later_plan(("LD02", "LD22"))
    text = text_of(state_of(later, None, where.journal))
    assert "  left out, LD09 in for LD02, JD: LD02 is not in use" in text
