"""What a history counts, as it comes out of a journal: against the same entries counted one by one in Python."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.entry import Entry
from checkapp.journal.exposures import Done, Marks, Row, read_done, read_marks, read_rows
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import Draft
from checkapp.journal.story import in_order, standing

FIRST_MS = 1_900_000_000_000
PLAN, CHECK = "a" * 64, "opened-000000000"


class Log:
    """A journal that is told of one thing a minute, of any rig and show, by anybody."""

    def __init__(self, path: Path) -> None:
        self.journal = Journal.open(path, new_device="left", create=True)
        self.ids: list[str] = []

    def tell(
        self, draft: Draft, rig: str | None = "Barn", show: str | None = "Night 1", by: str | None = "JD"
    ) -> Entry:
        number = len(self.ids) + 1
        self.ids.append(f"told-{number:016d}")
        return self.journal.append(
            draft.kind,
            now_ms=FIRST_MS + number * 60_000,
            new_id=self.ids[-1],
            rig=rig,
            show=show,
            subject=draft.subject,
            by=by,
            detail=draft.detail,
        )

    def mark(self, line: str, symptom: Any = None, **where: Any) -> Entry:
        return self.tell(
            kinds.mark(line, "faulty" if symptom else "ok", plan=PLAN, check=CHECK, symptom=symptom), **where
        )


@pytest.fixture
def log(tmp_path: Path) -> Iterator[Log]:
    made = Log(tmp_path / "journal.db")
    yield made
    made.journal.close()


Key = tuple[str | None, str | None, str | None]


def counted(journal: Journal) -> dict[Key, list[Row]]:
    """The marks that stand by rig, show and detail, as `read_marks` tells of them; all its sums are checked here."""
    found: dict[Key, list[Row]] = {}
    for done in read_done(journal):
        for marks in read_marks(journal, done):
            _check_sums(journal, done, marks)
            for one in marks.said:
                assert (marks.rig, marks.show, one.detail) not in found
                found[marks.rig, marks.show, one.detail] = sorted(read_rows(journal, one.rows))
    return found


def _check_sums(journal: Journal, done: Done, marks: Marks) -> None:
    for one in marks.said:
        rows = read_rows(journal, one.rows)
        assert [row.line for row in rows] == list(one.lines)
        assert (one.first_at, one.last_at) == (min(row.at for row in rows), max(row.at for row in rows))
        assert one.by == {row.by for row in rows if row.by}
        if done.changed:
            clocks = (min(row.clock for row in rows), max(row.clock for row in rows))
            assert (one.first_clock, one.last_clock) == clocks


def plainly(journal: Journal) -> dict[Key, list[Row]]:
    """The same counted entry by entry."""
    found: dict[Key, list[Row]] = defaultdict(list)
    for entry in standing(in_order(journal.entries())):
        if entry.kind == kinds.MARK and entry.subject is not None:
            row = Row(entry.subject, entry.clock, entry.at, entry.by or "")
            found[entry.rig, entry.show, entry.detail].append(row)
    return {key: sorted(rows) for key, rows in found.items()}


def test_an_empty_journal_has_no_marks(log: Log) -> None:
    assert [(done.rig, done.deeds, done.changed) for done in read_done(log.journal)] == [(None, [], False)]
    assert counted(log.journal) == {}
    assert read_rows(log.journal, []) == []


def test_marks_that_say_the_same_come_together(log: Log) -> None:
    log.mark("in 1")
    log.mark("in 2", by="AK")
    log.mark("in 1", "hum")
    log.mark("in 1", show="Night 2")
    (barn, none) = read_done(log.journal)
    (first, second) = read_marks(log.journal, barn)
    assert [sorted(one.lines) for one in first.said] == [["in 1"], ["in 1", "in 2"]]
    assert first.said[1].by == {"JD", "AK"}
    assert (second.show, [list(one.lines) for one in second.said]) == ("Night 2", [["in 1"]])
    assert list(read_marks(log.journal, none)) == []


def test_one_show_alone(log: Log) -> None:
    log.mark("in 1")
    log.mark("in 2", show="Night 2")
    (barn, _) = read_done(log.journal)
    assert [marks.show for marks in read_marks(log.journal, barn, "Night 2")] == ["Night 2"]
    assert list(read_marks(log.journal, barn, "Night 3")) == []


def test_what_is_undone_counts_not_and_what_undoes_it_neither(log: Log) -> None:
    gone = log.mark("in 1")
    back = log.mark("in 2")
    log.tell(kinds.void(gone.id))
    void = log.tell(kinds.void(back.id))
    log.tell(kinds.void(void.id))
    assert [row.line for rows in counted(log.journal).values() for row in rows] == ["in 2"]
    (barn, _) = read_done(log.journal)
    assert barn.deeds == []
    assert gone.id in barn.undone


def test_a_void_of_another_rig_undoes_nothing(log: Log) -> None:
    mark = log.mark("in 1")
    log.tell(kinds.void(mark.id), rig="Tent")
    assert [row.line for rows in counted(log.journal).values() for row in rows] == ["in 1"]


def test_each_deed_is_read_once_with_what_it_tells(log: Log) -> None:
    log.tell(kinds.rig(digest=PLAN, owner="SM", version=1, file=None, lines={}), show=None)
    log.tell(kinds.repair("XL01", "swap", cleared=True, replacement="XL09"))
    log.tell(kinds.repair("XL02", "reseat", cleared=True))
    log.tell(setup_kinds.swap("XL03", "XL08"))
    (barn, _) = read_done(log.journal)
    assert [deed.entry.kind for deed in barn.deeds] == ["rig", "repair", "repair", "swap"]
    assert [deed.used is not None for deed in barn.deeds] == [True, False, False, False]
    assert [deed.repair.item if deed.repair else None for deed in barn.deeds] == [None, "XL01", "XL02", None]
    assert [deed.change is not None for deed in barn.deeds] == [False, True, False, True]
    assert barn.changed


def test_rows_come_in_the_order_in_which_they_were_asked_for(log: Log) -> None:
    for number in range(5):
        log.mark(f"in {number}")
    (barn, _) = read_done(log.journal)
    ((said,),) = [marks.said for marks in read_marks(log.journal, barn)]
    lines = dict(zip(said.rows, said.lines, strict=True))
    wanted = sorted(said.rows, reverse=True)
    assert [row.line for row in read_rows(log.journal, wanted)] == [lines[row] for row in wanted]


def test_rows_that_hold_what_does_not_belong_there_spoil_no_other(log: Log) -> None:
    """A line's name that is no text, one that is no UTF-8, one that holds what parts names; initials of two words."""
    log.mark("in 1", by="J,D")
    log.mark("in\x1f2")
    with log.journal.writing() as bare:
        columns = 'device, seq, at, clock, kind, rig, show, {}, "by", detail, previous, digest'
        copy = "INSERT INTO entry SELECT id || '{}', {} FROM entry WHERE subject = 'in 1'"
        for name, subject in (("n", "NULL"), ("b", "x'FF00'"), ("u", "CAST(x'696EFF' AS TEXT)")):
            bare.execute(copy.format(name, columns.format(subject)))
    lines = sorted(row.line for rows in counted(log.journal).values() for row in rows)
    assert lines == ["in\x1f2", "in 1", "in\ufffd"]


def test_initials_that_are_no_text_spoil_no_other_mark(log: Log) -> None:
    for line, by in (("in 1", "JD"), ("in 2", "JD"), ("in 3", "AK"), ("in 4", None)):
        log.mark(line, by=by)
    with log.journal.writing() as bare:
        columns = "id || 'b', device, seq, at, clock, kind, rig, show, subject, x'41', detail, previous, digest"
        bare.execute(f"INSERT INTO entry SELECT {columns} FROM entry WHERE subject = 'in 2'")
    (barn, _) = read_done(log.journal)
    (marks,) = read_marks(log.journal, barn)
    assert [(sorted(said.lines), said.by) for said in marks.said] == [
        (["in 1", "in 2", "in 3", "in 4"], frozenset({"JD", "AK"}))
    ]


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["mark", "mark", "mark", "mark", "void", "swap", "repair"]),
        st.sampled_from(["in 1", "in 2", "in, 3", "in\x1f4", ""]),
        st.sampled_from([None, None, "hum"]),
        st.sampled_from(["Barn", "Tent", None]),
        st.sampled_from(["Night 1", "Night 2", "", None]),
        st.sampled_from(["JD", "J,D", None, ""]),
        st.integers(0, 30),
    ),
    max_size=30,
)


@pytest.mark.independent
@settings(max_examples=30, deadline=None)
@given(STEPS)
def test_counts_as_one_entry_after_the_other(tmp_path_factory: pytest.TempPathFactory, steps: list[Any]) -> None:
    """Independent: `plainly` reads all entries and counts those that stand. A void is told of its own rig."""
    log = Log(tmp_path_factory.mktemp("log") / "journal.db")
    rigs: list[str | None] = []
    for what, line, symptom, rig, show, by, number in steps:
        where: dict[str, Any] = {"rig": rig, "show": show, "by": by}
        if what == "mark":
            log.mark(line, symptom, **where)
        elif what == "void" and rigs:
            where["rig"] = rig = rigs[number % len(rigs)]
            log.tell(kinds.void(log.ids[number % len(rigs)]), **where)
        elif what == "swap":
            log.tell(setup_kinds.swap("XL01", f"SP{number}"), **where)
        else:
            what = "repair"
            log.tell(kinds.repair("XL02", "reseat", cleared=True), **where)
        rigs.append(rig)
    found, expected = counted(log.journal), plainly(log.journal)
    log.journal.close()
    assert found == expected
