"""Opening and making a journal: what is refused, by which name, in one line."""

import os
import shutil
import sqlite3
import subprocess
from pathlib import Path
from typing import Any

import pytest

from checkapp.journal import errors
from checkapp.journal.journal import Journal
from checkapp.journal.store import driver
from checkapp.journal.verify import verify
from checkapp.journal.views import TRIGGERS, VIEWS
from checkapp.rig.errors import CheckappError


def refused(path: Path, kind: type[CheckappError], *, create: bool = True, wait_ms: int = 5000) -> str:
    with pytest.raises(kind) as caught:
        Journal.open(path, new_device="left", create=create, wait_ms=wait_ms)
    (line,) = caught.value.lines
    assert "\n" not in line
    assert str(path) in line
    return line


def test_made_with_its_folders_and_keeps_its_device(tmp_path: Path) -> None:
    path = tmp_path / "new" / "folders" / "journal.db"
    with Journal.open(path, new_device="left", create=True) as journal:
        assert journal.device == "left"
    with Journal.open(path, new_device="right", create=True) as journal:
        assert journal.device == "left"


def test_two_journals_of_one_machine_are_two_devices(tmp_path: Path) -> None:
    for name in ("one", "two"):
        with Journal.open(tmp_path / name, new_device=name, create=True) as journal:
            assert journal.append("note", now_ms=1, new_id=f"only-entry-of-{name}").device == name


def test_a_missing_one_is_not_made_unasked(tmp_path: Path) -> None:
    path = tmp_path / "folder" / "journal.db"
    refused(path, errors.NoJournal, create=False)
    assert not path.parent.exists()


def test_an_empty_file_is_no_journal_and_can_become_one(path: Path) -> None:
    path.touch()
    refused(path, errors.NoJournal, create=False)
    with Journal.open(path, new_device="left", create=True) as journal:
        assert verify(journal) == []


@pytest.mark.parametrize("content", [b"in 7 is fine\n" * 500, b"x", b"SQLite format 3\0" + b"\xff" * 4080])
def test_another_file_is_refused_and_left_alone(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    with pytest.raises((errors.NotAJournal, errors.JournalDamaged)):
        Journal.open(path, new_device="left", create=True)
    assert path.read_bytes() == content


def test_somebody_elses_database_is_refused_and_left_alone(path: Path) -> None:
    with sqlite3.connect(path) as plain:
        plain.execute("CREATE TABLE entry (id)")
    plain.close()
    before = path.read_bytes()
    refused(path, errors.NotAJournal)
    assert path.read_bytes() == before


def newer(path: Path, *changes: str) -> None:
    with sqlite3.connect(path) as plain:
        for change in changes:
            plain.execute(change)
        plain.execute("PRAGMA user_version = 99")
    plain.close()


def test_a_journal_of_a_newer_version_is_read_and_not_written(journal: Journal, path: Path) -> None:
    written = journal.append("note", now_ms=1, new_id="written-beforehand")
    assert journal.notice is None
    journal.close()
    newer(path, "ALTER TABLE entry ADD COLUMN weather TEXT")
    before = path.read_bytes()
    for opened in (Journal.open(path, new_device="left", create=True), Journal.read(path)):
        with opened:
            assert opened.entries() == [written]
            assert "format 99" in (opened.notice or "")
            with pytest.raises(errors.JournalTooNew, match="update this program"):
                opened.append("note", now_ms=2, new_id="must-not-be-written")
            with pytest.raises(errors.JournalTooNew), opened.writing():
                pass
            assert opened.entries() == [written]
    assert path.read_bytes() == before


def test_a_newer_journal_without_what_we_read_is_refused(journal: Journal, path: Path) -> None:
    journal.close()
    newer(path, *(f"DROP {kind}" for kind in ("VIEW shows", "VIEW faults", "VIEW marks")), *SPLIT)
    assert "99" in refused(path, errors.JournalTooNew)


SPLIT = ["DROP VIEW repairs", "DROP VIEW connections", "ALTER TABLE entry RENAME COLUMN detail TO details"]


@pytest.mark.parametrize("version", [0, -1])
def test_a_journal_that_does_not_say_its_format_is_damaged(journal: Journal, path: Path, version: int) -> None:
    journal.close()
    with sqlite3.connect(path) as plain:
        plain.execute(f"PRAGMA user_version = {version}")
    plain.close()
    refused(path, errors.JournalDamaged)


def test_opened_to_be_read_it_takes_nothing_and_makes_nothing(journal: Journal, path: Path, tmp_path: Path) -> None:
    with pytest.raises(errors.NoJournal):
        Journal.read(tmp_path / "other.db")
    written = journal.append("note", now_ms=1, new_id="written-beforehand")
    with Journal.read(path) as reader:
        assert reader.entries() == [written]
        assert verify(reader) == []
        with pytest.raises(errors.JournalNotWritable):
            reader.append("note", now_ms=2, new_id="must-not-be-written")
        more = journal.append("note", now_ms=2, new_id="written-meanwhile")
        assert reader.entries() == [written, more]


READ_AS_NOBODY = """
import os, sys
from pathlib import Path
from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify
from checkapp.journal.views import TRIGGERS, VIEWS
path = Path(sys.argv[1])
with Journal.open(path, new_device="left", create=True) as journal:
    journal.append("note", now_ms=1, new_id="written-beforehand")
path.chmod(0o444)
path.parent.chmod(0o555)
if os.geteuid() == 0:
    os.seteuid(65534)
with Journal.read(path) as journal:
    print([entry.id for entry in journal.entries()], verify(journal))
"""


def test_a_journal_in_a_folder_that_may_not_be_written_is_read(children: Any) -> None:
    folder = Path(subprocess.check_output(["mktemp", "-d"], text=True).strip())
    try:
        assert children.run(READ_AS_NOBODY, folder / "journal.db").strip() == "['written-beforehand'] []"
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


@pytest.mark.parametrize("table", ["entry", "fact"])
def test_a_journal_without_one_of_its_tables_is_damaged(journal: Journal, path: Path, table: str) -> None:
    journal.close()
    with sqlite3.connect(path) as plain:
        plain.execute("PRAGMA legacy_alter_table = ON")
        for name in (*reversed(VIEWS), *TRIGGERS):
            plain.execute(f"DROP {'VIEW' if name in VIEWS else 'TRIGGER'} {name}")
        plain.execute(f"DROP TABLE {table}")
    plain.close()
    assert table in refused(path, errors.JournalDamaged)


def test_a_folder_is_refused(tmp_path: Path) -> None:
    refused(tmp_path, errors.NotAJournal)


def test_a_pipe_is_refused_without_waiting_on_it(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    refused(pipe, errors.NotAJournal)


@pytest.mark.parametrize("name", ["plain.txt/journal.db", "x" * 300, "plain.txt/deeper/journal.db"])
def test_a_place_that_cannot_be_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "plain.txt").write_text("a file, not a folder")
    with pytest.raises(errors.JournalNotWritable):
        Journal.open(tmp_path / name, new_device="left", create=True)


@pytest.mark.parametrize("name", ["with space #1?.db", "%41.db", "file:x?mode=ro", "Zoë ' \" ;.db", "\udcff.db"])
def test_odd_names_are_taken_as_they_are(tmp_path: Path, name: str) -> None:
    with Journal.open(tmp_path / name, new_device="left", create=True) as journal:
        journal.append("note", now_ms=1, new_id="entry-of-odd-name")
    assert (tmp_path / name).is_file()


def test_a_journal_kept_locked_is_given_up_after_the_wait(journal: Journal, path: Path) -> None:
    plain = sqlite3.connect(path, isolation_level=None)
    plain.execute("BEGIN IMMEDIATE")
    with (
        Journal.open(path, new_device="left", wait_ms=50) as impatient,
        pytest.raises(errors.JournalLocked) as caught,
    ):
        impatient.append("note", now_ms=1, new_id="has-to-wait-too-long")
    assert len(caught.value.lines) == 1
    plain.execute("ROLLBACK")
    plain.close()
    journal.append("note", now_ms=1, new_id="has-to-wait-too-long")
    assert verify(journal) == []


def test_each_commit_is_synced_and_the_wait_is_five_seconds(journal: Journal) -> None:
    with journal.as_stored() as connection:
        bare = driver(connection)
        assert bare.execute("PRAGMA synchronous").fetchone() == (2,)
        assert bare.execute("PRAGMA busy_timeout").fetchone() == (5000,)
        assert bare.execute("PRAGMA journal_mode").fetchone() == (b"wal",)


@pytest.mark.parametrize("name", ["", "two\nlines", "\0"])
def test_a_device_needs_a_name(path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="device"):
        Journal.open(path, new_device=name, create=True)


MAKE_AND_WRITE = """
import sys
from pathlib import Path
from checkapp.journal.journal import Journal
path, name = Path(sys.argv[1]), sys.argv[2]
print("ready", flush=True)
sys.stdin.readline()
with Journal.open(path, new_device=name, create=True) as journal:
    print(journal.append("note", now_ms=1, new_id=f"made-by-process-{name}").device)
"""


def test_made_by_several_processes_at_once_it_has_one_device(path: Path, children: Any) -> None:
    makers = [children.start(MAKE_AND_WRITE, path, f"p{number}") for number in range(4)]
    for maker in makers:
        assert maker.stdout.readline() == "ready\n"
    for maker in makers:
        maker.stdin.write("go\n")
        maker.stdin.close()
    told = [(maker.stdout.read(), maker.stderr.read()) for maker in makers]
    assert [err for _, err in told] == [""] * 4
    with Journal.open(path, new_device="other") as journal:
        assert verify(journal) == []
        assert len(journal.entries()) == 4
        assert {out.strip() for out, _ in told} == {journal.device}


REFUSED_TO_NOBODY = """
import os, sys
from pathlib import Path
from checkapp.journal.journal import Journal
from checkapp.rig.errors import CheckappError
folder = Path(sys.argv[1])
with Journal.open(folder / "shut" / "journal.db", new_device="left", create=True) as journal:
    journal.append("note", now_ms=1, new_id="written-beforehand")
(folder / "unreadable.db").write_bytes((folder / "shut" / "journal.db").read_bytes())
(folder / "unreadable.db").chmod(0)
(folder / "shut" / "journal.db").chmod(0o444)
(folder / "shut").chmod(0o555)
if os.geteuid() == 0:
    os.seteuid(65534)
for name in ("shut/other.db", "shut/new/other.db", "shut/journal.db", "unreadable.db"):
    try:
        with Journal.open(folder / name, new_device="left", create=True) as journal:
            journal.append("note", now_ms=1, new_id="must-not-be-written")
        print(name, "written")
    except CheckappError as error:
        print(type(error).__name__, *error.lines)
"""


def test_what_may_not_be_written_is_refused_in_one_line(tmp_path: Path, children: Any) -> None:
    folder = Path(subprocess.check_output(["mktemp", "-d"], text=True).strip())
    try:
        folder.chmod(0o777)
        told = children.run(REFUSED_TO_NOBODY, folder).splitlines()
    finally:
        (folder / "shut").chmod(0o755)
        shutil.rmtree(folder)
    assert [line.split()[0] for line in told] == ["JournalNotWritable"] * 4


OUT_OF_ROOM = """
import resource, sys
from pathlib import Path
from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify
from checkapp.journal.views import TRIGGERS, VIEWS
from checkapp.rig.errors import CheckappError
with Journal.open(Path(sys.argv[1]), new_device="left", create=True) as journal:
    saved = []
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (500_000, hard))
    failed = 0
    for number in range(400):
        try:
            entry = journal.append("note", now_ms=number, new_id=f"entry-{number:012d}", detail={"text": "x" * 500})
            saved.append(entry.id)
        except CheckappError as error:
            (line,) = error.lines
            failed += 1
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    saved.append(journal.append("note", now_ms=0, new_id="entry-after-there-was-room").id)
    assert failed, "the file could grow without end"
    assert verify(journal) == [], verify(journal)
    assert [entry.id for entry in journal.entries()] == saved
    print(failed, len(saved), line)
"""


def test_when_the_file_cannot_grow_what_was_saved_stays_and_writing_goes_on_later(path: Path, children: Any) -> None:
    failed, saved, *_ = children.run(OUT_OF_ROOM, path).split()
    assert int(failed) > 0
    assert int(saved) > 10


def test_a_full_database_is_named_so(journal: Journal) -> None:
    with journal.as_stored() as connection:
        bare = driver(connection)
    (pages,) = bare.execute("PRAGMA page_count").fetchone()
    bare.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(errors.DiskFull) as caught:
        journal.append("note", now_ms=1, new_id="too-long-for-the-rest", detail={"text": "x" * 100_000})
    assert len(caught.value.lines) == 1
    bare.execute("PRAGMA max_page_count = 1000000")
    journal.append("note", now_ms=1, new_id="too-long-for-the-rest", detail={"text": "x" * 100_000})
    assert verify(journal) == []
