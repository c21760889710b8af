"""A damaged journal: what is in its sound pages comes back, nothing is invented, what is missing is told."""

import os
import random
import re
import shutil
import sqlite3
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal.backup import back_up
from checkapp.journal.errors import NoJournal
from checkapp.journal.journal import Journal
from checkapp.journal.pages import sound_rows
from checkapp.journal.rescue import Rescued, is_sound, rescue
from checkapp.journal.verify import verify

sys.path.append(str(Path(__file__).parent))
from flipping import make_journal

PAGE = 4096
MISSING = re.compile(r"entr(?:y|ies) (\d+)(?: to (\d+))? of tablet \w+ (?:is|are) missing")


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sound") / "journal.db"
    make_journal(path)
    return path


def rows(path: Path) -> set[tuple[Any, ...]]:
    with Journal.read(path) as journal:
        return {entry.values for entry in journal.entries()}


def damaged(sound: Path, folder: Path, content: bytes) -> Path:
    path = folder / "journal.db"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    path.write_bytes(content)
    return path


def saved(path: Path, **more: Any) -> Rescued:
    return rescue(path, new_device="new", stamp="now", **more)


def missing(found: Rescued) -> int:
    spans = [MISSING.fullmatch(fault.said) for fault in found.taken.faults]
    return sum(int(span[2] or span[1]) - int(span[1]) + 1 for span in spans if span)


def whole_pages(sound: Path, hit: set[int]) -> set[tuple[Any, ...]]:
    """The entries that need none of the pages that were hit, by leaving one page out at a time."""
    content = sound.read_bytes()
    lost: set[tuple[Any, ...]] = set()
    everything = rows(sound)
    for page in hit:
        without = bytearray(content)
        without[page * PAGE : (page + 1) * PAGE] = bytes(PAGE)
        other = sound.with_name(f"without-{page}.db")
        if not other.exists():
            other.write_bytes(without)
        lost |= everything - set(sound_rows(other))
    return everything - lost


def test_a_sound_file_is_found_so_and_a_damaged_one_is_not(sound: Path, tmp_path: Path) -> None:
    assert is_sound(sound)
    content = bytearray(sound.read_bytes())
    content[5 * PAGE : 6 * PAGE] = os.urandom(PAGE)
    assert not is_sound(damaged(sound, tmp_path / "hit", bytes(content)))
    assert not is_sound(damaged(sound, tmp_path / "head", bytes(PAGE) + bytes(content[PAGE:])))


def test_of_a_sound_file_every_entry_comes_over(sound: Path, tmp_path: Path) -> None:
    path = damaged(sound, tmp_path / "whole", sound.read_bytes())
    found = saved(path)
    assert rows(path) == rows(sound)
    assert (found.own, found.before, found.backups, found.taken.faults) == (100, 0, 0, ())


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    hits=st.sets(st.integers(0, 26), min_size=1, max_size=4),
    how=st.sampled_from(["noise", "zeros", "one byte"]),
    seed=st.integers(0, 2**32),
)
def test_what_stands_in_sound_pages_comes_back_and_nothing_else(
    sound: Path, tmp_path: Path, hits: set[int], how: str, seed: int
) -> None:
    chance = random.Random(seed)
    content = bytearray(sound.read_bytes())
    assert len(content) == 27 * PAGE
    for page in hits:
        if how == "one byte":
            content[page * PAGE + chance.randrange(PAGE)] ^= 1 << chance.randrange(8)
        else:
            content[page * PAGE : (page + 1) * PAGE] = chance.randbytes(PAGE) if how == "noise" else bytes(PAGE)
    path = damaged(sound, tmp_path / "hit", bytes(content))
    found = saved(path, even_nothing=True)
    true, got = rows(sound), rows(path)
    assert whole_pages(sound, hits) <= got
    changed = [fault for fault in found.taken.faults if fault.name in ("edited", "unreadable value", "duplicate id")]
    assert len(got - true) <= len(changed)  # what was read otherwise than it was written is kept, and told
    assert found.aside.read_bytes() == bytes(content)
    with Journal.open(path, new_device="next") as journal:
        told = verify(journal)
        assert {fault.name for fault in told} <= {"gap", "edited", "unreadable value", "broken link", "duplicate id"}
        assert journal.append("note", now_ms=1, new_id="0123456789abcdef").device in ("new", "next")


def test_what_is_missing_is_told_to_the_number_where_the_ends_are_known(sound: Path, tmp_path: Path) -> None:
    content = bytearray(sound.read_bytes())
    for page in (12, 19, 25):
        content[page * PAGE : (page + 1) * PAGE] = bytes(PAGE)
    path = damaged(sound, tmp_path / "hit", bytes(content))
    ends = {"left": 60, "right": 40}
    found = saved(path, remembered=ends.get)
    assert len(rows(path)) + missing(found) == 100


@pytest.mark.parametrize("cut", [0.3, 0.6, 0.9])
def test_a_file_that_was_cut_off(sound: Path, tmp_path: Path, cut: float) -> None:
    content = sound.read_bytes()
    path = damaged(sound, tmp_path / "cut", content[: int(cut * len(content))])
    found = saved(path, even_nothing=True, remembered={"left": 60, "right": 40}.get)
    kept = {at for at in range(27) if (at + 1) * PAGE <= int(cut * len(content))}
    assert whole_pages(sound, set(range(27)) - kept) <= rows(path) <= rows(sound)
    assert found.own == len(rows(path))


def test_without_its_head_the_pages_are_still_read(sound: Path, tmp_path: Path) -> None:
    content = sound.read_bytes()
    path = damaged(sound, tmp_path / "head", bytes(PAGE) + content[PAGE:])
    saved(path)
    assert rows(path) == rows(sound)


def test_what_stands_only_in_the_log_comes_back_too(sound: Path, tmp_path: Path) -> None:
    folder = tmp_path / "log"
    path = damaged(sound, folder, sound.read_bytes())
    with Journal.open(path, new_device="left") as journal:
        for number in range(40):
            journal.append("note", now_ms=number, new_id=f"in-the-log-{number:012d}")
        held = rows(path)
        left = tmp_path / "left"
        left.mkdir()
        for name in ("journal.db", "journal.db-wal"):
            shutil.copy(folder / name, left / name)
    content = bytearray((left / "journal.db").read_bytes())
    content[:PAGE] = bytes(PAGE)
    (left / "journal.db").write_bytes(content)
    found = saved(left / "journal.db")
    assert rows(left / "journal.db") == held
    assert Path(f"{found.aside}-wal").exists()
    assert not Path(f"{left / 'journal.db'}-wal").exists()


def test_what_was_never_committed_does_not_come_back(sound: Path, tmp_path: Path) -> None:
    path = damaged(sound, tmp_path / "open", sound.read_bytes())
    bare = sqlite3.connect(path, isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA cache_size = 1")
    with Journal.open(tmp_path / "other.db", new_device="other", create=True) as other:
        made = [
            other.append("note", now_ms=at, new_id=f"never-{at:016d}", detail={"t": "x" * 2000}) for at in range(50)
        ]
    bare.execute("BEGIN")
    bare.executemany(f"INSERT INTO entry VALUES ({','.join('?' * 13)})", [entry.values for entry in made])
    assert Path(f"{path}-wal").stat().st_size > 50_000
    assert set(sound_rows(path)) == rows(sound)
    bare.execute("ROLLBACK")
    bare.close()


def test_backups_and_what_was_set_aside_before_make_good_what_is_gone(sound: Path, tmp_path: Path) -> None:
    path = damaged(sound, tmp_path / "all", sound.read_bytes())
    with Journal.read(path) as journal:
        copy = back_up(journal, tmp_path / "copies", "now").path
    content = bytearray(sound.read_bytes())
    content[2 * PAGE :] = bytes(len(content) - 2 * PAGE)
    path.write_bytes(content)
    found = saved(path, backups=[tmp_path / "no such file.db", copy])
    assert rows(path) == rows(sound)
    assert found.own + found.backups == 100
    assert found.backups > 0
    assert len(found.unreadable) == 1
    path.write_bytes(bytes(content))
    (tmp_path / "all" / "journal-damaged-before.db").write_bytes(sound.read_bytes())
    again = saved(path)
    assert rows(path) == rows(sound)
    assert again.before > 0
    assert again.aside != found.aside


@pytest.mark.parametrize("content", [b"", b"dear diary" * 2000])
def test_what_is_no_journal_is_left_alone(sound: Path, tmp_path: Path, content: bytes) -> None:
    path = damaged(sound, tmp_path / "diary", content)
    with pytest.raises(NoJournal):
        saved(path)
    assert path.read_bytes() == content
    assert [one.name for one in path.parent.iterdir()] == ["journal.db"]
    with pytest.raises(NoJournal):
        saved(path.with_name("nothing.db"))
