"""Appending and reading: in order, across threads and processes, through kills."""

import random
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from checkapp.journal import kinds
from checkapp.journal.clock import is_clock
from checkapp.journal.entry import NO_ENTRY
from checkapp.journal.errors import EntryExists, JournalDamaged, NotStorable
from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify


def note(journal: Journal, number: int, **more: Any) -> Any:
    return journal.append("note", now_ms=1000 + number, new_id=f"entry-{number:012d}", **more)


def test_what_is_appended_is_returned_and_read_again(journal: Journal, path: Path) -> None:
    kind, subject, detail = kinds.mark("in 7", "faulty", symptom="hum", plan="a" * 64, check="c" * 16)
    written = journal.append(
        kind,
        now_ms=1_935_496_991_120,
        new_id="0123456789abcdef",
        rig="Barn",
        show="Night 1",
        subject=subject,
        by="Zoë",
        detail=detail,
    )
    assert written.at == "2031-05-02T14:03:11.120Z"
    assert (written.seq, written.previous, written.device) == (1, NO_ENTRY, "left")
    assert written.digest == written.computed_digest()
    assert is_clock(written.clock)
    assert written.details == detail
    with Journal.open(path, new_device="right") as again:
        assert again.entries() == [written]


def test_numbers_and_links_follow_and_the_clock_rises_when_time_does_not(journal: Journal) -> None:
    moments_ms = [5000, 9000, 100, 9000, 9001, 0]
    written = [
        journal.append("note", now_ms=now_ms, new_id=f"entry-{number:012d}") for number, now_ms in enumerate(moments_ms)
    ]
    assert [entry.seq for entry in written] == [1, 2, 3, 4, 5, 6]
    assert [entry.previous for entry in written] == [NO_ENTRY, *(entry.digest for entry in written[:-1])]
    clocks = [entry.clock for entry in written]
    assert clocks == sorted(set(clocks))
    assert journal.entries() == written
    assert verify(journal) == []


def test_the_clock_goes_on_from_the_highest_of_any_device(journal: Journal, path: Path) -> None:
    high = "00ffffffffff-ffff"
    with sqlite3.connect(path) as plain:
        for row in [("from-another-one", high), ("with-no-clock-at-all", "zebra"), ("with-hex-for-clock", "f")]:
            plain.execute("INSERT INTO entry (id, device, seq, clock) VALUES (?, 'other', 1, ?)", row)
        plain.execute("INSERT INTO entry (id, device, seq, clock) VALUES ('blob-clock', 'other', 1, x'ff')")
    plain.close()
    assert note(journal, 1).clock == "010000000000-0000"


def test_entries_are_found_by_rig_show_and_kind(journal: Journal) -> None:
    number = 0
    for rig in ("Barn", "Yard"):
        for show in ("Night 1", None):
            for kind in ("mark", "repair", "a kind of its own"):
                number += 1
                journal.append(kind, now_ms=number, new_id=f"entry-{number:012d}", rig=rig, show=show)
    assert len(journal.entries()) == 12
    assert {entry.rig for entry in journal.entries(rig="Yard")} == {"Yard"}
    found = journal.entries(rig="Barn", show="Night 1", kind=("mark", "a kind of its own"))
    assert [(entry.rig, entry.show, entry.kind) for entry in found] == [
        ("Barn", "Night 1", "mark"),
        ("Barn", "Night 1", "a kind of its own"),
    ]
    assert len(journal.entries(kind="repair")) == 4
    assert journal.entries(kind=()) == []


def test_a_row_that_cannot_be_read_does_not_hide_the_others(journal: Journal, path: Path, behind_its_back: Any) -> None:
    for number in range(6):
        note(journal, number, by="JD")
    with behind_its_back(path) as plain:
        plain.execute("UPDATE entry SET at = NULL WHERE seq = 2")
        plain.execute("UPDATE entry SET by = x'4a44' WHERE seq = 3")
        plain.execute("UPDATE entry SET by = CAST(x'ff4a' AS TEXT) WHERE seq = 4")
        plain.execute("UPDATE entry SET seq = 'five' WHERE seq = 5")
    read = journal.entries()
    assert [entry.seq for entry in read] == [1, 4, 6]
    assert read[1].by == "\ufffdJ"


def test_an_id_is_used_once(journal: Journal) -> None:
    note(journal, 1)
    with pytest.raises(EntryExists):
        note(journal, 1)
    assert note(journal, 2).seq == 2
    assert verify(journal) == []


@pytest.mark.parametrize("new_id", ["", "too-short", "With-Capitals-0123", "with_underscore_0123", "a" * 15, "é" * 16])
def test_what_is_no_id_is_refused(journal: Journal, new_id: str) -> None:
    with pytest.raises(ValueError, match="not an id"):
        journal.append("note", now_ms=1, new_id=new_id)


@pytest.mark.parametrize(
    "odd", [{"by": "\ud800"}, {"subject": "a\0b"}, {"detail": {"x": float("nan")}}, {"detail": {"x": "\udfff"}}]
)
def test_what_cannot_be_stored_is_refused_and_nothing_is_written(journal: Journal, odd: dict[str, Any]) -> None:
    note(journal, 1)
    with pytest.raises(NotStorable):
        note(journal, 2, **odd)
    assert note(journal, 3).seq == 2
    assert verify(journal) == []


def test_after_its_last_entries_were_removed_it_leaves_a_gap_and_makes_no_fork(
    journal: Journal, path: Path, behind_its_back: Any
) -> None:
    for number in range(5):
        note(journal, number)
    journal.close()
    with behind_its_back(path) as plain:
        plain.execute("DELETE FROM entry WHERE seq > 3")
    with Journal.open(path, new_device="left") as again:
        assert note(again, 9).seq == 6
        assert [fault.said for fault in verify(again)] == ["entries 4 to 5 of tablet left are missing"]


def test_without_its_own_record_it_goes_on_from_its_entries(journal: Journal, path: Path) -> None:
    note(journal, 1)
    with sqlite3.connect(path) as plain:
        plain.execute("DELETE FROM fact WHERE key = 'last'")
    plain.close()
    assert note(journal, 2).seq == 2
    assert [fault.name for fault in verify(journal)] == ["lost record"]


@pytest.mark.parametrize(
    "change", ["DELETE FROM fact", "UPDATE fact SET value = NULL", "UPDATE fact SET value = x'ff'"]
)
def test_a_journal_that_does_not_say_whose_it_is_takes_a_new_name(journal: Journal, path: Path, change: str) -> None:
    first = note(journal, 1)
    with sqlite3.connect(path) as plain:
        plain.execute(change)
    plain.close()
    assert [fault.name for fault in verify(journal)] == ["lost record"]
    assert note(journal, 2).device == "left-2"
    assert note(journal, 3).seq == 2
    assert journal.entries()[0] == first
    assert verify(journal) == []


def test_the_numbers_of_a_device_can_be_used_up(journal: Journal, path: Path) -> None:
    with sqlite3.connect(path) as plain:
        plain.execute(
            "INSERT INTO entry (id, device, seq, digest) VALUES ('the-last-there-can-be', 'left', ?, 'x')", (2**63 - 1,)
        )
    plain.close()
    with pytest.raises(JournalDamaged):
        note(journal, 1)


def test_opened_here_and_used_on_another_thread(journal: Journal) -> None:
    written: list[Any] = []
    worker = threading.Thread(target=lambda: written.append(note(journal, 1)))
    worker.start()
    worker.join()
    assert journal.entries() == written


def test_threads_may_share_it_or_have_their_own(journal: Journal, path: Path) -> None:
    def write(shared: Journal, first: int) -> None:
        for number in range(first, first + 25):
            note(shared, number)

    def write_alone(first: int) -> None:
        with Journal.open(path, new_device="none") as own:
            write(own, first)

    workers = [
        *(threading.Thread(target=write, args=(journal, first)) for first in (100, 200)),
        *(threading.Thread(target=write_alone, args=(first,)) for first in (300, 400)),
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert verify(journal) == []
    assert [entry.seq for entry in journal.entries()] == list(range(1, 101))


def test_closing_twice_is_no_fault(journal: Journal) -> None:
    journal.close()
    journal.close()


WRITE_ON = """
import sys
from pathlib import Path
from checkapp.journal.journal import Journal
path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
with Journal.open(path, new_device="left", create=True) as journal:
    for number in range(count):
        detail = {"text": "x" * (number % 700)}
        entry = journal.append("note", now_ms=number, new_id=f"{name}-{number:012d}", detail=detail)
        print(entry.id, flush=True)
"""


def test_processes_write_at_once_with_no_gap_and_no_fork(path: Path, children: Any) -> None:
    writers = [children.start(WRITE_ON, path, f"process-{number}", 60) for number in range(3)]
    told = [writer.communicate(timeout=60) for writer in writers]
    assert [err for _, err in told] == [""] * 3
    printed = {line for out, _ in told for line in out.splitlines()}
    with Journal.open(path, new_device="left") as journal:
        assert verify(journal) == []
        entries = journal.entries()
    assert [entry.seq for entry in entries] == list(range(1, 181))
    assert {entry.id for entry in entries} == printed


@pytest.mark.parametrize("seed", range(2))
def test_killed_in_the_middle_it_has_every_entry_that_was_told_of(path: Path, children: Any, seed: int) -> None:
    chance = random.Random(seed)
    printed: set[str] = set()
    for life in range(2):
        writers = [children.start(WRITE_ON, path, f"life-{life}-process-{number}", 10**9) for number in range(2)]
        for writer in writers:
            printed.add(writer.stdout.readline().strip())
        time.sleep(chance.uniform(0, 0.2))
        for writer in writers:
            writer.send_signal(signal.SIGKILL)
        for writer in writers:
            whole, _, _ = writer.stdout.read().rpartition("\n")
            assert writer.wait() == -signal.SIGKILL, writer.stderr.read()
            printed.update(whole.splitlines())
        with Journal.open(path, new_device="left") as journal:
            assert verify(journal) == []
            entries = journal.entries()
            note(journal, life)
        assert printed <= {entry.id for entry in entries}
        assert [entry.seq for entry in entries] == list(range(1, len(entries) + 1))
    assert len(printed) > 4


def test_the_room_is_entered_without_the_library() -> None:
    code = (
        "import sys, checkapp.journal, checkapp.journal.state, checkapp.journal.kinds\n"
        "raise SystemExit('sqlalchemy' in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
