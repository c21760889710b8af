"""The views that people with a SQL tool see: what stands, in plain words, the same as the program's own reading."""

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import Draft
from checkapp.journal.state import shows
from checkapp.journal.story import in_order, standing
from checkapp.journal.taking_in import take_in

RIG, SHOW, PLAN = "Barn Stage", "Night 1", "5b" * 32


def asked(path: Path, query: str) -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(path)) as plain:
        return plain.execute(query).fetchall()


def write(journal: Journal, draft: Draft, *, show: str | None = SHOW, by: str | None = "JD") -> str:
    number = len(journal.entries()) + 1
    return journal.append(
        draft.kind,
        now_ms=1_935_496_991_120 + number * 1000,
        new_id=f"entry-{number:012d}",
        rig=RIG,
        show=show,
        subject=draft.subject,
        by=by,
        detail=draft.detail,
    ).id


@pytest.fixture
def night(journal: Journal) -> Journal:
    """A short night: a show, an end connected, three marks of which one is undone, a repair."""
    write(journal, kinds.show(SHOW, venue="Old barn", date="2031-05-02"))
    write(journal, setup_kinds.connected("HP01 A", ["DESK link out", "SB1 link in"], "right"))
    check = write(journal, kinds.check_opened())
    write(journal, kinds.mark("in 1", "ok", plan=PLAN, check=check, scope="line and source"))
    write(journal, kinds.mark("in 2", "faulty", symptom="hum", note="behind the riser", plan=PLAN, check=check))
    wrong = write(journal, kinds.mark("in 3", "faulty", symptom="silent", plan=PLAN, check=check))
    write(journal, kinds.void(wrong))
    write(journal, kinds.repair("SM.XL07", "swap", cleared=True, replacement="SM.XL09"), by=None)
    write(journal, kinds.repair("SB1 in 4", "reseat", cleared=False))
    return journal


def test_marks_and_faults_are_those_that_stand(night: Journal, path: Path) -> None:
    assert asked(path, "SELECT rig, show, line, verdict, symptom, note, scope, by FROM marks ORDER BY at") == [
        (RIG, SHOW, "in 1", "ok", None, None, "line and source", "JD"),
        (RIG, SHOW, "in 2", "faulty", "hum", "behind the riser", "line", "JD"),
    ]
    assert asked(path, "SELECT at, line, symptom, device FROM faults") == [
        ("2031-05-02T14:03:16.120Z", "in 2", "hum", "left")
    ]


def test_repairs_and_connections_say_what_was_done(night: Journal, path: Path) -> None:
    assert asked(path, "SELECT item, action, put_in, cleared, by FROM repairs ORDER BY at") == [
        ("SM.XL07", "swap", "SM.XL09", 1, None),
        ("SB1 in 4", "reseat", None, 0, "JD"),
    ]
    assert asked(path, "SELECT cable_end, port, verdict FROM connections") == [("HP01 A", "DESK link out", "right")]


def test_shows_have_their_latest_venue_and_count_their_marks(night: Journal, path: Path) -> None:
    write(night, kinds.show(SHOW, venue="New barn", date="2031-05-03"))
    write(night, kinds.show("Night 2"), show="Night 2")
    assert asked(path, "SELECT rig, show, venue, date, marks, faults, first_mark, last_mark FROM shows ORDER BY 2") == [
        (RIG, SHOW, "New barn", "2031-05-03", 2, 1, "2031-05-02T14:03:15.120Z", "2031-05-02T14:03:16.120Z"),
        (RIG, "Night 2", None, None, 0, 0, None, None),
    ]
    known = {(show.name, show.venue, show.date) for show in shows(night.entries())}
    assert known == set(asked(path, "SELECT show, venue, date FROM shows"))


def test_three_questions_that_crews_ask(night: Journal, path: Path) -> None:
    assert asked(path, "SELECT item, count(*) FROM repairs WHERE cleared GROUP BY item ORDER BY 2 DESC") == [
        ("SM.XL07", 1)
    ]
    assert asked(path, f"SELECT line, symptom FROM faults WHERE show = '{SHOW}' ORDER BY at") == [("in 2", "hum")]
    assert asked(path, "SELECT by, count(*) FROM marks GROUP BY by") == [("JD", 2)]


BAD = ["{not json", "", None, "[1]", "7", '"text"', '{"verdict":7}', "[" * 5000, '{"verdict":["ok"]}', '{"name":{}}']


@pytest.mark.parametrize("kind", ["mark", "repair", "connected", "show", "void"])
def test_a_detail_that_says_nothing_does_not_spoil_the_others(night: Journal, path: Path, kind: str) -> None:
    views = ("marks", "faults", "repairs", "connections")
    before = {view: asked(path, f"SELECT * FROM {view} ORDER BY id") for view in views}
    (template,) = [entry for entry in night.entries() if entry.seq == 5]
    odd = [
        replace(template, id=f"odd-{number:016d}", kind=kind, show="odd", detail=detail)
        for number, detail in enumerate(BAD)
    ]
    take_in(night, odd)
    assert {view: asked(path, f"SELECT * FROM {view} WHERE show <> 'odd' ORDER BY id") for view in views} == before
    assert len(asked(path, "SELECT * FROM shows")) >= 1


steps = st.lists(st.tuples(st.booleans(), st.integers(0, 30), st.booleans()), max_size=12)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=steps)
def test_what_stands_is_what_the_program_takes_to_stand(tmp_path: Path, steps: list[tuple[bool, int, bool]]) -> None:
    """Marks, and undoing of any earlier entry, undoings among them, of the same show or of another."""
    path = tmp_path / "journal.db"
    path.unlink(missing_ok=True)
    with Journal.open(path, new_device="left", create=True) as journal:
        ids: list[str] = []
        depth: dict[str, int] = {}
        for undo, which, same_show in steps:
            target = ids[which % len(ids)] if ids else ""
            show = SHOW if same_show else "Night 2"
            if undo and target and depth[target] < 4:
                made = write(journal, kinds.void(target), show=show)
                depth[made] = depth[target] + 1
            else:
                made = write(journal, kinds.mark("in 1", "ok", plan=PLAN, check="c"), show=show)
                depth[made] = 0
            ids.append(made)
        expected = {
            entry.id
            for show in (SHOW, "Night 2")
            for entry in standing(in_order(entry for entry in journal.entries() if entry.show == show))
            if entry.kind == "mark"
        }
    assert {entry_id for (entry_id,) in asked(path, "SELECT id FROM marks")} == expected
