"""Marks out of a CSV file: what is taken, what is refused, and that every fault is named."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.csv_table import TableRefused
from checkapp.rig.errors import FileRefused
from checkapp.rig.planfile import load_plan
from checkapp.rig.words import SYMPTOMS
from checkapp.show.marks_csv import Marked, marks_of, read_marks

RIG = load_plan(Path(__file__).parents[2] / "plans" / "small.toml")


def read(text):
    return marks_of(text.encode(), "marks.csv", RIG)


def faults(text):
    with pytest.raises(TableRefused) as refused:
        read(text)
    return [str(fault) for fault in refused.value.faults]


def test_each_line_with_its_verdict_and_symptom():
    assert read("line,verdict,symptom\nin 1,ok,\nin 2,faulty,hum\nin 3,faulty,\n") == (
        Marked("in 1", False, None),
        Marked("in 2", True, "hum"),
        Marked("in 3", True, None),
    )


def test_a_later_row_replaces_an_earlier_one():
    marks = read("line,verdict,symptom\nin 2,faulty,hum\nin 1,ok,\nin 2,ok,\n")
    assert marks == (Marked("in 1", False, None), Marked("in 2", False, None))


def test_the_symptom_column_may_be_missing_others_may_be_there_and_case_is_forgiven():
    assert read("Name;Verdict;LINE\nKick;OK;IN 1\nSnare;Faulty;in2\n") == (
        Marked("in 1", False, None),
        Marked("in 2", True, None),
    )
    assert read("line,verdict,symptom\nin 1,faulty,Wrong Line\n")[0].symptom == "wrong line"


def test_rows_without_a_verdict_are_lines_that_nobody_marked():
    assert read("line,verdict,symptom\nin 1,,\nin 2,ok,\n") == (Marked("in 2", False, None),)


def test_every_fault_is_named_with_its_row():
    found = faults("line,verdict,symptom\nin 99,ok,\nin 1,good,\nin 2,faulty,buzz\nin 3,ok,hum\n")
    assert [fault.split(": ")[0] for fault in found] == [f"marks.csv:{row}" for row in (2, 3, 4, 5)]
    assert found[0].startswith('marks.csv:2: line: no line "in 99"')
    assert found[1] == "marks.csv:3: verdict: is good; ok, faulty, or nothing"
    assert "silent, hum, crackle" in found[2]
    assert found[3].endswith("is hum on a line that is not faulty; leave it out")


def test_a_file_without_the_columns_is_refused():
    assert faults("line,symptom\nin 1,hum\n") == [
        'marks.csv:1: has no column "verdict"; name the columns line,verdict,symptom'
    ]
    faults("nothing at all")


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(FileRefused):
        read_marks(tmp_path / "none.csv", RIG)


lines = st.sampled_from([line.line for line in RIG.lines])
rows = st.one_of(
    st.tuples(lines, st.just("faulty"), st.sampled_from(["", *SYMPTOMS])), st.tuples(lines, st.just("ok"), st.just(""))
)


@given(st.lists(rows, max_size=20))
def test_what_was_written_comes_back_the_last_of_each_line(told):
    text = "line,verdict,symptom\n" + "".join(f"{','.join(row)}\n" for row in told)
    last = {line: (verdict == "faulty", symptom or None) for line, verdict, symptom in told}
    assert {mark.line: (mark.faulty, mark.symptom) for mark in read(text)} == last


@given(st.binary(max_size=200))
def test_no_content_makes_it_fall_over(content):
    try:
        marks_of(b"line,verdict,symptom\n" + content, "marks.csv", RIG)
    except TableRefused as refused:
        assert refused.faults
