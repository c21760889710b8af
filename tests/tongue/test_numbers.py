"""Numbers, dates and lists in English and in German."""

from datetime import date

import pytest

from checkapp.tongue import use
from checkapp.tongue.numbers import both, clock, day, fixed, moment, number, percent


@pytest.fixture(autouse=True)
def _english_again():
    yield
    use("en")


@pytest.mark.published  # Unicode CLDR, main/en_GB and main/de: decimal sign, percent pattern, medium date, list pattern
@pytest.mark.parametrize(
    ("code", "half", "share", "on_day", "list_of_three"),
    [
        ("en", "17.39", "12%", "26 Nov 2026", "SB1, SB2 and SB3"),
        ("de", "17,39", "12\N{NO-BREAK SPACE}%", "26.11.2026", "SB1, SB2 und SB3"),
    ],
)
def test_in_the_locales_way(code, half, share, on_day, list_of_three):
    use(code)
    assert number(17.3913) == half
    assert percent(0.1234) == share
    assert day(date(2026, 11, 26)) == day("2026-11-26") == on_day
    assert both(["SB1", "SB2", "SB3"]) == list_of_three
    assert both(["SB1"]) == "SB1"


def test_numbers_keep_so_many_digits():
    assert [number(value) for value in (66.0, 0.30827, 1234.56, 2_000_000.0)] == ["66", "0.3083", "1234.6", "2e+06"]
    assert fixed(0.5, 2) == "0.50"


def test_times_are_those_of_the_clock_on_the_wall(monkeypatch):
    monkeypatch.setenv("TZ", "Etc/GMT-2")
    import time

    time.tzset()
    try:
        assert clock("2031-05-02T14:03:11.120Z") == "16:03"
        assert moment("2031-05-02T23:03:11.120Z") == "3 May 2031, 01:03"
    finally:
        monkeypatch.undo()
        time.tzset()


def test_what_is_no_date_stays_as_it_is():
    assert day("the day before") == "the day before"
    assert clock("noon") == "noon"
    assert moment("noon") == "noon"
