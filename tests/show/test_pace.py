"""The pace of a check: the median of what lies between marks, breaks left out."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.show.pace import BREAK_S, LEAST_MARKS, Pace, left_s, left_words, line_s, pace_words

BEGAN = datetime(2031, 5, 2, 14, 0, tzinfo=UTC)


def at(second):
    return (BEGAN + timedelta(seconds=second)).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def times(*gaps_s):
    moment, told = 0.0, [at(0)]
    for gap in gaps_s:
        moment += gap
        told.append(at(moment))
    return told


@pytest.mark.closed_form
def test_the_time_of_a_line_is_the_median_between_marks():
    assert line_s(times(12, 12, 12, 12)) == pytest.approx(12)
    assert line_s(times(8, 10, 12, 14, 16)) == pytest.approx(12)
    assert line_s(times(8, 10, 12, 14)) == pytest.approx(11)


@pytest.mark.closed_form
def test_a_break_is_nobodys_pace():
    assert line_s(times(10, 10, 3600, 10, 10)) == pytest.approx(10)
    assert line_s(times(10, 10, BREAK_S, 10, 10)) == pytest.approx(10)
    assert line_s(times(3600, 3600, 3600, 3600, 3600)) is None


def test_nothing_is_told_before_five_marks():
    assert LEAST_MARKS == 5
    assert line_s([]) is None
    assert line_s(times(12, 12, 12)) is None
    assert line_s(times(12, 12, 12, 12)) is not None
    assert line_s(times(12, 12, 12, 600)) is None


def test_what_is_no_time_is_left_out():
    assert line_s([*times(12, 12, 12, 12), "", "yesterday", "2031-05-02T14:00:01"]) == pytest.approx(12)


@given(st.lists(st.integers(1, 170), min_size=4, max_size=40), st.randoms())
def test_it_lies_between_the_quickest_and_the_slowest_in_whatever_order_marks_come(gaps, chance):
    told = times(*gaps)
    chance.shuffle(told)
    assert min(gaps) <= line_s(told) <= max(gaps)


@pytest.mark.independent
@given(st.lists(st.tuples(st.integers(0, 3000), st.integers(0, 9)), min_size=5, max_size=30))
def test_as_marks_come_and_go_it_is_what_all_of_them_tell(happened):
    """A mark that comes, most often the latest; now and then one is taken back, or the clock is that of yesterday."""
    pace, told = Pace(), []
    for number, (second, what) in enumerate(happened):
        if what == 0 and told:
            told.pop(second % len(told))
        else:
            told.append("yesterday" if what == 1 else at(second if what == 2 else 40 * number + second % 40))
        moments = sorted(datetime.fromisoformat(one).timestamp() for one in told if one != "yesterday")
        gaps = [after - before for before, after in pairwise(moments) if after - before <= BREAK_S]
        assert pace.line_s(tuple(told)) == (median(gaps) if len(gaps) >= LEAST_MARKS - 1 else None)


@given(st.lists(st.just(10), min_size=9, max_size=30), st.lists(st.integers(1, 100_000), max_size=4))
def test_a_few_slow_lines_and_breaks_do_not_move_it(usual, odd):
    assert line_s(times(*usual, *odd)) == pytest.approx(10)


@pytest.mark.parametrize(
    ("each", "open_lines", "words"),
    [
        (None, 40, ""),
        (12.0, 0, ""),
        (12.0, 45, "about 9 min left"),
        (12.0, 5, "about 1 min left"),
        (9.0, 5, "under a minute left"),
        (60.0, 100, "about 1 h 40 min left"),
    ],
)
def test_what_is_left_in_words(each, open_lines, words):
    assert left_words(each, open_lines) == words


@pytest.mark.closed_form
def test_time_left_is_open_lines_times_the_time_of_one():
    assert left_s(12.0, 45) == 540.0


def test_the_pace_in_words():
    assert [pace_words(s) for s in (None, 0.2, 11.6, 100.0)] == ["", "1 s a line", "12 s a line", "100 s a line"]
