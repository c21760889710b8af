"""The tables of a journal file, as the library finds them."""

import sqlite3
from pathlib import Path

import pytest

from checkapp.journal.entry import COLUMNS
from checkapp.journal.journal import Journal
from checkapp.journal.layout import missing
from checkapp.journal.schema import APPLICATION_ID, MAY_CHANGE, SCHEMA_VERSION
from checkapp.journal.verify import verify
from checkapp.journal.views import TRIGGERS, VIEWS


def test_entry_has_the_columns_of_the_log(journal: Journal, path: Path) -> None:
    with sqlite3.connect(path) as plain:
        columns = plain.execute("SELECT name, type FROM pragma_table_info('entry')").fetchall()
    assert tuple(name for name, _ in columns) == COLUMNS
    assert {kind for name, kind in columns if name != "seq"} == {"TEXT"}
    assert dict(columns)["seq"] == "INTEGER"


def test_nothing_else_has_a_column_subject(journal: Journal, path: Path) -> None:
    with sqlite3.connect(path) as plain:
        names = plain.execute("SELECT type, name FROM sqlite_master ORDER BY name").fetchall()
        assert [name for kind, name in names if kind == "table"] == ["entry", "fact"]
        for name in ["fact", *(name for kind, name in names if kind == "view")]:
            columns = plain.execute(f"SELECT name FROM pragma_table_info('{name}')").fetchall()
            assert columns
            assert ("subject",) not in columns


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET by = 'XX'",
        "UPDATE entry SET seq = seq",
        "UPDATE OR REPLACE entry SET id = 'another-id-0123456'",
        "UPDATE entry SET rowid = 9",
        "DELETE FROM entry",
        "DELETE FROM entry WHERE seq = 1",
        "INSERT INTO entry (rowid, id) VALUES (1, 'x') ON CONFLICT DO UPDATE SET id = 'y'",
    ],
)
def test_an_entry_is_never_changed_nor_removed(journal: Journal, path: Path, statement: str) -> None:
    written = journal.append("note", now_ms=1, new_id="first-of-the-rows")
    with sqlite3.connect(path) as plain, pytest.raises(sqlite3.IntegrityError):
        plain.execute(statement)
    plain.close()
    assert journal.entries() == [written]


def test_replacing_by_id_adds_and_takes_nothing_away(journal: Journal, path: Path) -> None:
    written = journal.append("note", now_ms=1, new_id="first-of-the-rows")
    with sqlite3.connect(path) as plain:
        plain.execute("INSERT OR REPLACE INTO entry (id, device, seq) VALUES ('first-of-the-rows', 'left', 1)")
    plain.close()
    assert written in journal.entries()
    assert "duplicate id" in {fault.name for fault in verify(journal)}


@pytest.mark.parametrize("name", [*TRIGGERS, *VIEWS, "entry_by_id", "entry_by_undone"])
def test_what_was_taken_away_or_made_otherwise_is_seen(journal: Journal, path: Path, name: str) -> None:
    with sqlite3.connect(path) as plain:
        assert missing(plain) == []
        (kind,) = plain.execute("SELECT type FROM sqlite_master WHERE name = ?", (name,)).fetchone()
        plain.execute(f"DROP {kind} {name}")
        plain.commit()
        assert name in missing(plain)
    plain.close()
    (fault, *_) = verify(journal)
    assert (fault.name, name in fault.said) == ("changed layout", True)


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
        "SELECT * FROM entry WHERE id IN ('a', 'b')",
        "SELECT * FROM entry WHERE kind = 'void' AND subject IN ('a', 'b')",
        f"SELECT * FROM entry WHERE rig = 'a' AND {MAY_CHANGE}",
    ]
    with sqlite3.connect(path) as plain:
        plans = {question: plain.execute(f"EXPLAIN QUERY PLAN {question}").fetchall() for question in questions}
    for question, steps in plans.items():
        assert all("SEARCH" in step[3] for step in steps), (question, steps)
    assert "entry_by_change" in str(plans[questions[-1]])
