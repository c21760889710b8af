"""Copies of a journal in use: consistent, looked at, nobody's to write on, the last ten days kept."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from checkapp.journal import kinds
from checkapp.journal.backup import KEPT_DAYS, back_up, back_up_today, backups_of, daily, day_file
from checkapp.journal.errors import DiskFull, JournalNotWritable
from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify

WRITER = """
import sys
from pathlib import Path
from checkapp.journal import kinds
from checkapp.journal.journal import Journal
with Journal.open(Path(sys.argv[1]), new_device="writer", create=True) as journal:
    for number in range(100000):
        kind, subject, detail = kinds.mark("in 1", "ok", plan="5b" * 32, check="c")
        made = journal.append(kind, now_ms=number, new_id=f"writer-{number:016d}", subject=subject, detail=detail)
        print(made.id, flush=True)
"""


def fill(journal: Journal, count: int, name: str = "filled") -> None:
    for number in range(count):
        kind, subject, detail = kinds.mark("in 1", "ok", plan="5b" * 32, check="c")
        journal.append(kind, now_ms=number, new_id=f"{name}-{number:016d}", subject=subject, detail=detail)


def ids(path: Path) -> list[str]:
    with Journal.read(path) as copy:
        assert verify(copy) == []
        return [entry.id for entry in copy.entries()]


def test_a_copy_holds_all_entries_and_is_sound(journal: Journal, tmp_path: Path) -> None:
    fill(journal, 30)
    made = back_up(journal, tmp_path / "stick" / "copies", "2031-05-02-120000Z")
    assert made.path == tmp_path / "stick" / "copies" / f"{journal.path.stem}-2031-05-02-120000Z.db"
    assert made.entries == 30
    assert ids(made.path) == [entry.id for entry in journal.entries()]
    assert [one.name for one in made.path.parent.iterdir()] == [made.path.name]


def test_nothing_is_written_over(journal: Journal, tmp_path: Path) -> None:
    fill(journal, 1)
    first, second = (back_up(journal, tmp_path / "copies", "now") for _ in range(2))
    assert first.path != second.path
    assert len(list((tmp_path / "copies").iterdir())) == 2


def test_a_copy_taken_while_another_program_writes_holds_what_was_saved_before_it(
    path: Path, tmp_path: Path, children: Any
) -> None:
    writer = children.start(WRITER, path)
    saved: list[str] = []
    for number in range(5):
        saved += [writer.stdout.readline().strip() for _ in range(20)]
        with Journal.read(path) as journal:
            made = back_up(journal, tmp_path / "copies", str(number))
        held = ids(made.path)
        assert set(saved) <= set(held)
        assert len(held) == made.entries
        assert held == [f"writer-{at:016d}" for at in range(len(held))]


def test_whoever_writes_to_a_copy_does_so_under_a_new_name(journal: Journal, tmp_path: Path) -> None:
    fill(journal, 3)
    made = back_up(journal, tmp_path / "copies", "now")
    with Journal.open(made.path, new_device="other") as copy:
        assert copy.append("note", now_ms=1, new_id="0123456789abcdef").device == "other"
        assert verify(copy) == []


def test_of_daily_copies_the_last_ten_stay_and_nothing_else_is_touched(journal: Journal) -> None:
    fill(journal, 1)
    other = journal.path.parent / "backup" / "journal-format-1.db"
    other.parent.mkdir()
    other.write_text("kept")
    for day in range(1, 16):
        assert back_up_today(journal, f"2031-05-{day:02d}") is not None
    assert [one.name for one in daily(journal.path)] == [
        f"{journal.path.stem}-day-2031-05-{day:02d}.db" for day in range(16 - KEPT_DAYS, 16)
    ]
    assert other.read_text() == "kept"
    assert back_up_today(journal, "2031-05-15") is None
    assert backups_of(journal.path)[0] == day_file(journal.path, "2031-05-15")


def test_of_an_empty_journal_none_is_made_yet(journal: Journal) -> None:
    assert back_up_today(journal, "2031-05-01") is None
    assert daily(journal.path) == []


def test_no_daily_copy_takes_the_room_that_marks_need(journal: Journal, monkeypatch: pytest.MonkeyPatch) -> None:
    fill(journal, 1)
    usage = shutil.disk_usage(journal.path.parent)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage._replace(free=5_000_000))
    with pytest.raises(DiskFull, match="only 5 MB are free"):
        back_up_today(journal, "2031-05-01")
    assert daily(journal.path) == []


def test_a_folder_that_cannot_be_made_is_said_and_nothing_is_left(journal: Journal, tmp_path: Path) -> None:
    fill(journal, 1)
    (tmp_path / "file").write_text("")
    with pytest.raises(JournalNotWritable, match="file"):
        back_up(journal, tmp_path / "file", "now")
    assert [one.name for one in tmp_path.iterdir() if "part" in one.name] == []
