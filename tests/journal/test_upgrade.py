"""Journals of every format there has been are brought up to date when they are opened, and nothing of them is lost."""

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from checkapp.journal import errors, upgrade
from checkapp.journal.journal import Journal
from checkapp.journal.layout import missing
from checkapp.journal.schema import SCHEMA_VERSION
from checkapp.journal.state import show_state
from checkapp.journal.taking_in import take_in
from checkapp.journal.verify import verify

FORMATS = {1: Path(__file__).parent / "formats" / "format_1.sqlite"}
"""A journal of each format before the present one, written by the program of its time."""


@pytest.fixture(params=sorted(FORMATS))
def version(request: pytest.FixtureRequest) -> int:
    return int(request.param)


@pytest.fixture
def old(version: int, path: Path) -> Path:
    shutil.copy(FORMATS[version], path)
    return path


def rows(path: Path) -> tuple[list[Any], list[Any], tuple[int]]:
    with closing(sqlite3.connect(path)) as plain:
        entries = plain.execute("SELECT rowid, * FROM entry ORDER BY rowid").fetchall()
        facts = plain.execute("SELECT * FROM fact ORDER BY key").fetchall()
        return entries, facts, plain.execute("PRAGMA user_version").fetchone()


def test_there_is_a_journal_of_every_format_before_this_one() -> None:
    assert sorted(FORMATS) == list(range(1, SCHEMA_VERSION))


def test_brought_up_to_date_it_holds_what_it_held(version: int, old: Path, tmp_path: Path) -> None:
    entries, facts, _ = rows(old)
    with Journal.open(old, new_device="new") as journal:
        assert verify(journal) == []
        assert journal.device == "left"
        state = show_state(journal.entries(), "Barn Stage", "Night 1")
        assert (state.signed_off, state.lines["in 3"].verdict, len(state.lines)) == (True, "faulty", 6)
        following = journal.append("note", now_ms=1, new_id="written-afterwards")
        assert following.seq == len(entries) + 1
    after = rows(old)
    assert after[0][:-1] == entries
    assert dict(facts).keys() <= dict(after[1]).keys()
    assert after[2] == (SCHEMA_VERSION,)
    assert verify(Journal.read(old)) == []
    (copy,) = (tmp_path / "backup").iterdir()
    assert copy.name == f"journal-format-{version}.db"
    assert rows(copy) == (entries, facts, (version,))


def test_it_is_laid_out_as_a_new_one(old: Path, tmp_path: Path) -> None:
    Journal.open(old, new_device="new").close()
    Journal.open(tmp_path / "new.db", new_device="new", create=True).close()
    shapes = []
    for path in (old, tmp_path / "new.db"):
        with closing(sqlite3.connect(path)) as plain:
            assert missing(plain) == []
            shapes.append(
                (
                    plain.execute("SELECT type, name, tbl_name FROM sqlite_master ORDER BY name").fetchall(),
                    plain.execute("SELECT * FROM pragma_table_info('entry')").fetchall(),
                    plain.execute("PRAGMA journal_mode").fetchone(),
                )
            )
    assert shapes[0] == shapes[1]


def test_opened_to_be_read_it_stays_as_it_is(old: Path, tmp_path: Path) -> None:
    before = old.read_bytes()
    with Journal.read(old) as journal:
        assert len(journal.entries()) == 17
        assert verify(journal) == []
    assert old.read_bytes() == before
    assert not (tmp_path / "backup").exists()


def test_both_contents_of_an_id_can_be_kept_afterwards(old: Path) -> None:
    with Journal.open(old, new_device="new") as journal:
        changed = replace(journal.entries()[4], by="XX")
        assert take_in(journal, [changed]).new == 1
        assert changed in journal.entries()


def test_a_second_opening_makes_no_second_copy_and_another_old_journal_makes_its_own(old: Path, tmp_path: Path) -> None:
    for _ in range(2):
        Journal.open(old, new_device="new").close()
    shutil.copy(FORMATS[1], old)
    Journal.open(old, new_device="new").close()
    assert sorted(path.name for path in (tmp_path / "backup").iterdir()) == [
        "journal-format-1-2.db",
        "journal-format-1.db",
    ]


def test_without_room_for_the_copy_nothing_is_changed(old: Path, tmp_path: Path) -> None:
    (tmp_path / "backup").write_text("a file where the folder should be")
    before = rows(old)
    with pytest.raises(errors.JournalNotWritable):
        Journal.open(old, new_device="new")
    assert rows(old) == before


def test_when_a_step_fails_nothing_is_changed(old: Path, version: int, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = upgrade._STEPS[version + 1]

    def fails(op: Any) -> None:
        whole(op)
        raise OSError(28, "No space left on device")

    monkeypatch.setitem(upgrade._STEPS, version + 1, fails)
    before = rows(old)
    with pytest.raises(errors.JournalError):
        Journal.open(old, new_device="new")
    monkeypatch.undo()
    assert rows(old) == before
    Journal.open(old, new_device="new").close()


def test_one_that_says_it_is_old_and_is_not_is_damaged(journal: Journal, path: Path) -> None:
    journal.append("note", now_ms=1, new_id="written-beforehand")
    journal.close()
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("PRAGMA user_version = 1")
    before = rows(path)
    with pytest.raises(errors.JournalDamaged, match="laid out otherwise"):
        Journal.open(path, new_device="new")
    assert rows(path) == before


OPEN = """
import sys
from pathlib import Path
from checkapp.journal.journal import Journal
print("ready", flush=True)
sys.stdin.readline()
with Journal.open(Path(sys.argv[1]), new_device="new") as journal:
    journal.append("note", now_ms=1, new_id=f"after-upgrade-{sys.argv[2]}-0000")
"""


def test_opened_by_several_processes_at_once_it_is_brought_up_to_date_once(
    old: Path, tmp_path: Path, children: Any
) -> None:
    openers = [children.start(OPEN, old, number) for number in range(3)]
    for opener in openers:
        assert opener.stdout.readline() == "ready\n"
    for opener in openers:
        opener.stdin.write("go\n")
        opener.stdin.close()
    assert [(opener.stdout.read(), opener.stderr.read()) for opener in openers] == [("", "")] * 3
    with Journal.read(old) as journal:
        assert verify(journal) == []
        assert len(journal.entries()) == 17 + 3
    assert len(list((tmp_path / "backup").iterdir())) == 1


def test_the_library_for_it_is_loaded_only_then(path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from checkapp.journal.journal import Journal\n"
        "Journal.open(Path(sys.argv[1]), new_device='new', create=True).close()\n"
        "raise SystemExit('alembic' in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code, str(path)], check=True)
