"""The tally of small journals, written entry by entry: each count can be followed by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from checkapp.history.lives import Life, Tally
from checkapp.history.tally import tallies, tally
from checkapp.journal import kinds, setup_kinds, taken_out
from checkapp.journal.entry import Entry
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import Draft
from checkapp.journal.old_entries import import_records
from checkapp.journal.old_records import Record

PLAN, OTHER = "a" * 64, "b" * 64
TAIL = (("SB1", "box"), ("LK01", "hop"), ("chain A", "chain"))
LINES: dict[str, Any] = {
    "in 1": [("MC1", "source"), ("XL01", "cable"), ("SB1 in 1", "port"), *TAIL, ("desk in 1", "desk")],
    "in 2": [("source in 2", "source"), ("XL02", "cable"), ("SB1 in 2", "port"), *TAIL, ("desk in 2", "desk")],
}
FIRST_MS = 1_900_000_000_000
MINUTE_MS = 60_000


class Told:
    """A journal that is told of one thing a minute."""

    def __init__(self, path: Path) -> None:
        self.journal = Journal.open(path, new_device="left", create=True)
        self._number = count(1)

    def tell(self, draft: Draft, show: str | None = "Night 1", rig: str | None = "Barn", by: str = "JD") -> Entry:
        number = next(self._number)
        return self.journal.append(
            draft.kind,
            now_ms=FIRST_MS + number * MINUTE_MS,
            new_id=f"told-{number:016d}",
            rig=rig,
            show=None if draft.kind == kinds.RIG else show,
            subject=draft.subject,
            by=by,
            detail=draft.detail,
        )

    def rig(self, name: str = "Barn", owner: str = "SM", digest: str = PLAN, **more: Any) -> None:
        plan = {"digest": digest, "owner": owner, "version": 1, "file": None, "lines": LINES} | more
        self.tell(kinds.rig(**plan), rig=name)

    def check(self, *words: str, rig: str = "Barn", show: str = "Night 1", plan: str = PLAN) -> str:
        """A check with these marks: ``in 1``, or ``in 1 hum``."""
        check = self.tell(kinds.check_opened(), show, rig).id
        for word in words:
            line, symptom = word[:4], word[5:] or None
            self.mark(line, symptom, check=check, rig=rig, show=show, plan=plan)
        return check

    def mark(self, line: str, symptom: Any = None, *, check: str, plan: str = PLAN, **where: Any) -> Entry:
        return self.tell(
            kinds.mark(line, "faulty" if symptom else "ok", plan=plan, check=check, symptom=symptom), **where
        )

    def off(self, *checks: str, rig: str = "Barn", show: str = "Night 1") -> None:
        self.tell(kinds.check_signed_off(checks, []), show, rig)

    def cleared(self, item: str, action: Any = "reseat", **more: Any) -> Entry:
        return self.tell(kinds.repair(item, action, cleared=True, **more))


@pytest.fixture
def told(tmp_path: Path) -> Iterator[Told]:
    made = Told(tmp_path / "journal.db")
    yield made
    made.journal.close()


def lives(found: Tally) -> dict[str, Life]:
    return {life.item: life for life in found.lives}


def exposures(found: Tally) -> dict[str, int]:
    return {life.item: life.exposures for life in found.lives}


def test_nothing_was_told(told: Told) -> None:
    assert tally(told.journal) == Tally(())


def test_an_item_is_exposed_once_a_check_that_marked_a_line_through_it(told: Told) -> None:
    told.rig()
    told.off(told.check("in 1", "in 2", "in 1"))
    told.check("in 2", "in 9")
    found = tally(told.journal)
    once, twice = ("MC1", "XL01", "SB1 in 1", "desk in 1"), ("source in 2", "XL02", "SB1 in 2", "desk in 2")
    shared = ("SB1", "LK01", "chain A")
    expected = {f"SM.{item}": 1 for item in once} | {f"SM.{item}": 2 for item in (*twice, *shared)}
    assert exposures(found) == expected
    kinds_found = {life.item: life.kind for life in found.lives}
    assert kinds_found["SM.SB1 in 1"] == "port"
    assert kinds_found["SM.source in 2"] == "source"
    assert kinds_found["SM.LK01"] == "hop"
    assert [(one.lines, one.minutes, one.faulty, one.crew) for one in found.checks] == [
        (2, 2.0, 0, ("JD",)),
        (2, 1.0, 0, ("JD",)),
    ]


def test_a_confirmed_fault_takes_what_was_heard_of_it(told: Told) -> None:
    told.rig(places={"SB1": "Stage left"})
    told.off(told.check("in 1", "in 2"))
    check = told.check("in 1 hum", "in 2", "in 1 crackle", "in 2 low")
    repaired = told.cleared("XL01")
    told.mark("in 1", check=check)
    found = tally(told.journal)
    (fault,) = found.faults
    assert (fault.item, fault.kind, fault.at, fault.action) == ("SM.XL01", "cable", repaired.at, "reseat")
    assert (fault.lines, fault.symptoms, fault.open_minutes) == (("in 1",), ("hum", "crackle"), 4.0)
    assert (fault.place, fault.by, fault.show, fault.again) == ("Stage left", "JD", "Night 1", False)
    assert lives(found)["SM.XL01"].faults == (2,)
    assert [(one.line, one.symptom) for one in found.unconfirmed] == [("in 2", "low")]


def test_a_line_that_was_ok_in_the_end_is_not_unconfirmed(told: Told) -> None:
    told.rig()
    told.check("in 1 hum", "in 1", "in 2", "in 2 hum")
    assert [one.line for one in tally(told.journal).unconfirmed] == ["in 2"]


def test_a_repair_that_did_not_clear_is_no_fault(told: Told) -> None:
    told.rig()
    told.check("in 1 hum")
    told.tell(kinds.repair("XL01", "reseat", cleared=False))
    found = tally(told.journal)
    assert found.faults == ()
    assert [one.line for one in found.unconfirmed] == ["in 1"]


def test_a_swap_counts_for_what_was_taken_out_and_exposes_what_was_put_in(told: Told) -> None:
    told.rig()
    check = told.check("in 1 hum")
    told.cleared("XL01", "swap", replacement="SP01", lines=["in 1"])
    told.mark("in 1", check=check)
    told.off(check)
    told.check("in 1")
    found = lives(tally(told.journal))
    assert (found["SM.XL01"].exposures, found["SM.XL01"].faults) == (1, (1,))
    assert found["SM.XL01"].pulled_at is not None
    assert found["SM.XL01"].pulled_at_last
    assert (found["SM.SP01"].exposures, found["SM.SP01"].kind, found["SM.SP01"].faults) == (2, "cable", ())


def test_a_move_exposes_the_new_port(told: Told) -> None:
    told.rig()
    path = [("MC1", "source"), ("XL01", "cable"), ("SB1 in 8", "port"), *TAIL, ("desk in 1", "desk")]
    told.off(told.check("in 1"))
    told.tell(setup_kinds.move("in 1", "SB1 in 1", "SB1 in 8", path))
    told.check("in 1")
    found = exposures(tally(told.journal))
    assert (found["SM.SB1 in 1"], found["SM.SB1 in 8"], found["SM.XL01"]) == (1, 1, 2)


def test_what_was_undone_does_not_count(told: Told) -> None:
    told.rig()
    check = told.check("in 1")
    mark = told.mark("in 2", "hum", check=check)
    repair = told.cleared("XL02")
    told.tell(kinds.void(mark.id))
    told.tell(kinds.void(repair.id))
    found = tally(told.journal)
    assert "SM.XL02" not in exposures(found)
    assert (found.faults, found.unconfirmed) == ((), ())
    void = told.tell(kinds.void(told.tell(kinds.void(mark.id)).id))
    assert exposures(tally(told.journal)).get("SM.XL02") is None, void


def test_an_undone_void_brings_a_mark_back(told: Told) -> None:
    told.rig()
    mark = told.mark("in 2", check=told.check("in 1"))
    void = told.tell(kinds.void(mark.id))
    told.tell(kinds.void(void.id))
    assert exposures(tally(told.journal))["SM.XL02"] == 1


def test_one_cable_in_two_rigs_has_one_history_and_hired_gear_its_own(told: Told) -> None:
    told.rig()
    told.rig("Tent", digest=OTHER)
    told.rig("Hall", "QN", digest="c" * 64, owners={"XL01": "SM", "SB1": "HX"})
    told.off(told.check("in 1"))
    told.off(told.check("in 1", rig="Tent", plan=OTHER), rig="Tent")
    told.check("in 1", rig="Hall", plan="c" * 64)
    found = exposures(tally(told.journal))
    assert found["SM.XL01"] == 3
    assert (found["HX.SB1"], found["HX.SB1 in 1"], found["QN.LK01"], found["QN.chain A"]) == (1, 1, 1, 1)
    assert found["SM.SB1"] == 2


def test_pulled_until_returned_in_whichever_rig(told: Told) -> None:
    told.rig()
    told.rig("Tent", digest=OTHER)
    told.check("in 1", "in 2")
    first, second = told.tell(taken_out.pulled("XL01")), told.tell(taken_out.pulled("XL02"))
    assert first.at < second.at
    told.tell(taken_out.returned("XL02"), rig="Tent")
    found = lives(tally(told.journal))
    assert (found["SM.XL01"].pulled_at, found["SM.XL02"].pulled_at) == (first.at, None)
    assert not found["SM.XL01"].pulled_at_last


def test_the_latest_bench_result_counts_also_of_an_item_by_its_tag(told: Told) -> None:
    told.rig()
    told.check("in 1")
    told.tell(kinds.bench("XL01", ohms=3.9, passed=False))
    told.tell(kinds.bench("SM.XL01", ohms=None, passed=True), rig=None, show=None)
    told.tell(kinds.bench("SM.XL77", ohms=None, passed=False), rig=None, show=None)
    found = lives(tally(told.journal))
    assert (found["SM.XL01"].bench, found["SM.XL77"].bench, found["SM.MC1"].bench) == (True, False, None)
    assert (found["SM.XL77"].exposures, found["SM.XL77"].kind) == (0, "cable")


def test_a_second_fault_of_an_item_comes_again(told: Told) -> None:
    told.rig()
    told.off(told.check("in 1 hum"))
    told.cleared("XL01")
    told.check("in 1 hum")
    told.cleared("XL01")
    found = tally(told.journal)
    assert [fault.again for fault in found.faults] == [False, True]
    assert lives(found)["SM.XL01"].faults == (1, 2)


def test_one_show_alone(told: Told) -> None:
    told.rig()
    told.off(told.check("in 1"))
    told.check("in 1 hum", show="Night 2")
    found = tally(told.journal, "Night 2")
    assert exposures(found)["SM.XL01"] == 1
    assert [one.show for one in found.checks] == ["Night 2"]
    assert exposures(tally(told.journal, "Night 3")) == {}


def test_the_tally_of_all_and_that_of_one_show_from_one_reading(told: Told) -> None:
    told.rig()
    told.check("in 1 hum")
    told.cleared("XL01", "swap", replacement="XL09", lines=["in 1"])
    told.check("in 1", "in 2 hum", show="Night 2")
    told.tell(taken_out.pulled("XL02"), "Night 2")
    for show in ("Night 1", "Night 2", "Night 3"):
        assert tallies(told.journal, show) == (tally(told.journal), tally(told.journal, show))


def test_marks_of_plans_that_the_log_does_not_know_are_checks_without_items(told: Told) -> None:
    told.check("in 1", "in 2")
    found = tally(told.journal)
    assert found.lives == ()
    assert [one.lines for one in found.checks] == [2]


def test_venue_date_and_crew_of_a_check(told: Told) -> None:
    told.rig()
    told.tell(kinds.show("Night 1", venue="Old Mill", date="2030-03-17"))
    check = told.check("in 1")
    told.tell(kinds.mark("in 2", "ok", plan=PLAN, check=check), by="AB")
    (found,) = tally(told.journal).checks
    assert (found.venue, found.date, found.crew) == ("Old Mill", "2030-03-17", ("AB", "JD"))


def old(day: str, item: str, line: str | None, verdict: str | None, action: str | None) -> Record:
    symptom = "hum" if verdict == "faulty" else None
    return Record(date.fromisoformat(day), None, "Summer tour", line, item, verdict, symptom, action, None)


def test_old_records_count_for_the_item_that_they_name(told: Told) -> None:
    told.rig()
    told.check("in 1")
    records = [
        old("2019-05-02", "XL01", "in 7", "faulty", "swap"),
        old("2019-05-03", "XL01", "in 7", "ok", None),
        old("2019-05-04", "XL99", None, None, "mend"),
        old("2019-05-04", "XL01", None, "faulty", None),
    ]
    import_records(told.journal, records, "Old records")
    found = tally(told.journal)
    life = lives(found)["SM.XL01"]
    assert (life.exposures, life.faults, life.bench) == (3, (1,), False)
    assert (lives(found)["XL99"].exposures, lives(found)["XL99"].faults) == (1, (1,))
    first, second = found.faults
    assert (first.item, first.lines, first.symptoms, first.open_minutes) == ("SM.XL01", ("in 7",), ("hum",), None)
    assert (second.item, second.action) == ("XL99", "mend")
    assert found.unconfirmed == ()


def test_a_row_that_holds_what_does_not_belong_there_spoils_no_other(told: Told) -> None:
    told.rig()
    check = told.check("in 1")
    told.mark("in 2", check=check)
    with told.journal.writing() as bare:
        bare.execute(
            "INSERT INTO entry SELECT id || 'x', device, seq, at, clock, kind, rig, show, NULL, \"by\", detail,"
            " previous, digest FROM entry WHERE kind = 'mark' LIMIT 1"
        )
        bare.execute(
            "INSERT INTO entry SELECT id || 'y', device, seq, at, clock, kind, rig, show, subject, \"by\", '{bad',"
            " previous, digest FROM entry WHERE kind = 'mark' LIMIT 1"
        )
    found = exposures(tally(told.journal))
    assert (found["SM.XL01"], found["SM.XL02"]) == (1, 1)


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["mark", "mark", "mark", "off", "swap", "void", "repair"]),
        st.sampled_from(["in 1", "in 2"]),
        st.sampled_from([None, None, "hum"]),
        st.sampled_from(["Night 1", "Night 2"]),
    ),
    max_size=25,
)


class Walk:
    """The same counted one step after the other, with the paths as they are then and nothing of what is tested."""

    def __init__(self, told: Told) -> None:
        self.told = told
        self.paths = {line: [name for name, _ in path] for line, path in LINES.items()}
        self.opened: dict[str, str] = {}
        self.seen: dict[str, set[str]] = {}
        self.faults: list[str] = []
        self.last: tuple[str, str, str, set[str]] | None = None

    def mark(self, number: int, line: str, symptom: str | None, show: str) -> None:
        if show not in self.opened:
            self.opened[show] = self.told.tell(kinds.check_opened(), show).id
        check = self.opened[show]
        entry = self.told.mark(line, symptom, check=check, show=show)
        self.last = (entry.id, show, check, self.seen.get(check, set()))
        self.seen[check] = self.last[3] | set(self.paths[line])

    def off(self, number: int, line: str, symptom: str | None, show: str) -> None:
        if show in self.opened:
            self.told.off(self.opened.pop(show), show=show)

    def swap(self, number: int, line: str, symptom: str | None, show: str) -> None:
        self.told.tell(setup_kinds.swap(self.paths[line][1], f"SP{number}", lines=[line]), show)
        self.paths[line][1] = f"SP{number}"

    def void(self, number: int, line: str, symptom: str | None, show: str) -> None:
        if self.last is not None:
            entry, of_show, check, before = self.last
            self.told.tell(kinds.void(entry), of_show)
            self.seen[check] = before

    def repair(self, number: int, line: str, symptom: str | None, show: str) -> None:
        if show in self.opened:
            self.told.tell(kinds.repair(self.paths[line][1], "reseat", cleared=True), show)
            self.faults.append(self.paths[line][1])


@pytest.mark.independent
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(STEPS)
def test_counts_like_a_plain_walk_through_the_story(tmp_path_factory: Any, steps: list[Any]) -> None:
    """Independent: counted by `Walk` as the story goes on."""
    told = Told(tmp_path_factory.mktemp("story") / "journal.db")
    told.rig()
    walk = Walk(told)
    for number, (what, *more) in enumerate(steps):
        getattr(walk, what)(number, *more)
        walk.last = walk.last if what == "mark" else None
    found = tally(told.journal)
    told.journal.close()
    counted = Counter(f"SM.{item}" for items in walk.seen.values() for item in items)
    known = {life.item: life.exposures for life in found.lives if not life.faults}
    assert known == {item: number for item, number in counted.items() if item[3:] not in walk.faults}
    assert [fault.item for fault in found.faults] == [f"SM.{item}" for item in walk.faults]
