"""Journals and exports taken in: a union whatever the order, all or nothing, also under a kill."""

import random
import shutil
import signal
import sqlite3
import time
from contextlib import ExitStack, closing
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal import errors, kinds
from checkapp.journal.entry import COLUMNS, Entry
from checkapp.journal.export import export
from checkapp.journal.importing import ImportRefused
from checkapp.journal.journal import Journal
from checkapp.journal.merging import NothingToMerge, merge
from checkapp.journal.state import ShowState, show_state
from checkapp.journal.verify import verify

RIG, SHOW, PLAN = "Barn Stage", "Night 1", "5b" * 32
OLD = Path(__file__).parent / "formats" / "format_1.sqlite"
NUMBERS = count(1)


def opened(path: Path) -> Journal:
    return Journal.open(path, new_device=path.stem, create=True)


def write(journal: Journal, entries: int = 1, now_ms: int | None = None) -> list[Entry]:
    made = []
    for _ in range(entries):
        number = next(NUMBERS)
        draft = kinds.mark(f"in {number % 5}", "ok" if number % 3 else "faulty", plan=PLAN, check="c")
        made.append(
            journal.append(
                draft.kind,
                now_ms=number if now_ms is None else now_ms,
                new_id=f"entry-{number:012d}",
                rig=RIG,
                show=SHOW,
                subject=draft.subject,
                detail=draft.detail,
            )
        )
    return made


def unsynced(journal: Journal) -> Journal:
    """Quick, for tests that do not look at what a loss of power leaves."""
    journal._bare.execute("PRAGMA synchronous = OFF")
    return journal


def filled(path: Path, entries: int) -> list[Entry]:
    with opened(path) as journal:
        return write(journal, entries)


def test_what_others_hold_comes_in_once(journal: Journal, tmp_path: Path) -> None:
    right, far = filled(tmp_path / "right.db", 3), filled(tmp_path / "far.db", 2)
    paths = [tmp_path / "right.db", tmp_path / "far.db"]
    seen: list[tuple[str, int, int]] = []
    merged = merge(journal, paths, lambda *told: seen.append(told))
    assert [(file.path, file.taken.new, file.taken.known) for file in merged.files] == [
        (paths[0], 3, 0),
        (paths[1], 2, 0),
    ]
    assert (merged.taken.new, merged.taken.known, merged.taken.faults) == (5, 0, ())
    assert seen == [("right.db", 3, 3), ("far.db", 2, 2)]
    assert set(journal.entries()) == {*right, *far}
    again = merge(journal, paths)
    assert (again.taken.new, again.taken.known) == (0, 5)
    assert verify(journal) == []


def test_a_journal_in_use_an_export_and_an_old_format_come_in_together(journal: Journal, tmp_path: Path) -> None:
    with opened(tmp_path / "right.db") as right, opened(tmp_path / "far.db") as far:
        entries = [*write(right, 3), *write(far, 2)]
        export(far, tmp_path / "far.jsonl")
        shutil.copy(OLD, tmp_path / "old.db")
        merged = merge(journal, [tmp_path / "right.db", tmp_path / "far.jsonl", tmp_path / "old.db"])
    assert not list(tmp_path.glob("old.db-*"))
    assert merged.taken.new == 5 + 17
    assert set(entries) <= set(journal.entries())
    assert [fault.name for fault in verify(journal)] == []


def test_a_journal_merged_with_itself_is_as_it_was(journal: Journal, path: Path) -> None:
    entries = write(journal, 3)
    assert merge(journal, [path]).taken.known == 3
    assert journal.entries() == entries
    assert write(journal)[0].seq == 4


def test_last_entries_that_a_journal_lost_are_known_to_be_missing(
    journal: Journal, tmp_path: Path, behind_its_back: Any
) -> None:
    filled(tmp_path / "LEFT.db", 45)
    with behind_its_back(tmp_path / "LEFT.db") as plain:
        plain.execute("DELETE FROM entry WHERE seq > 43 OR seq = 12")
    expected = ["entry 12 of tablet LEFT is missing", "entries 44 to 45 of tablet LEFT are missing"]
    merged = merge(journal, [tmp_path / "LEFT.db"])
    assert [fault.said for fault in merged.taken.faults] == expected
    assert [fault.said for fault in verify(journal)] == expected
    with opened(tmp_path / "third.db") as third:
        merge(third, [journal.path])
        assert [fault.said for fault in verify(third)] == expected


def damaged_header(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[100:400] = b"\xff" * 300
    path.write_bytes(content)


def damaged_page(path: Path) -> None:
    with closing(sqlite3.connect(path)) as plain:
        (page,) = plain.execute("SELECT rootpage FROM sqlite_master WHERE name = 'entry_by_device'").fetchone()
        (size,) = plain.execute("PRAGMA page_size").fetchone()
    content = bytearray(path.read_bytes())
    content[(page - 1) * size : (page - 1) * size + 40] = b"\0" * 40
    path.write_bytes(content)


def cut_short(path: Path) -> None:
    content = path.read_bytes()
    path.write_bytes(content[: len(content) * 2 // 3])


def somebody_elses(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as plain:
        plain.execute("CREATE TABLE entry (id)")


def no_database(path: Path) -> None:
    path.write_bytes(b"in 7 is fine\n" * 50)


def emptied(path: Path) -> None:
    path.write_bytes(b"")


def bad_export(path: Path) -> None:
    with Journal.read(path) as journal:
        export(journal, path.with_suffix(".new"))
    path.write_bytes(path.with_suffix(".new").read_bytes() + b'{"id": "cut sho')


REFUSED = {
    damaged_header: (errors.JournalDamaged, errors.NotAJournal),
    damaged_page: errors.JournalDamaged,
    cut_short: errors.JournalDamaged,
    somebody_elses: errors.NotAJournal,
    no_database: NothingToMerge,
    emptied: NothingToMerge,
    bad_export: ImportRefused,
    Path.unlink: NothingToMerge,
}


@pytest.mark.parametrize("harm", REFUSED, ids=lambda harm: harm.__name__)
def test_a_damaged_or_foreign_file_is_refused_with_all_others(journal: Journal, tmp_path: Path, harm: Any) -> None:
    before = write(journal, 2)
    filled(tmp_path / "right.db", 30)
    filled(tmp_path / "far.db", 60)
    harm(tmp_path / "far.db")
    with pytest.raises(REFUSED[harm]) as caught:
        merge(journal, [tmp_path / "right.db", tmp_path / "far.db"])
    assert all("far.db" in line and "\n" not in line for line in caught.value.lines)
    assert journal.entries() == before
    assert merge(journal, [tmp_path / "right.db"]).taken.new == 30


def test_a_folder_is_nothing_to_merge(journal: Journal, tmp_path: Path) -> None:
    with pytest.raises(NothingToMerge):
        merge(journal, [tmp_path])


def test_entries_with_a_newer_programs_kinds_and_columns_come_in(journal: Journal, tmp_path: Path) -> None:
    filled(tmp_path / "right.db", 3)
    with closing(sqlite3.connect(tmp_path / "right.db")) as plain:
        plain.execute("ALTER TABLE entry ADD COLUMN weather TEXT")
        plain.execute("PRAGMA user_version = 99")
    assert merge(journal, [tmp_path / "right.db"]).taken.new == 3


MERGE = """
import sys
from pathlib import Path
from checkapp.journal.journal import Journal
from checkapp.journal.merging import merge
with Journal.open(Path(sys.argv[1]), new_device="left", create=True) as journal:
    print("open", flush=True)
    merge(journal, [Path(sys.argv[2])], lambda name, done, total: print(done, flush=True))
    print("merged", flush=True)
"""


def test_killed_in_the_middle_it_leaves_what_was(path: Path, tmp_path: Path, children: Any) -> None:
    chance = random.Random(20310502)
    own = filled(path, 3)
    large = tmp_path / "large.db"
    make_large(large, 30_000)
    for _ in range(6):
        child = children.start(MERGE, path, large)
        assert child.stdout.readline() == "open\n"
        for _ in range(chance.randrange(14)):
            child.stdout.readline()
        time.sleep(chance.uniform(0, 0.05))
        child.send_signal(signal.SIGKILL)
        rest = child.stdout.read()
        child.wait()
        with opened(path) as journal:
            entries = journal.entries()
            assert len(entries) in (len(own), len(own) + 30_000)
            assert len(entries) == len(own) or "merged" not in rest or own == entries[: len(own)]
            assert [fault.name for fault in verify(journal)] == []
            if len(entries) > len(own):
                break
    with opened(path) as journal:
        merge(journal, [large])
        assert len(journal.entries()) == len(own) + 30_000


def make_large(path: Path, entries: int) -> None:
    """A journal with a sound chain, written quickly: the tests of the merge are not those of writing."""
    with opened(path) as journal:
        template = write(journal)[0]
        chain = [template.values]
        last = len(COLUMNS) - 1
        for seq in range(2, entries + 1):
            values = list(template.values)
            values[0], values[2], values[-2] = f"large-entry-{seq:012d}", seq, chain[-1][last]
            values[-1] = Entry(*values[:-1]).computed_digest()  # type: ignore[arg-type]
            chain.append(tuple(values))
        with journal.writing() as bare:
            bare.executemany(f"INSERT INTO entry VALUES ({','.join('?' * len(COLUMNS))})", chain[1:])
            bare.execute("UPDATE fact SET value = ? WHERE key = 'last'", (f"{entries} {chain[-1][last]}",))


def sums(journal: Journal) -> tuple[frozenset[Entry], ShowState, list[str]]:
    entries = journal.entries()
    return frozenset(entries), show_state(entries, RIG, SHOW), [fault.said for fault in verify(journal)]


tablets = st.integers(0, 3)
marks = st.tuples(st.just("mark"), tablets, st.integers(1, 3), st.sampled_from([None, 0, 5000, 2**41, 2**47, -7]))
merges = st.tuples(st.just("merge"), tablets, st.lists(tablets, min_size=1, max_size=3), st.booleans())


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(marks | merges, max_size=14), order=st.permutations(range(4)), repeats=st.integers(1, 2))
def test_all_sides_end_with_the_same(tmp_path: Path, steps: list[Any], order: list[int], repeats: int) -> None:
    """Marks by clocks that run backwards, stand still or jump by years, and merges in any order, repeated."""
    folder = tmp_path / "tablets"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    paths = [folder / f"{name}.db" for name in "abcd"]
    with ExitStack() as stack:
        tablets = [stack.enter_context(unsynced(opened(path))) for path in paths]
        written = {entry for journal in tablets for entry in write(journal)}
        for what, tablet, *arguments in steps:
            journal = tablets[tablet]
            if what == "mark":
                made = write(journal, arguments[0], arguments[1])
                assert journal.entries()[-1] == made[-1]
                written.update(made)
            else:
                merge(journal, [paths[other] for other in arguments[0]])
        for one in [*order * repeats, *order]:
            merge(tablets[one], [path for path in paths if path != paths[one]])
        first, *others = map(sums, tablets)
    assert first[0] == written
    assert first[2] == []
    assert all(other == first for other in others)
