"""Verification sees whatever was done to a journal behind its back, and never falls over it."""

import random
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import astuple, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal import kinds
from checkapp.journal.entry import COLUMNS, Entry
from checkapp.journal.journal import Journal
from checkapp.journal.verify import JournalFault, verify
from checkapp.rig.errors import CheckappError

OTHER = "right"
COUNT = 6
PLACES = "INSERT INTO entry VALUES (" + ", ".join("?" * len(COLUMNS)) + ")"


def fill(journal: Journal, name: str) -> None:
    for number in range(COUNT):
        draft = kinds.mark(f"in {number}", "faulty", symptom="hum", note="Zoë", plan="a" * 64, check="c" * 16)
        journal.append(
            draft.kind,
            now_ms=1_900_000_000_000 + number,
            new_id=f"entry-of-{name}-{number:08d}",
            rig="Barn",
            show="Night 1",
            subject=draft.subject,
            by="JD" if number else None,
            detail=draft.detail,
        )


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A closed journal of ``left`` that also holds the entries of ``right``."""
    folder = tmp_path_factory.mktemp("sound")
    with Journal.open(folder / "right.db", new_device=OTHER, create=True) as other:
        fill(other, OTHER)
        foreign = other.entries()
    path = folder / "journal.db"
    with Journal.open(path, new_device="left", create=True) as own:
        fill(own, "left")
    with closing(sqlite3.connect(path)) as plain, plain:
        plain.executemany(PLACES, [entry.values for entry in foreign])
    return path


@pytest.fixture
def tampered(sound: Path, path: Path, behind_its_back: Any) -> Callable[..., list[JournalFault]]:
    """Do something to a copy of the sound journal with the plain library, then verify it."""

    def tamper(*statements: str, values: tuple[Any, ...] = ()) -> list[JournalFault]:
        shutil.copy(sound, path)
        with behind_its_back(path) as plain:
            for statement in statements:
                changed = plain.execute(statement, values)
                assert changed.rowcount != 0, statement
        return verified(path)

    return tamper


def verified(path: Path) -> list[JournalFault]:
    with Journal.open(path, new_device="none") as journal:
        return verify(journal)


def names(faults: list[JournalFault]) -> set[str]:
    for fault in faults:
        assert str(fault) == fault.said
        assert "\n" not in fault.said
    return {fault.name for fault in faults}


def read(path: Path) -> list[Entry]:
    with Journal.open(path, new_device="none") as journal:
        return journal.entries()


def test_a_sound_journal_has_no_faults(sound: Path) -> None:
    assert verified(sound) == []
    assert len(read(sound)) == 2 * COUNT


def test_a_new_journal_has_no_faults(journal: Journal) -> None:
    assert verify(journal) == []


TEXTS = [name for name in COLUMNS if name != "seq"]


@pytest.mark.parametrize("device", ["left", OTHER])
@pytest.mark.parametrize("seq", [1, 3, COUNT])
@pytest.mark.parametrize("column", TEXTS)
def test_any_change_of_any_text_is_seen(tampered: Any, column: str, seq: int, device: str) -> None:
    where = f"WHERE device = '{device}' AND seq = {seq}"
    new = f"""coalesce("{column}", '') || ' '"""
    faults = tampered(f'UPDATE entry SET "{column}" = {new} {where}')
    assert "edited" in names(faults)
    assert len(faults) <= 4


@pytest.mark.parametrize("seq", [1, 3, COUNT])
@pytest.mark.parametrize("value", ["2", "99", "0", "-1", "1.5", "'one'", "9223372036854775807", "x'31'", "NULL"])
def test_any_change_of_a_number_is_seen(tampered: Any, seq: int, value: str) -> None:
    faults = tampered(f"UPDATE entry SET seq = {value} WHERE device = '{OTHER}' AND seq = {seq}")
    assert names(faults) & {"edited", "unreadable value"}


@pytest.mark.parametrize("column", [name for name in COLUMNS if name != "id"])
def test_a_value_taken_away_is_seen(tampered: Any, column: str) -> None:
    faults = tampered(f"UPDATE entry SET \"{column}\" = NULL WHERE device = '{OTHER}' AND seq = 3")
    expected = "edited" if column in ("rig", "show", "subject", "by", "detail") else "unreadable value"
    assert expected in names(faults)


@pytest.mark.parametrize("column", COLUMNS)
def test_the_same_bytes_as_a_blob_are_seen(tampered: Any, column: str) -> None:
    faults = tampered(f'UPDATE entry SET "{column}" = CAST("{column}" AS BLOB) WHERE device = \'{OTHER}\' AND seq = 3')
    assert "unreadable value" in names(faults)


@pytest.mark.parametrize("column", TEXTS)
def test_text_that_is_not_utf8_is_seen(tampered: Any, column: str) -> None:
    faults = tampered(f"UPDATE entry SET \"{column}\" = CAST(x'ff00fe' AS TEXT) WHERE device = 'left' AND seq = 3")
    assert "unreadable value" in names(faults)


def test_absent_and_empty_are_told_apart(tampered: Any) -> None:
    faults = tampered("UPDATE entry SET by = '' WHERE device = 'left' AND seq = 1")
    assert names(faults) == {"edited"}


@pytest.mark.parametrize("seq", range(1, COUNT + 1))
def test_a_row_taken_away_is_seen(tampered: Any, seq: int) -> None:
    (fault,) = tampered(f"DELETE FROM entry WHERE device = 'left' AND seq = {seq}")
    assert (fault.name, fault.device, fault.seq) == ("gap", "left", seq)
    assert fault.said == f"entry {seq} of tablet left is missing"


def test_all_rows_taken_away_are_seen(tampered: Any) -> None:
    (fault,) = tampered("DELETE FROM entry")
    assert fault.said == f"entries 1 to {COUNT} of tablet left are missing"


def test_several_rows_taken_away_are_told_by_their_numbers(tampered: Any) -> None:
    (fault,) = tampered(f"DELETE FROM entry WHERE device = '{OTHER}' AND seq BETWEEN 2 AND 4")
    assert fault.said == f"entries 2 to 4 of tablet {OTHER} are missing"


COPY = "SELECT {id}, device, {seq}, at, clock, kind, rig, show, subject, by, detail, {previous}, digest FROM entry"


@pytest.mark.parametrize("seq", [1, 3, COUNT])
def test_a_row_that_was_put_in_is_seen(tampered: Any, seq: int) -> None:
    copy = COPY.format(id="'put-in-by-somebody'", seq="seq", previous="previous")
    faults = tampered(f"INSERT INTO entry {copy} WHERE device = 'left' AND seq = {seq}")
    assert names(faults) == {"edited", "fork"}


def test_a_row_that_was_put_in_behind_the_last_is_seen(tampered: Any) -> None:
    copy = COPY.format(id="'put-in-by-somebody'", seq="seq + 1", previous="digest")
    faults = tampered(f"INSERT INTO entry {copy} WHERE device = 'left' AND seq = {COUNT}")
    assert names(faults) == {"edited", "extra entry"}


def rewritten(entry: Entry, **changes: Any) -> Entry:
    changed = replace(entry, **changes)
    return replace(changed, digest=changed.computed_digest())


@pytest.fixture
def put_in(sound: Path, path: Path, behind_its_back: Any) -> Callable[..., list[JournalFault]]:
    """Write a row into a copy of the sound journal, then verify it."""

    def put(entry: Entry, *before: str) -> list[JournalFault]:
        shutil.copy(sound, path)
        with behind_its_back(path) as plain:
            for statement in before:
                plain.execute(statement)
            plain.execute(PLACES, entry.values)
        return verified(path)

    return put


def test_a_row_put_in_with_a_right_digest_is_seen(sound: Path, path: Path, put_in: Any) -> None:
    own = [entry for entry in read(sound) if entry.device == "left"]
    next_one = rewritten(own[-1], id="put-in-by-somebody", seq=COUNT + 1, previous=own[-1].digest)
    assert names(put_in(next_one)) == {"extra entry"}
    path.unlink()
    other_side = rewritten(own[2], id="put-in-by-somebody", detail='{"verdict":"ok"}')
    assert names(put_in(other_side)) == {"fork"}


@pytest.mark.parametrize("index", range(COUNT))
def test_a_row_rewritten_with_a_right_digest_is_seen(sound: Path, put_in: Any, index: int) -> None:
    own = [entry for entry in read(sound) if entry.device == "left"]
    changed = rewritten(own[index], detail='{"verdict":"ok"}')
    faults = put_in(changed, f"DELETE FROM entry WHERE id = '{changed.id}'")
    assert names(faults) == ({"edited"} if index == COUNT - 1 else {"broken link"})


def test_both_sides_of_a_fork_may_go_on(sound: Path, path: Path) -> None:
    other = [entry for entry in read(sound) if entry.device == OTHER]
    four = rewritten(other[3], id="the-other-side-four")
    five = rewritten(other[4], id="the-other-side-five", previous=four.digest)
    shutil.copy(sound, path)
    with closing(sqlite3.connect(path)) as plain, plain:
        plain.executemany(PLACES, [four.values, five.values])
    faults = verified(path)
    assert [(fault.name, fault.seq) for fault in faults] == [("fork", 4), ("fork", 5)]
    assert four.id in faults[0].said
    assert other[3].id in faults[0].said


def test_rows_that_changed_places_are_seen(tampered: Any) -> None:
    faults = tampered(f"UPDATE entry SET seq = 5 - seq WHERE device = '{OTHER}' AND seq IN (2, 3)")
    assert [fault.seq for fault in faults if fault.name == "edited"] == [2, 3]


def test_a_repeated_row_is_seen_when_nothing_keeps_ids_apart(sound: Path, path: Path) -> None:
    shutil.copy(sound, path)
    with closing(sqlite3.connect(path)) as plain, plain:
        plain.execute("ALTER TABLE entry RENAME TO old")
        plain.execute(f"CREATE TABLE entry ({', '.join(COLUMNS)})")
        plain.execute("INSERT INTO entry SELECT * FROM old")
        plain.execute(f"INSERT INTO entry SELECT * FROM old WHERE device = '{OTHER}' AND seq = 3")
    assert names(verified(path)) == {"duplicate id", "changed layout"}


@pytest.mark.parametrize(
    "change",
    [
        "DELETE FROM fact WHERE key = 'last'",
        "DELETE FROM fact WHERE key = 'device'",
        "UPDATE fact SET value = NULL WHERE key = 'last'",
        "UPDATE fact SET value = x'00' WHERE key = 'device'",
        "UPDATE fact SET value = '3 zebra' WHERE key = 'last'",
    ],
)
def test_a_lost_record_of_its_own_device_is_seen(tampered: Any, change: str) -> None:
    assert names(tampered(change)) == {"lost record"}


def test_a_changed_record_is_seen(tampered: Any) -> None:
    assert names(tampered(f"UPDATE fact SET value = '{COUNT} {'0' * 64}' WHERE key = 'last'")) == {"edited"}
    assert names(tampered(f"UPDATE fact SET value = '2 {'0' * 64}' WHERE key = 'last'")) == {"extra entry"}
    assert names(tampered("UPDATE fact SET value = 'zebra' WHERE key = 'device'")) == {"gap"}


def test_an_odd_detail_that_was_written_so_is_no_fault(journal: Journal, path: Path) -> None:
    first = journal.append("note", now_ms=1, new_id="the-first-of-them")
    odd = rewritten(first, device="odd", id="with-an-odd-detail", detail="{not json")
    bare = rewritten(odd, seq=2, id="with-no-detail-at-all", detail=None, kind="", previous=odd.digest)
    with closing(sqlite3.connect(path)) as plain, plain:
        plain.executemany(PLACES, [odd.values, bare.values])
    assert verify(journal) == []


present = (
    st.integers(-(2**63), 2**63 - 1)
    | st.floats(allow_nan=False)
    | st.binary(max_size=20)
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
    | st.sampled_from(["left", OTHER, "0" * 64, "000000000000-0000", "{", '{"verdict": []}', "mark", "void", "check"])
)
odd_rows = st.tuples(present, *(st.none() | present for _ in COLUMNS[1:]))


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(rows=st.lists(odd_rows, min_size=1, max_size=6), as_text=st.booleans())
def test_never_falls_over_what_a_database_can_hold(
    sound: Path, path: Path, rows: list[tuple[Any, ...]], as_text: bool
) -> None:
    shutil.copy(sound, path)
    with closing(sqlite3.connect(path)) as plain, plain:
        for row in rows:
            places = ("CAST(? AS TEXT)" if as_text and isinstance(value, bytes) else "?" for value in row)
            plain.execute(f"INSERT OR REPLACE INTO entry VALUES ({', '.join(places)})", row)
    assert names(verified(path))
    for entry in read(path):
        assert isinstance(entry.details, dict)


def flipped(sound: Path, path: Path, chance: random.Random) -> None:
    content = bytearray(sound.read_bytes())
    content[chance.randrange(len(content))] ^= 1 << chance.randrange(8)
    path.write_bytes(content)


def outcome(path: Path) -> list[JournalFault] | None:
    try:
        return verified(path)
    except CheckappError as error:
        assert all("\n" not in line for line in error.lines)
        return None


def plain_rows(path: Path) -> Iterator[tuple[Any, ...]]:
    yield from map(astuple, read(path))


def test_a_flipped_bit_anywhere_is_seen_or_changes_nothing(sound: Path, path: Path) -> None:
    chance = random.Random(20310502)
    expected = list(plain_rows(sound))
    seen = 0
    for _ in range(150):
        flipped(sound, path, chance)
        faults = outcome(path)
        if faults == []:
            assert list(plain_rows(path)) == expected
        else:
            seen += 1
        for leftover in path.parent.glob("journal.db-*"):
            leftover.unlink()
    assert seen > 15


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9])
def test_a_file_cut_short_is_seen(sound: Path, path: Path, share: float) -> None:
    content = sound.read_bytes()
    path.write_bytes(content[: int(len(content) * share)])
    assert outcome(path) != []
