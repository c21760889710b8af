"""The tables of a journal file, as the library finds them."""

import sqlite3
from pathlib import Path

from checkapp.journal.entry import COLUMNS
from checkapp.journal.journal import Journal
from checkapp.journal.schema import APPLICATION_ID, SCHEMA_VERSION


def test_entry_has_the_columns_of_the_log(journal: Journal, path: Path) -> None:
    with sqlite3.connect(path) as plain:
        columns = plain.execute("SELECT name, type FROM pragma_table_info('entry')").fetchall()
    assert tuple(name for name, _ in columns) == COLUMNS
    assert {kind for name, kind in columns if name != "seq"} == {"TEXT"}
    assert dict(columns)["seq"] == "INTEGER"


def test_no_other_table_has_a_subject_and_nothing_is_triggered(journal: Journal, path: Path) -> None:
    with sqlite3.connect(path) as plain:
        names = plain.execute("SELECT type, name FROM sqlite_master ORDER BY name").fetchall()
        others = plain.execute("SELECT name FROM pragma_table_info('fact')").fetchall()
    assert [name for kind, name in names if kind == "table"] == ["entry", "fact"]
    assert not [name for kind, name in names if kind in ("trigger", "view")]
    assert "subject" not in {name for (name,) in others}


def test_entry_is_a_rowid_table_that_can_hold_a_fork(journal: Journal, path: Path) -> None:
    journal.append("note", now_ms=1, new_id="first-of-the-rows")
    with sqlite3.connect(path) as plain:
        plain.execute(
            "INSERT INTO entry SELECT 'second-of-the-rows', device, seq, at, clock, kind, rig, show, subject,"
            ' "by", detail, previous, digest FROM entry'
        )
        rows = plain.execute("SELECT rowid, device, seq FROM entry ORDER BY rowid").fetchall()
    assert rows == [(1, "left", 1), (2, "left", 1)]


def test_the_file_says_what_it_is(journal: Journal, path: Path) -> None:
    with sqlite3.connect(path) as plain:
        assert plain.execute("PRAGMA user_version").fetchone() == (SCHEMA_VERSION,)
        assert plain.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
        assert plain.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_what_a_show_needs_is_found_by_an_index(journal: Journal, path: Path) -> None:
    questions = [
        "SELECT * FROM entry WHERE rig = 'a' AND kind IN ('mark', 'void') AND show = 'b'",
        "SELECT seq FROM entry WHERE device = 'left' AND typeof(seq) = 'integer' ORDER BY seq DESC LIMIT 1",
        "SELECT clock FROM entry WHERE clock < 'g' ORDER BY clock DESC",
    ]
    with sqlite3.connect(path) as plain:
        for question in questions:
            steps = plain.execute(f"EXPLAIN QUERY PLAN {question}").fetchall()
            assert all("SEARCH" in step[3] for step in steps), (question, steps)
