import sqlite3

import pytest

from checkapp.rig.errors import UnknownCode
from checkapp.show.marking import SymptomWithoutFault, Where, mark, repair
from checkapp.show.recording import UnknownShow
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
