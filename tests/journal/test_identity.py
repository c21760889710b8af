"""Copies, restored older copies, lost records, merges: no number of a device is ever used twice by our own doing."""

import shutil
import sqlite3
from collections import defaultdict
from contextlib import closing, suppress
from dataclasses import dataclass, field, replace
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal.entry import Entry
from checkapp.journal.errors import JournalGone
from checkapp.journal.facts import End
from checkapp.journal.identity import give_up_all
from checkapp.journal.journal import Journal
from checkapp.journal.taking_in import intake, take_in
from checkapp.journal.verify import verify

NUMBERS = count(1)


@dataclass
class Place:
    """What one machine remembers of one path."""

    ends: dict[str, End] = field(default_factory=dict)
    can_write: bool = True
    closed: int = 0

    def last(self, device: str) -> End | None:
        return self.ends.get(device)

    def note(self, device: str, end: End) -> None:
        if self.can_write:
            self.ends[device] = end

    def close(self) -> None:
        self.closed += 1


def opened(path: Path, place: Place | None) -> Journal:
    return Journal.open(path, new_device=f"device-{next(NUMBERS)}", create=True, outside=place)


def note(journal: Journal) -> Entry:
    number = next(NUMBERS)
    return journal.append("note", now_ms=number, new_id=f"entry-{number:012d}")


def wrote(path: Path, place: Place | None, entries: int = 1) -> list[Entry]:
    with opened(path, place) as journal:
        return [note(journal) for _ in range(entries)]


def everything(*paths: Path) -> set[Entry]:
    found: set[Entry] = set()
    for path in paths:
        with Journal.read(path) as journal:
            found.update(journal.entries())
    return found


def forks(entries: set[Entry]) -> list[tuple[str, int]]:
    ids = defaultdict(set)
    for entry in entries:
        ids[entry.device, entry.seq].add(entry.id)
    return [number for number, different in ids.items() if len(different) > 1]


def test_the_name_survives_closing_and_opening(path: Path) -> None:
    place = Place()
    entries = [*wrote(path, place, 2), *wrote(path, place), *wrote(path, place)]
    assert {entry.device for entry in entries} == {entries[0].device}
    assert [entry.seq for entry in entries] == [1, 2, 3, 4]
    assert place.closed == 3


def test_opening_and_reading_write_nothing(path: Path) -> None:
    place = Place()
    wrote(path, place)
    before = path.read_bytes()
    for _ in range(3):
        with opened(path, Place()) as journal:
            assert journal.device.startswith("device-")
            assert len(journal.entries()) == 1
    assert path.read_bytes() == before


def test_a_copy_on_another_machine_takes_a_new_name_and_keeps_it(path: Path, tmp_path: Path) -> None:
    here, there = Place(), Place()
    first = wrote(path, here, 3)
    copy = tmp_path / "copy.db"
    shutil.copy(path, copy)
    with opened(copy, there) as journal:
        assert journal.device != first[0].device
        others = [note(journal), note(journal)]
    others += wrote(copy, there)
    assert [entry.seq for entry in others] == [1, 2, 3]
    assert len({entry.device for entry in others}) == 1
    assert wrote(path, here)[0].seq == 4
    assert forks(everything(path, copy)) == []
    with opened(copy, there) as journal:
        assert verify(journal) == []


def test_a_restored_older_copy_takes_a_new_name_and_tells_what_is_missing(path: Path, tmp_path: Path) -> None:
    place = Place()
    (first, *_) = wrote(path, place, 3)
    old = tmp_path / "old.db"
    shutil.copy(path, old)
    lost = wrote(path, place, 2)
    shutil.copy(old, path)
    (new,) = wrote(path, place)
    assert (new.seq, new.device != first.device) == (1, True)
    with opened(path, place) as journal:
        assert [fault.said for fault in verify(journal)] == [f"entries 4 to 5 of tablet {first.device} are missing"]
        take_in(journal, lost)
        assert verify(journal) == []
        assert journal.device == new.device


def test_a_restored_copy_that_has_everything_goes_on(path: Path, tmp_path: Path) -> None:
    place = Place()
    (first, *_) = wrote(path, place, 3)
    shutil.copy(path, tmp_path / "copy.db")
    path.unlink()
    shutil.copy(tmp_path / "copy.db", path)
    (following,) = wrote(path, place)
    assert (following.device, following.seq) == (first.device, 4)


@pytest.mark.parametrize("times", [1, 3])
def test_a_lost_record_costs_one_new_name(path: Path, times: int) -> None:
    place = Place()
    wrote(path, place, 2)
    for _ in range(times):
        place.ends.clear()
        (new,) = wrote(path, place)
        assert new.seq == 1
        (following,) = wrote(path, place)
        assert (following.device, following.seq) == (new.device, 2)
    assert forks(everything(path)) == []
    with Journal.read(path) as journal:
        assert verify(journal) == []


def test_a_record_that_is_behind_changes_nothing(path: Path) -> None:
    place = Place()
    first, second, third = wrote(path, place, 3)
    place.ends[first.device] = End(first.seq, first.digest)
    (following,) = wrote(path, place)
    assert (following.device, following.seq, following.previous) == (first.device, 4, third.digest)
    assert second in everything(path)


@pytest.mark.parametrize("end", [End(2, "f" * 64), End(9, "0" * 64), End(0)])
def test_a_record_of_something_else_is_no_proof(path: Path, end: End) -> None:
    place = Place()
    (first, *_) = wrote(path, place, 3)
    place.ends[first.device] = end
    assert wrote(path, place)[0].device != first.device


def test_where_nothing_can_be_remembered_one_program_run_is_one_name(path: Path) -> None:
    place = Place(can_write=False)
    with opened(path, place) as journal, opened(path, Place()) as other:
        mine = note(journal)
        between = note(other)
        again = note(journal)
    assert (again.device, again.seq) == (mine.device, 2)
    assert between.device != mine.device
    assert forks(everything(path)) == []


def test_two_machines_that_use_one_file_in_turn_have_a_name_each(path: Path) -> None:
    places = [Place(), Place()]
    entries = [wrote(path, places[turn % 2])[0] for turn in range(6)]
    assert [entry.seq for entry in entries] == [1, 1, 2, 2, 3, 3]
    assert len({entry.device for entry in entries}) == 2
    with Journal.read(path) as journal:
        assert verify(journal) == []


def test_two_programs_of_one_place_share_a_name(path: Path) -> None:
    place = Place()
    with opened(path, place) as one, opened(path, place) as other:
        entries = [note(one), note(other), note(other), note(one)]
    assert [entry.seq for entry in entries] == [1, 2, 3, 4]
    assert len({entry.device for entry in entries}) == 1


def test_undoing_on_a_copy_is_not_that_of_the_first(path: Path, tmp_path: Path) -> None:
    (first,) = wrote(path, Place())
    shutil.copy(path, tmp_path / "copy.db")
    with opened(tmp_path / "copy.db", Place()) as journal:
        names = {journal.device for _ in range(3)}
        assert len(names) == 1
        assert first.device not in names
        assert note(journal).device in names


def test_a_new_name_that_is_taken_gets_a_number(path: Path) -> None:
    for expected in ("left", "left-2", "left-3"):
        with Journal.open(path, new_device="left", create=True, outside=Place()) as journal:
            assert note(journal).device == expected


def test_a_backup_never_goes_on_with_a_name(path: Path) -> None:
    place = Place()
    (first, *_) = wrote(path, place, 3)
    with closing(sqlite3.connect(path)) as plain, plain:
        give_up_all(plain)
    with Journal.read(path) as journal:
        assert verify(journal) == []
    (new,) = wrote(path, place)
    assert (new.seq, new.device != first.device) == (1, True)


def test_entries_under_our_name_that_we_did_not_write_make_us_take_another(path: Path, tmp_path: Path) -> None:
    """Two machines from one image: nothing there tells them apart until they meet."""
    place, image = Place(), Place()
    wrote(path, place, 3)
    clone = tmp_path / "clone.db"
    shutil.copy(path, clone)
    image.ends.update(place.ends)
    ours, theirs = wrote(path, place), wrote(clone, image, 2)
    assert forks(everything(path, clone)) == [(ours[0].device, 4)]
    with opened(path, place) as journal:
        taken = take_in(journal, theirs)
        assert [fault.name for fault in taken.faults] == ["fork"]
        assert {*ours, *theirs} <= set(journal.entries())
        assert "fork" in {fault.name for fault in verify(journal)}
        new = note(journal)
    assert (new.device != ours[0].device, new.seq) == (True, 1)
    assert wrote(path, place)[0].device == new.device
    assert [fault.name for fault in verify(Journal.read(path))] == ["fork"]


def test_our_own_entries_that_come_back_to_fill_a_gap_change_no_name(path: Path, behind_its_back: Any) -> None:
    place = Place()
    entries = wrote(path, place, 5)
    with behind_its_back(path) as plain:
        plain.execute("DELETE FROM entry WHERE seq IN (2, 3)")
    with opened(path, place) as journal:
        assert take_in(journal, entries).faults == ()
        assert note(journal).seq == 6
        assert verify(journal) == []


def test_it_is_enough_to_hear_that_others_wrote_more_under_our_name(path: Path) -> None:
    place = Place()
    (first,) = wrote(path, place)
    with opened(path, place) as journal:
        with intake(journal) as door:
            door.take([], written={first.device: 2})
        assert note(journal).device != first.device
        assert [fault.said for fault in verify(journal)] == [f"entry 2 of tablet {first.device} is missing"]


@pytest.mark.parametrize("what", ["removed", "replaced", "log removed"])
def test_what_is_no_longer_in_its_place_takes_nothing(path: Path, tmp_path: Path, what: str) -> None:
    shutil.copytree(path.parent, tmp_path / "aside")
    with opened(path, None) as journal:
        note(journal)
        if what == "removed":
            path.unlink()
        elif what == "replaced":
            with opened(tmp_path / "other.db", None) as other:
                note(other)
            (tmp_path / "other.db").replace(path)
        else:
            Path(f"{path}-wal").unlink()
        with pytest.raises(JournalGone) as caught:
            note(journal)
        assert len(caught.value.lines) == 1
        with pytest.raises(JournalGone):
            take_in(journal, [])


@dataclass
class World:
    """Files at places of machines, older copies of them, and all that was ever written."""

    folder: Path
    places: dict[tuple[int, int], Place] = field(default_factory=dict)
    copies: list[Path] = field(default_factory=list)
    written: set[Entry] = field(default_factory=set)

    def path(self, machine: int, place: int) -> Path:
        return self.folder / f"{machine}-{place}.db"

    def place(self, machine: int, place: int) -> Place:
        return self.places.setdefault((machine, place), Place())

    def do(self, what: str, one: tuple[int, int], other: tuple[int, int], number: int) -> None:
        path, source = self.path(*one), self.path(*other)
        if what == "mark":
            self.written.update(wrote(path, self.place(*one), number + 1))
        elif what == "keep" and path.exists():
            self.copies.append(self.folder / f"copy-{len(self.copies)}.db")
            shutil.copy(path, self.copies[-1])
        elif what == "restore" and self.copies:
            shutil.copy(self.copies[number % len(self.copies)], path)
        elif what == "copy" and source.exists() and path != source:
            shutil.copy(source, path)
        elif what == "forget":
            self.place(*one).ends.clear()
        elif what == "remove":
            path.unlink(missing_ok=True)
        elif what == "merge" and source.exists() and path != source:
            with opened(path, self.place(*one)) as journal, Journal.read(source) as from_there:
                take_in(journal, from_there.entries())


where = st.tuples(st.integers(0, 1), st.integers(0, 1))
acts = st.sampled_from(
    ["mark", "mark", "mark", "keep", "restore", "copy", "copy", "forget", "remove", "merge", "merge"]
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(st.tuples(acts, where, where, st.integers(0, 2)), max_size=14))
def test_never_a_fork_by_our_own_doing(tmp_path: Path, steps: list[Any]) -> None:
    shutil.rmtree(tmp_path / "world", ignore_errors=True)
    (tmp_path / "world").mkdir()
    world = World(tmp_path / "world")
    for step in steps:
        world.do(*step)
    found = everything(*world.folder.glob("*.db"))
    assert forks(world.written | found) == []
    for path in world.folder.glob("*.db"):
        with Journal.read(path) as journal:
            assert {fault.name for fault in verify(journal)} <= {"gap"}


def test_a_fork_would_be_found_by_this_test(tmp_path: Path) -> None:
    """The same without an outside: copies fork."""
    with suppress(FileNotFoundError):
        shutil.rmtree(tmp_path / "world")
    (tmp_path / "world").mkdir()
    one, other = tmp_path / "world" / "one.db", tmp_path / "world" / "other.db"
    (entry,) = wrote(one, None)
    shutil.copy(one, other)
    assert forks({*wrote(one, None), *wrote(other, None)}) == [(entry.device, 2)]
    assert replace(entry, seq=2) != entry
