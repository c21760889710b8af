"""Old records: what rows say, which are bad, and the entries that they become."""

import random
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.journal import kinds
from checkapp.journal.clock import is_clock
from checkapp.journal.export import export
from checkapp.journal.journal import Journal
from checkapp.journal.old_entries import RIG, entries_of, import_records, rigs_known
from checkapp.journal.old_records import COLUMNS, Record, Records, read_records
from checkapp.journal.state import show_state, shows
from checkapp.journal.taking_in import take_in
from checkapp.journal.verify import verify
from checkapp.rig.csv_table import TableRefused

TODAY = date(2031, 6, 1)
PAPER = """date,show,line,item,verdict,symptom,action,note
2.5.2031,Night 1,in 7,XL07,faulty,crackle,swap,changed the lead
2.5.2031,Night 1,in 7,,ok,,,
2.5.2031,Night 1,in 8,,ok,,,
3.5.2031,,OUT2,,faulty,hum,,
4.5.2031,Shop,,SM.XL07,faulty,,,bench
4.5.2031,Shop,,sb1 IN 3,,,mend,
4.5.2031,Shop,in 9,,,,,needs a longer stand
"""


def records(text: str, **how: Any) -> Records:
    return read_records(text.encode(), "old.csv", today=TODAY, **how)


def first(row: str, heading: str = ",".join(COLUMNS)) -> Record:
    found = records(f"{heading}\n{row}\n")
    assert found.faults == ()
    return found.records[0]


def bad(row: str, heading: str = ",".join(COLUMNS)) -> str:
    found = records(f"{heading}\n1.5.2031,Night 1,in 1,,ok,,,\n{row}\n")
    assert len(found.records) == 1
    return str(found.faults[0])


def entries(text: str = PAPER, rig: str = "Barn") -> list[Any]:
    return list(entries_of(records(text).records, rig))


def test_a_row_says_when_where_what_and_what_was_done() -> None:
    found = records(PAPER)
    assert (found.faults, found.doubts) == ((), ())
    assert found.records[0] == Record(
        day=date(2031, 5, 2),
        day_ms=None,
        show="Night 1",
        line="in 7",
        item="XL07",
        verdict="faulty",
        symptom="crackle",
        action="swap",
        note="changed the lead",
    )
    assert found.records[3].line == "out 2"
    assert found.records[3].show == "2031-05-03"
    assert [record.item for record in found.records[4:6]] == ["SM.XL07", "SB1 in 3"]


def test_columns_in_any_order_and_others_kept_in_the_note() -> None:
    row = first("JD,ok,in 7,2.5.2031,fine,Barn", "Checked by,Verdict,LINE,Date,note,venue")
    assert (row.line, row.verdict, row.note) == ("in 7", "ok", "fine; checked by: JD; venue: Barn")
    assert first("2.5.2031,in 7,ok,,", "date,line,verdict,note,venue").note is None


@pytest.mark.parametrize(
    ("cell", "item"),
    [
        ("xl07", "XL07"),
        ("sm.xl07", "SM.XL07"),
        ("SM.LK01.A.D", "SM.LK01"),
        ("SM.SB1.C", "SM.SB1"),
        ("sb1  in 3", "SB1 in 3"),
        ("source in 3", "source in 3"),
        ("desk out 2", "desk out 2"),
        ("DESK out 2", "DESK out 2"),
        ("chain A", "chain A"),
        ("the long blue lead", "the long blue lead"),
    ],
)
def test_items_are_known_as_they_are_written(cell: str, item: str) -> None:
    assert first(f"2.5.2031,,,{cell},faulty,,,").item == item


@pytest.mark.parametrize(
    ("row", "field", "wrong"),
    [
        (",Night 1,in 7,,ok,,,", "date", "is missing"),
        ("soon,Night 1,in 7,,ok,,,", "date", "is soon"),
        ("31.4.2031,Night 1,in 7,,ok,,,", "date", "is 31.4.2031"),
        ("2.5.1931,Night 1,in 7,,ok,,,", "date", "is 2.5.1931, which is 1931-05-02, before 1970"),
        ("2.5.2031,Night 1,kick,,ok,,,", "line", "is kick"),
        ("2.5.2031,Night 1,,,ok,,,", "line", "is missing, and so is the item"),
        ("2.5.2031,Night 1,in 7,,perhaps,,,", "verdict", "is perhaps"),
        ("2.5.2031,Night 1,in 7,,faulty,ghosts,,", "symptom", "is ghosts"),
        ("2.5.2031,Night 1,in 7,,ok,hum,,", "symptom", "is hum where the verdict is ok"),
        ("2.5.2031,Night 1,in 7,XL07,faulty,hum,pray,", "action", "is pray"),
        ("2.5.2031,Night 1,in 7,,faulty,hum,swap,", "item", "is missing: swap of what"),
        ("2.5.2031,Night 1,in 7,SM.LK01.A.E,faulty,hum,,", "item", "is SM.LK01.A.E, and its check character"),
        ("2.5.2031,Night 1,in 7,,,,,", "verdict", "is missing, and so are action and note"),
        ("2.5.2031,Night 1,in 7,,ok,,,a,b", "", "has 9 cells where 8 are named"),
    ],
)
def test_each_bad_row_is_told_by_its_line(row: str, field: str, wrong: str) -> None:
    said = bad(row)
    assert said.startswith(f"old.csv:3: {field}: {wrong}" if field else f"old.csv:3: {wrong}")
    assert "; " in said


def test_all_bad_rows_are_told_at_once_in_the_order_of_the_file() -> None:
    text = PAPER + "junk,,in 1,,ok,,,\n5.5.2031,,in 1,,ok,,,,,extra\n5.5.2031,,in 1,,bad,,,\n"
    found = records(text)
    assert [fault.line for fault in found.faults] == [9, 10, 11]
    assert len(found.records) == 7


def test_no_column_of_dates() -> None:
    assert [str(fault) for fault in records("line,verdict\nin 7,ok\n").faults] == [
        "old.csv:1: date: there is no such column; say when it was"
    ]
    with pytest.raises(TableRefused):
        records("")


def dated(*texts: str, **how: Any) -> Records:
    return records("date,line,verdict\n" + "".join(f"{text},in 1,ok\n" for text in texts), **how)


def test_the_column_tells_how_dates_are_read_and_that_is_said() -> None:
    found = dated("02/05/2031", "25/05/2031")
    assert found.records[0].day == date(2031, 5, 2)
    assert found.doubts == ("dates: 02/05/2031 is read as 2 May 2031, since there is 25/05/2031",)
    found = dated("02/05/2031", "05/25/2031")
    assert found.records[0].day == date(2031, 2, 5)
    assert found.doubts == ("dates: 02/05/2031 is read as 5 February 2031, since there is 05/25/2031",)
    (said,) = dated("02/05/2031").doubts
    assert said.startswith("dates: 02/05/2031 is read as 2 May 2031, the day first; nothing in the column tells")
    assert dated("2031-05-02", "2 May 2031", "48000").doubts == ()


def test_what_the_caller_says_of_dates_goes_first() -> None:
    found = dated("02/05/2031", "25/05/2031", day_first=False)
    assert [record.day for record in found.records] == [date(2031, 2, 5), date(2031, 5, 25)]
    assert found.doubts == ()


def test_a_column_that_has_both_is_asked_about_row_by_row() -> None:
    found = dated("13/1/2031", "1/14/2031", "1/2/2031", "3/3/2031")
    assert [record.day for record in found.records] == [date(2031, 1, 13), date(2031, 1, 14), date(2031, 3, 3)]
    assert [fault.line for fault in found.faults] == [4]
    assert "both 13/1/2031 and 1/14/2031" in str(found.faults[0])
    assert dated("13/1/2031", "1/14/2031", "1/2/2031", day_first=True).faults == ()


def test_dates_of_the_future_are_taken_and_said() -> None:
    assert dated("2.5.2301", "2.5.2031").doubts == (
        "dates: 1 row is dated after today, 2031-06-01, the last 2301-05-02; look at the year",
    )


def test_rows_become_marks_repairs_bench_results_and_notes() -> None:
    told = [(entry.kind, entry.subject, entry.show) for entry in entries() if entry.kind not in ("show", "check")]
    assert told == [
        ("mark", "in 7", "Night 1"),
        ("repair", "XL07", "Night 1"),
        ("mark", "in 7", "Night 1"),
        ("mark", "in 8", "Night 1"),
        ("mark", "out 2", "2031-05-03"),
        ("bench", "SM.XL07", "Shop"),
        ("repair", "SB1 in 3", "Shop"),
        ("note", "in 9", "Shop"),
    ]
    by_kind = {entry.kind: entry for entry in reversed(entries())}
    assert by_kind["mark"].details | {"check": ""} == {
        "verdict": "faulty",
        "symptom": "crackle",
        "note": "changed the lead",
        "scope": "line",
        "plan": None,
        "check": "",
        "item": "XL07",
        "record": "2031-05-02",
    }
    repair = kinds.read_repair(by_kind["repair"])
    assert repair is not None
    assert (repair.item, repair.action, repair.cleared, repair.lines) == ("XL07", "swap", True, ("in 7",))
    assert by_kind["bench"].details["pass"] is False
    assert by_kind["note"].details["text"] == "needs a longer stand"


def test_entries_are_whole_and_dated_as_the_paper_is() -> None:
    told = entries()
    assert all(entry.digest == entry.computed_digest() and is_clock(entry.clock) for entry in told)
    assert len({entry.id for entry in told}) == len(told)
    assert {entry.at for entry in told if entry.kind == "mark"} == {
        "2031-05-02T12:00:00.000Z",
        "2031-05-03T12:00:00.000Z",
    }


def test_a_line_found_faulty_repaired_and_found_ok_on_one_day_ends_ok() -> None:
    for verdicts in (["faulty", "ok"], ["ok", "faulty"]):
        rows = "".join(f"2.5.2031,Night 1,in 7,{verdict}\n" for verdict in verdicts)
        state = show_state(entries("date,show,line,verdict\n" + rows), "Barn", "Night 1")
        assert state.lines["in 7"].verdict == "ok"
    at_times = "2.5.2031 10:00,Night 1,in 7,ok\n2.5.2031 21:30,Night 1,in 7,faulty\n"
    state = show_state(entries("date,show,line,verdict\n" + at_times), "Barn", "Night 1")
    assert state.lines["in 7"].verdict == "faulty"


def test_the_show_is_known_with_its_date_and_its_check_is_signed_off() -> None:
    told = entries()
    assert [(show.name, show.date) for show in shows(told, "Barn")] == [
        ("Night 1", "2031-05-02"),
        ("2031-05-03", "2031-05-03"),
        ("Shop", "2031-05-04"),
    ]
    state = show_state(told, "Barn", "Night 1")
    assert state.signed_off
    assert {line: mark.verdict for line, mark in state.lines.items()} == {"in 7": "ok", "in 8": "ok"}


def test_a_show_of_today_by_the_name_of_an_old_one_keeps_its_place_and_its_check(story: Any) -> None:
    for show in ("Yard", "Night 1"):
        story.tell(kinds.show(show, date="2031-06-01"), show=show, rig="Barn")
        opened = story.tell(kinds.check_opened(), show=show, rig="Barn")
    story.tell(kinds.mark("in 1", "ok", plan="a" * 64, check=opened.id), show="Night 1", rig="Barn")
    for text in (PAPER, PAPER.replace("2031", "2301")):
        told = [*story.entries, *entries(text)]
        assert [show.name for show in shows(told, "Barn")][-2:] == ["Yard", "Night 1"]
        assert shows(told, "Barn")[-1].date == "2031-06-01"
        state = show_state(told, "Barn", "Night 1")
        assert (state.signed_off, list(state.lines)) == (False, ["in 1"])


def test_the_clock_of_the_tablet_is_not_moved_by_a_wrong_year_on_paper(journal: Journal) -> None:
    import_records(journal, records(PAPER.replace("2031", "2301")).records, "Barn")
    written = journal.append("note", now_ms=1_935_496_991_120, new_id="written-afterwards")
    assert written.clock == f"{1_935_496_991_120:012x}-0000"
    assert journal.entries()[-1] == written
    assert verify(journal) == []


def exported(journal: Journal) -> bytes:
    out = journal.path.with_name("export.jsonl")
    export(journal, out)
    return out.read_bytes()


def test_the_same_file_counts_once_whoever_takes_it_in(journal: Journal, tmp_path: Path) -> None:
    taken = import_records(journal, records(PAPER).records, "Barn")
    assert (taken.new, taken.known, taken.faults) == (17, 0, ())
    content = exported(journal)
    heading, *rows = PAPER.splitlines(keepends=True)
    random.Random(1).shuffle(rows)
    again = import_records(journal, records("".join([heading, *rows])).records, "Barn")
    assert (again.new, again.known) == (0, 17)
    assert exported(journal) == content
    with Journal.open(tmp_path / "right.db", new_device="right", create=True) as right:
        import_records(right, records(PAPER.replace("2.5.2031", "2031-05-02")).records, "Barn")
        assert take_in(right, journal.entries()).new == 0
    more = import_records(journal, records(PAPER + "2.5.2031,Night 1,in 9,,ok,,,\n").records, "Barn")
    assert (more.new, more.known) == (1, 17)
    assert verify(journal) == []


def test_rows_that_say_the_same_count_each() -> None:
    row = "2.5.2031,Night 1,in 7,XL07,faulty,crackle,reseat,\n"
    heading, *_ = PAPER.splitlines(keepends=True)
    told = entries(heading + row * 3)
    assert sum(entry.kind == "repair" for entry in told) == 3
    assert len({entry.id for entry in told}) == len(told)


def test_which_rigs_are_known(journal: Journal) -> None:
    assert rigs_known(journal) == ([], [])
    journal.append("note", now_ms=1, new_id="one-of-the-yard-only", rig="Yard")
    assert rigs_known(journal) == (["Yard"], [])
    import_records(journal, records(PAPER).records, RIG)
    assert rigs_known(journal) == ([RIG, "Yard"], [RIG])


cells = st.text(max_size=10) | st.sampled_from(
    ["2.5.2031", "in 7", "XL07", "faulty", "ok", "hum", "swap", "SM.SB1.C", "\0", "48000", "1/2/31", "a\nb", ""]
)


@given(st.lists(st.lists(cells, min_size=8, max_size=8), max_size=5))
def test_whatever_rows_hold_they_are_good_or_told(rows: list[list[str]]) -> None:
    quoted = [",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows]
    text = "\n".join([",".join(COLUMNS), *quoted]).encode(errors="replace")
    try:
        found = read_records(text, "old.csv", today=TODAY)
    except TableRefused as error:
        assert all("\n" not in line for line in error.lines)
        return
    assert all("\n" not in str(fault) for fault in found.faults)
    for entry in entries_of(found.records, "Barn"):
        assert entry.digest == entry.computed_digest()
        assert "\0" not in (entry.show or "") + (entry.subject or "")
