"""The CSV files read back: one a table, nothing that a spreadsheet program takes for a formula."""

import csv
import io
from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from checkapp.history.analysis import analysed
from checkapp.history.lives import Tally, Unconfirmed
from checkapp.history.report_csv import csv_files, guarded
from checkapp.history.tables import tables
from checkapp.rig.errors import printable


def read(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline="")))


def test_one_file_a_table_with_all_rows(tour):
    files = csv_files(tour)
    assert list(files) == [f"{table.name.lower()}.csv" for table in tables(tour)] + ["method.csv"]
    for table in tables(tour):
        assert len(read(files[f"{table.name.lower()}.csv"])) == len(table.rows)


def test_figures_come_back_as_they_were(tour):
    rows = read(csv_files(tour)["items.csv"])
    assert [row["item"] for row in rows] == [row.life.item for row in tour.items]
    assert [float(row["rate (faults per check)"]) for row in rows] == [row.rate for row in tour.items]
    assert [row["trend p"] == "" for row in rows] == [row.trend.p is None for row in tour.items]


def test_times_come_back_as_they_were(tour):
    rows = read(csv_files(tour)["checks.csv"])
    began = [datetime.fromisoformat(row["began (UTC)"]) for row in rows]
    assert began == [datetime.fromisoformat(check.at) for check in tour.tally.checks]
    assert all(one.tzinfo == UTC for one in began)


def test_counts_add_up(tour):
    rows = read(csv_files(tour)["counts.csv"])
    for by in ("show", "venue", "place", "symptom", "initials", "action"):
        assert sum(int(row["faults"]) for row in rows if row["by"] == by) == len(tour.tally.faults)


def test_an_empty_history_has_heads_only(nothing):
    files = csv_files(nothing)
    assert all(content.count(b"\r\n") == 1 for name, content in files.items() if name != "method.csv")


@given(st.sampled_from(["=", "+", "-", "@", "\t", "\r", ""]), st.text(max_size=12))
def test_no_text_begins_as_a_formula(start, rest):
    text = start + rest
    one = Unconfirmed(text, "", text, "", None, text)
    (row,) = read(csv_files(analysed(Tally((), unconfirmed=(one,))))["unconfirmed.csv"])
    for name in ("line", "rig", "by"):
        assert not row[name].startswith(("=", "+", "-", "@", "\t", "\r"))
        assert row[name].removeprefix("'") == printable(text).removeprefix("'")


def test_only_what_looks_like_a_formula_is_guarded():
    assert [guarded(text) for text in ("=1", "a=1", "-", "", "'x")] == ["'=1", "a=1", "'-", "", "'x"]
