"""The merge command: what it says, on which stream, with which status."""

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from checkapp.journal.journal import Journal
from checkapp.show.merging import merge_files


def filled(path: Path, entries: int, first: int = 0) -> None:
    with Journal.open(path, new_device=path.stem, create=True) as journal:
        for number in range(first, first + entries):
            journal.append("note", now_ms=number, new_id=f"{path.stem}-{number:012d}")


def test_it_says_what_came_in_and_what_was_there(tmp_path: Path) -> None:
    filled(tmp_path / "right.db", 3)
    filled(tmp_path / "far.db", 1)
    said = merge_files([tmp_path / "right.db"], tmp_path / "new" / "journal.db")
    assert (said.done, said.wrong) == (("right.db: 3 entries came in, 0 were there already",), ())
    said = merge_files([tmp_path / "right.db", tmp_path / "far.db"], tmp_path / "new" / "journal.db")
    assert said.done == (
        "right.db: 0 entries came in, 3 were there already",
        "far.db: 1 entry came in, 0 were there already",
        "together: 1 entry came in, 3 were there already",
    )


@pytest.fixture
def command(tmp_path: Path) -> list[str]:
    filled(tmp_path / "right.db", 2)
    return [sys.executable, "-m", "checkapp", "journal", "merge", "--journal", str(tmp_path / "journal.db")]


def test_without_a_terminal_nothing_is_drawn(command: list[str], tmp_path: Path) -> None:
    done = subprocess.run([*command, tmp_path / "right.db"], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("right.db: 2 entries came in, 0 were there already\n", "")


def test_on_a_terminal_progress_is_drawn_beside_the_output(command: list[str], tmp_path: Path) -> None:
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [*command, tmp_path / "right.db"], stdout=subprocess.PIPE, stderr=theirs, text=True, check=True
    )
    os.close(theirs)
    drawn = os.read(ours, 100_000).decode()
    os.close(ours)
    assert "right.db" in drawn
    assert done.stdout == "right.db: 2 entries came in, 0 were there already\n"


@pytest.mark.parametrize("content", [None, b"", b"SQLite format 3\0" + b"\1" * 5000, b"line,verdict\n"])
def test_what_is_no_journal_ends_with_2_and_one_line(command: list[str], tmp_path: Path, content: bytes | None) -> None:
    other = tmp_path / "other"
    if content is not None:
        other.write_bytes(content)
    done = subprocess.run([*command, tmp_path / "right.db", other], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, len(done.stderr.splitlines())) == (2, "", 1)
    assert str(other) in done.stderr
    with Journal.read(tmp_path / "journal.db") as journal:
        assert journal.entries() == []


def test_what_is_wrong_ends_with_1(command: list[str], tmp_path: Path) -> None:
    with Journal.open(tmp_path / "right.db", new_device="right") as journal, journal.writing() as bare:
        bare.execute(
            "INSERT INTO entry SELECT 'odd-odd-odd-odd-odd', device, 9, at, clock, kind, rig, show, subject, "
            '"by", detail, previous, digest FROM entry WHERE seq = 1'
        )
    done = subprocess.run([*command, tmp_path / "right.db"], capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stdout == "right.db: 3 entries came in, 0 were there already\n"
    assert "entries 3 to 8 of tablet right are missing" in done.stderr.splitlines()
