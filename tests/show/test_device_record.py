"""What a machine remembers of a journal: it counts only where it was written, when it was written."""

import json
import os
import shutil
import subprocess
import sys
import time
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from checkapp.journal.facts import End
from checkapp.journal.journal import Journal
from checkapp.journal.verify import verify
from checkapp.show.device_record import DeviceRecord, record_of
from checkapp.show.machine import machine_name

END = End(41, "ab" * 32)
NUMBERS = count(1)
TICK_S = 0.12  # longer than what a file's time may be off by


def record(folder: Path, machine: str = "one", journal: str = "journal.db", **more: Any) -> DeviceRecord:
    return DeviceRecord(folder / journal, [folder / "home" / "devices"], machine, **more)


def remembered(folder: Path) -> list[Path]:
    return sorted((folder / "home" / "devices").iterdir())


def test_what_was_noted_is_remembered(tmp_path: Path) -> None:
    first = record(tmp_path)
    assert first.last("left") is None
    for seq in (7, 8, 1041):
        first.note("left", End(seq, "cd" * 32))
    first.note("right", END)
    first.note("left", End(1042, "cd" * 32))
    for known in (first, record(tmp_path)):
        assert known.last("left") == End(1042, "cd" * 32)
        assert known.last("right") == END
        assert known.last("other") is None
    first.close()
    first.close()
    assert record(tmp_path).last("left") == End(1042, "cd" * 32)


def test_it_is_of_one_machine_and_one_path(tmp_path: Path) -> None:
    record(tmp_path).note("left", END)
    assert record(tmp_path, machine="two").last("left") is None
    assert record(tmp_path, journal="copy.db").last("left") is None
    assert record(tmp_path, journal="other/../journal.db").last("left") == END


@pytest.mark.parametrize("name", ["", "../../x", "a/b", "\0", "x" * 500, "Zoë ' \"", "\udcff"])
def test_odd_names_are_remembered_too(tmp_path: Path, name: str) -> None:
    record(tmp_path).note(name, END)
    assert record(tmp_path).last(name) == END
    assert [path.parent.name for path in remembered(tmp_path)] == ["devices"]


def with_times(source: Path, target: Path) -> None:
    shutil.copy2(source, target)


def without_times(source: Path, target: Path) -> None:
    shutil.copyfile(source, target)


def over_it(source: Path, target: Path) -> None:
    target.write_bytes(source.read_bytes())
    os.utime(target, ns=(source.stat().st_atime_ns, source.stat().st_mtime_ns))


@pytest.mark.parametrize("put_back", [with_times, without_times, over_it])
def test_a_record_that_was_put_back_is_not_believed(tmp_path: Path, put_back: Any) -> None:
    first = record(tmp_path)
    first.note("left", END)
    (path,) = remembered(tmp_path)
    with_times(path, tmp_path / "kept")
    time.sleep(TICK_S)
    first.note("left", End(50, "cd" * 32))
    assert record(tmp_path).last("left") == End(50, "cd" * 32)
    put_back(tmp_path / "kept", path)
    assert record(tmp_path).last("left") is None
    first.note("left", End(51, "cd" * 32))
    assert record(tmp_path).last("left") == End(51, "cd" * 32)


@pytest.mark.parametrize("content", [b"", b"{", b"null", b"[]", b"{}", b"\xff", b'{"last": 7}', b"[" * 9000])
def test_a_torn_record_is_none(tmp_path: Path, content: bytes) -> None:
    record(tmp_path).note("left", END)
    (path,) = remembered(tmp_path)
    path.write_bytes(content)
    assert record(tmp_path).last("left") is None


@pytest.mark.parametrize("key", ["machine", "journal", "device", "last", "written_ns", "skew_ns"])
def test_a_record_that_lacks_something_is_none(tmp_path: Path, key: str) -> None:
    record(tmp_path).note("left", END)
    (path,) = remembered(tmp_path)
    told = json.loads(path.read_bytes())
    del told[key]
    path.write_text(json.dumps(told))
    assert record(tmp_path).last("left") is None


@pytest.mark.parametrize("off_s", [-3600, 7, 86400 * 3000])
def test_a_disk_that_goes_by_another_clock_is_allowed_for(tmp_path: Path, off_s: int) -> None:
    def now_ns() -> int:
        return time.time_ns() - off_s * 1_000_000_000

    first = record(tmp_path, now_ns=now_ns)
    for seq in range(1, 5):
        first.note("left", End(seq, "cd" * 32))
        assert record(tmp_path).last("left") == End(seq, "cd" * 32)
    (path,) = remembered(tmp_path)
    time.sleep(TICK_S)
    path.write_bytes(path.read_bytes())
    assert record(tmp_path).last("left") is None


WITHOUT_A_HOME = """
import os, sys
from pathlib import Path
from checkapp.journal.facts import End
from checkapp.show.device_record import record_of
folder = Path(sys.argv[1])
(folder / "home").mkdir()
(folder / "home").chmod(0o555)
(folder / "work").mkdir()
(folder / "work").chmod(0o777)
if os.geteuid() == 0:
    os.seteuid(65534)
def made():
    return record_of(folder / "work" / "journal.db", folder / "home", "one")
made().note("left", End(1, "ab" * 32))
print(made().last("left").seq, os.listdir(folder / "work"))
os.chmod(folder / "work", 0o777) if os.geteuid() == 0 else None
nowhere = record_of(folder / "home" / "journal.db", folder / "home", "one")
nowhere.note("left", End(1, "ab" * 32))
print(nowhere.last("left"))
nowhere.close()
"""


def test_without_a_folder_of_the_user_it_lies_beside_the_journal_or_nowhere() -> None:
    folder = Path(subprocess.check_output(["mktemp", "-d"], text=True).strip())
    folder.chmod(0o777)
    try:
        done = subprocess.run(
            [sys.executable, "-c", WITHOUT_A_HOME, folder], capture_output=True, text=True, check=False
        )
    finally:
        (folder / "home").chmod(0o755)
        shutil.rmtree(folder)
    assert (done.stdout.splitlines(), done.stderr) == (["1 ['journal-devices']", "None"], "")


def test_doubt_about_one_of_two_records_is_doubt(tmp_path: Path) -> None:
    both = [tmp_path / "home" / "devices", tmp_path / "beside"]
    DeviceRecord(tmp_path / "journal.db", both[1:], "one").note("left", End(3, "cd" * 32))
    DeviceRecord(tmp_path / "journal.db", both, "one").note("left", END)
    assert DeviceRecord(tmp_path / "journal.db", both, "one").last("left") == END
    (path,) = remembered(tmp_path)
    path.write_bytes(b"{}")
    assert DeviceRecord(tmp_path / "journal.db", both, "one").last("left") is None


def test_this_machine_has_one_name() -> None:
    code = "from checkapp.show.machine import machine_name; print(machine_name())"
    other = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip()
    assert machine_name() == other
    assert len(other) == 16


def opened(home: Path) -> Journal:
    journal = home / "journal.db"
    return Journal.open(
        journal, new_device=f"device-{next(NUMBERS)}", create=True, outside=record_of(journal, home, machine_name())
    )


def marks(home: Path, entries: int = 1) -> list[tuple[str, int]]:
    with opened(home) as journal:
        made = [
            journal.append("note", now_ms=number, new_id=f"entry-{number:012d}")
            for _, number in zip(range(entries), NUMBERS, strict=False)
        ]
    return [(entry.device, entry.seq) for entry in made]


def test_a_whole_folder_that_is_copied_or_put_back_makes_no_fork(tmp_path: Path) -> None:
    home, kept, other = tmp_path / "home", tmp_path / "kept", tmp_path / "other"
    written = marks(home, 3)
    shutil.copytree(home, kept)
    shutil.copytree(home, other)
    written += marks(other, 2)
    written += marks(home, 2)
    time.sleep(TICK_S)
    shutil.rmtree(home)
    shutil.copytree(kept, home)
    written += marks(home, 2)
    written += marks(home)
    time.sleep(TICK_S)
    shutil.copytree(kept, home, dirs_exist_ok=True)
    written += marks(home, 2)
    assert len(set(written)) == len(written)
    assert len({device for device, _ in written}) == 4
    with opened(home) as journal:
        assert {fault.name for fault in verify(journal)} <= {"gap"}


def test_started_again_and_again_it_is_one_device(tmp_path: Path) -> None:
    written = [mark for _ in range(5) for mark in marks(tmp_path / "home", 2)]
    assert written == [(written[0][0], seq) for seq in range(1, 11)]


KILLED = """
import os, signal, sys
from pathlib import Path
sys.path.insert(0, sys.argv[2])
from test_device_record import opened
with opened(Path(sys.argv[1])) as journal:
    entry = journal.append("note", now_ms=1, new_id=f"entry-{sys.argv[3]:0>12}")
    print(entry.device, entry.seq, flush=True)
    os.kill(os.getpid(), signal.SIGKILL)
"""


def test_killed_again_and_again_it_is_one_device(tmp_path: Path) -> None:
    written = []
    for number in range(4):
        words = [sys.executable, "-c", KILLED, tmp_path / "home", Path(__file__).parent, str(number)]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        assert done.stdout, done.stderr
        written.append(done.stdout.split())
    assert [int(seq) for _, seq in written] == [1, 2, 3, 4]
    assert len({device for device, _ in written}) == 1
