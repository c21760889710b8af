"""The one door: a union, all or nothing, with everything that is wrong said and nothing lost."""

import sqlite3
import tracemalloc
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal.entry import COLUMNS, NO_ENTRY, Entry
from checkapp.journal.errors import NotStorable
from checkapp.journal.faults import FaultName
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import Draft
from checkapp.journal.store import StoredText
from checkapp.journal.story import in_order
from checkapp.journal.taking_in import MOST_TOLD, Row, TakenIn, intake, take_in
from checkapp.journal.verify import verify


def chain(device: str, count: int, name: str = "entry") -> list[Entry]:
    """What a device wrote, one entry after the other."""
    made: list[Entry] = []
    for seq in range(1, count + 1):
        entry = Entry(
            id=f"{name}-{device}-{seq:010d}",
            device=device,
            seq=seq,
            at="2031-05-02T14:03:11.120Z",
            clock=f"{0x1000 + seq:012x}-0000",
            kind="note",
            rig="Barn",
            show=None,
            subject=f"in {seq}",
            by="Zoë",
            detail='{"text":"x"}',
            previous=made[-1].digest if made else NO_ENTRY,
        )
        made.append(replace(entry, digest=entry.computed_digest()))
    return made


def rewritten(entry: Entry, **changes: Any) -> Entry:
    changed = replace(entry, **changes)
    return replace(changed, digest=changed.computed_digest())


def rows(path: Path) -> set[Row]:
    with closing(sqlite3.connect(path)) as plain:
        plain.text_factory = StoredText
        return set(plain.execute("SELECT * FROM entry"))


def names(taken: TakenIn) -> list[FaultName]:
    return [fault.name for fault in taken.faults]


def test_what_comes_in_is_kept_and_what_is_there_is_passed_over(journal: Journal) -> None:
    entries = chain("right", 5)
    taken = take_in(journal, entries[:3])
    assert taken == TakenIn(new=3, known=0, faults=(), untold=0, devices=("right",))
    taken = take_in(journal, entries)
    assert taken == TakenIn(new=2, known=3, faults=(), untold=0, devices=("right",))
    assert journal.entries() == entries
    assert take_in(journal, entries).new == 0
    assert verify(journal) == []


def test_repeated_in_one_stream_it_comes_in_once(journal: Journal) -> None:
    (entry,) = chain("right", 1)
    assert take_in(journal, [entry, entry, entry]) == TakenIn(1, 2, (), 0, ("right",))


def test_an_empty_stream_changes_nothing(journal: Journal) -> None:
    assert take_in(journal, []) == TakenIn(0, 0, (), 0, ())


def test_gaps_are_told_by_device_and_number(journal: Journal) -> None:
    entries = chain("LEFT", 50)
    taken = take_in(journal, [entry for entry in entries if entry.seq not in (1, 2, 41, 42, 43, 48)])
    assert [fault.said for fault in taken.faults] == [
        "entries 1 to 2 of tablet LEFT are missing",
        "entries 41 to 43 of tablet LEFT are missing",
        "entry 48 of tablet LEFT is missing",
    ]
    assert [fault for fault in verify(journal) if fault.name == "gap"] == list(taken.faults)
    assert take_in(journal, entries).faults == ()
    assert verify(journal) == []


def test_missing_last_entries_are_told_when_their_number_is_known(journal: Journal) -> None:
    with intake(journal) as door:
        door.take(chain("LEFT", 5), written={"LEFT": 7, "RIGHT": 2})
        taken = door.taken()
    assert [fault.said for fault in taken.faults] == [
        "entries 6 to 7 of tablet LEFT are missing",
        "entries 1 to 2 of tablet RIGHT are missing",
    ]


def test_both_sides_of_a_fork_are_kept_and_told(journal: Journal) -> None:
    one = chain("LEFT", 4)
    other = [*one[:2], *(rewritten(entry, id=f"the-other-side-{entry.seq}") for entry in one[2:])]
    take_in(journal, one)
    taken = take_in(journal, other)
    assert (taken.new, taken.known, names(taken)) == (2, 2, ["fork", "fork"])
    assert "the-other-side-3" in str(taken.faults[0])
    assert set(journal.entries()) == {*one, *other}
    assert [fault.name for fault in verify(journal)].count("fork") == 2


@pytest.mark.parametrize("first", ["true", "changed"])
def test_of_two_contents_of_an_id_both_are_kept_and_the_true_one_counts(journal: Journal, first: str) -> None:
    (true,) = chain("LEFT", 1)
    changed = replace(true, subject="in 99")
    order = [true, changed] if first == "true" else [changed, true]
    assert names(take_in(journal, order[:1])) == ([] if first == "true" else ["edited"])
    taken = take_in(journal, order[1:])
    (fault,) = taken.faults
    assert (taken.new, fault.name) == (1, "duplicate id")
    assert ("one that is here" if first == "true" else "came in as it was written") in fault.said
    assert in_order(journal.entries()) == [true]
    assert {fault.name for fault in verify(journal)} >= {"duplicate id", "edited"}
    assert take_in(journal, order).new == 0


def test_two_contents_that_both_fit_are_kept_and_one_is_chosen_whatever_the_order(
    journal: Journal, tmp_path: Path
) -> None:
    (one,) = chain("LEFT", 1)
    other = rewritten(one, subject="in 99")
    taken = take_in(journal, [one, other])
    assert [fault.name for fault in taken.faults] == ["duplicate id"]
    assert "cannot be told" in str(taken.faults[0])
    with Journal.open(tmp_path / "other.db", new_device="other", create=True) as second:
        take_in(second, [other, one])
        assert in_order(second.entries()) == in_order(journal.entries())


def test_a_wrong_digest_is_kept_and_told_once(journal: Journal) -> None:
    changed = replace(chain("LEFT", 1)[0], by="XX")
    taken = take_in(journal, [changed])
    assert names(taken) == ["edited"]
    assert "do not trust it" in str(taken.faults[0])
    assert journal.entries() == [changed]
    assert take_in(journal, [changed]).faults == ()


ODD: list[Row] = [
    (StoredText(b"\xff-no-utf8-id"), "LEFT", 1, *["x"] * 10),
    (None, None, None, *[None] * 10),
    (b"blob", b"\xff", 1.5, *["x"] * 9, b""),
    ("a" * 16, "LEFT", "one", "x\0y", *["x"] * 9),
    ("b" * 16, "LEFT", -(2**63), *["x"] * 8, StoredText(b"\xfe"), "x"),
]


def test_what_cannot_be_read_is_kept_as_it_is_and_told(journal: Journal, path: Path) -> None:
    taken = take_in(journal, ODD)
    assert (taken.new, {*names(taken)}) == (5, {"unreadable value"})
    expected = {tuple(value.encode() if isinstance(value, str) else value for value in row) for row in ODD}
    assert rows(path) == expected
    assert take_in(journal, ODD) == TakenIn(0, 5, (), 0, taken.devices)
    with closing(sqlite3.connect(path)) as plain:
        kinds = plain.execute("SELECT typeof(id), typeof(seq) FROM entry ORDER BY rowid").fetchall()
    assert kinds == [
        ("text", "integer"),
        ("null", "null"),
        ("blob", "real"),
        ("text", "text"),
        ("text", "integer"),
    ]


def test_numbers_where_texts_belong_become_texts_as_the_table_keeps_them(journal: Journal) -> None:
    row: Row = (*chain("LEFT", 1)[0].values[:9], 7, *chain("LEFT", 1)[0].values[10:])
    take_in(journal, [row])
    assert journal.entries()[0].by == "7"
    assert take_in(journal, [row]).known == 1


@pytest.mark.parametrize("changes", [{"by": "\ud800"}, {"detail": "\udfff"}, {"seq": 2**63}, {"seq": -(2**63) - 1}])
def test_what_no_database_can_hold_is_refused_with_the_whole_stream(journal: Journal, changes: dict[str, Any]) -> None:
    entries = [*chain("LEFT", 3), replace(chain("RIGHT", 1)[0], **changes)]
    with pytest.raises(NotStorable):
        take_in(journal, entries)
    assert journal.entries() == []


def test_a_row_of_another_length_is_a_mistake_of_the_caller(journal: Journal) -> None:
    with pytest.raises(ValueError, match="12 of 13"):
        take_in(journal, [("x",) * 12])


class Cut(Exception):
    pass


def cut_after(entries: list[Entry]) -> Iterator[Entry]:
    yield from entries
    raise Cut


@pytest.mark.parametrize("count", [0, 1, 2000, 5000])
def test_a_stream_that_breaks_off_leaves_what_was(journal: Journal, count: int) -> None:
    own = journal.append("note", now_ms=1, new_id="written-beforehand")
    with pytest.raises(Cut), intake(journal) as door:
        door.take(chain("LEFT", 3))
        door.take(cut_after(chain("RIGHT", count)))
    assert journal.entries() == [own]
    assert journal.append("note", now_ms=2, new_id="written-afterwards").seq == 2
    assert verify(journal) == []


def test_progress_is_told_and_a_cancel_from_there_takes_everything_back(journal: Journal) -> None:
    seen: list[int] = []
    take_in(journal, chain("LEFT", 4500), told=seen.append)
    assert seen == [2000, 4000, 4500]

    def cancel(count: int) -> None:
        if count > 2000:
            raise Cut

    with pytest.raises(Cut):
        take_in(journal, chain("RIGHT", 4500), told=cancel)
    assert {entry.device for entry in journal.entries()} == {"LEFT"}


def test_what_is_written_afterwards_sorts_after_what_came_in(journal: Journal) -> None:
    journal.append("note", now_ms=1, new_id="written-beforehand")
    entries = [rewritten(entry, clock="00ffffffffff-0000") for entry in chain("LEFT", 2)]
    take_in(journal, entries)
    journal.append("note", now_ms=2, new_id="written-afterwards")
    assert [entry.device for entry in journal.entries()] == ["left", "LEFT", "LEFT", "left"]


def test_only_so_many_faults_of_a_kind_are_told_one_by_one(journal: Journal) -> None:
    entries = [replace(entry, by="XX") for entry in chain("LEFT", 2 * MOST_TOLD + 50)[1::2]]
    taken = take_in(journal, entries)
    assert [names(taken).count(name) for name in ("edited", "gap")] == [MOST_TOLD, MOST_TOLD]
    assert taken.untold == 2 * 25


def test_memory_does_not_grow_with_the_stream(journal: Journal) -> None:
    entry = chain("LEFT", 1)[0]

    def stream(first: int, last: int) -> Iterator[Entry]:
        for seq in range(first, last + 1):
            yield replace(entry, id=f"entry-{seq:020d}", seq=seq)

    def peak(first: Callable[[], object]) -> int:
        tracemalloc.start()
        first()
        _, most = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        return most

    short = peak(lambda: take_in(journal, stream(1, 4_000)))
    assert peak(lambda: take_in(journal, stream(4_001, 28_000))) < 1.5 * short


devices = st.sampled_from(["left", "right", "far"])
entries_of = st.builds(
    lambda device, seq, name, by: rewritten(
        chain(device, 1)[0], seq=seq, id=f"entry-{name:012d}", by=by
    ),
    devices,
    st.integers(1, 6),
    st.integers(1, 12),
    st.sampled_from(["JD", "Zoë", None]),
)  # fmt: skip
damaged = st.builds(lambda entry, by: replace(entry, by=by), entries_of, st.sampled_from(["XX", None, "JD"]))


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(parts=st.lists(st.lists(entries_of | damaged, max_size=8), max_size=4), seed=st.randoms())
def test_a_union_is_the_same_in_any_order_and_repeated(tmp_path: Path, parts: list[list[Entry]], seed: Any) -> None:
    expected = {entry for part in parts for entry in part}
    stories = []
    for number, order in enumerate([parts, [*reversed(parts), *parts]]):
        path = tmp_path / f"{number}.db"
        path.unlink(missing_ok=True)
        with Journal.open(path, new_device="own", create=True) as journal:
            for part in order:
                shuffled = list(part)
                seed.shuffle(shuffled)
                before = set(journal.entries())
                taken = take_in(journal, shuffled)
                assert taken.new == len(set(part) - before)
                assert taken.new + taken.known == len(part)
            assert set(journal.entries()) == expected
            assert len(journal.entries()) == len(expected)
            stories.append(in_order(journal.entries()))
    assert stories[0] == stories[1]


def test_entries_of_a_real_journal_come_over_whole(journal: Journal, tmp_path: Path) -> None:
    draft = Draft("note", "in 1", {"text": "x"})
    with Journal.open(tmp_path / "right.db", new_device="right", create=True) as right:
        for number in range(10):
            right.append(
                draft.kind, now_ms=number, new_id=f"entry-{number:012d}", subject=draft.subject, detail=draft.detail
            )
        take_in(journal, right.entries())
        assert journal.entries() == right.entries()
    assert len(COLUMNS) == 13
    assert verify(journal) == []
