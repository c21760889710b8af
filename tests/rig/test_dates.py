"""Dates as they are written: forms, order of day and month by the column, serial numbers."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.dates import day_order, is_ambiguous, read_date

THE_SECOND_OF_MAY = date(2031, 5, 2)


def read(text, *, day_first=True):
    return read_date(text, day_first=day_first, this_year=2031)


@pytest.mark.parametrize(
    "text",
    [
        *("2031-05-02", "2031-5-2", "2031/05/02", "2031.05.02", "20310502"),
        *("2.5.2031", "02.05.2031", "02.05.31", "2. 5. 2031", "02/05/2031", "2/5/31", "2-5-2031"),
        *("2 May 2031", "2nd May 2031", "2nd of May 2031", "May 2, 2031", "may 2 2031", "2-May-31", "2. May 2031"),
        *("Fri 2 May 2031", "Friday, 2 May 2031", "fri, 2031-05-02", "  2   MAY  2031 ", "2 may '31"),
    ],
)
def test_the_usual_forms(text):
    found = read(text)
    assert (found.day, found.day_ms) == (THE_SECOND_OF_MAY, None)


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("2031-05-02T14:30", 14.5),
        ("2031-05-02 14:30:00", 14.5),
        ("2031-05-02T14:30:00.000Z", 14.5),
        ("2031-05-02T16:30+02:00", 14.5),
        ("2031-05-01T23:30-0200", 1.5),
        ("2.5.2031 14:30", 14.5),
        ("02/05/2031 2:30 PM", 14.5),
        ("2 May 2031, 2:30 p.m.", 14.5),
        ("2/5/2031 12:00 AM", 0),
        ("2/5/2031 12:00 pm", 12),
    ],
)
def test_a_time_of_day(text, hours):
    found = read(text)
    assert (found.day, found.day_ms) == (THE_SECOND_OF_MAY, hours * 3_600_000)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            "yesterday",
            "31/02/2031",
            "31.4.2031",
            "2031-13-01",
            "2031-00-10",
            "0/5/2031",
            "29/2/2031",
            "05.13.2031",
        ),
        *("2 Foo 2031", "2 ma 2031", "May 2031", "2031", "2031-05", "48", "2.5", "13/13/2031", "2031-05-02 25:00"),
        *("2031-05-02 12:60", "2031-05-02 13:00 pm", "2031-05-02 10:00+99:00", "2.5/2031", "123456", "2031-05-02x"),
    ],
)
def test_what_is_no_date(text):
    assert read(text) is None


@pytest.mark.published
@pytest.mark.parametrize(
    ("serial", "day"),
    # ISO/IEC 29500-1, 18.17.4.1, the 1900 date system (clause and examples from memory): 1 January 1900 is 1, and
    # 1900 is held for a leap year; 1 January 2008 is 39448, the usual example of vendors' manuals.
    [("39448", date(2008, 1, 1)), ("36526", date(2000, 1, 1)), ("43831", date(2020, 1, 1))],
)
def test_serial_numbers_of_spreadsheets(serial, day):
    assert read(serial).day == day


def test_the_part_of_a_serial_number_is_the_time():
    assert read("48000.75").day_ms == 18 * 3_600_000
    assert read("48000,25").day_ms == 6 * 3_600_000
    assert read("48000.999999999999").day_ms == 86_399_999


@pytest.mark.parametrize(("text", "year"), [("1.1.31", 2031), ("1.1.32", 1932), ("1.1.99", 1999), ("1.1.00", 2000)])
def test_a_year_of_two_figures_is_the_latest_that_has_been(text, year):
    assert read(text).day.year == year


def test_the_column_tells_which_comes_first():
    assert day_order(["02/05/2031", "25/05/2031"]) == (True, "25/05/2031", "02/05/2031", None)
    assert day_order(["", "junk", "02/05/2031", "5-25-31"]) == (False, "5-25-31", "02/05/2031", None)
    assert day_order(["02/05/2031"]) == (True, "", "02/05/2031", None)
    assert day_order(["2031-05-02", "2.5.2031"]) == (True, "", "", None)
    assert day_order(["25/1/31", "1/25/31", "1/2/31"]) == (True, "", "1/2/31", ("25/1/31", "1/25/31"))


def test_month_first():
    assert read("05/02/2031", day_first=False).day == THE_SECOND_OF_MAY
    assert read("25/05/2031", day_first=False).day == date(2031, 5, 25)
    assert read("02.05.2031", day_first=False).day == THE_SECOND_OF_MAY
    assert is_ambiguous("02/05/2031")
    assert not any(map(is_ambiguous, ["05/05/2031", "25/05/2031", "02.05.2031", "2031-05-02", "2 May 2031"]))


@given(st.dates(date(1970, 1, 1), date(2031, 12, 31)), st.booleans())
def test_what_is_written_in_any_form_is_read_again(day, day_first):
    first, second = (day.day, day.month) if day_first else (day.month, day.day)
    serial = (day - date(2008, 1, 1)) // timedelta(days=1) + 39448
    forms = [
        day.isoformat(),
        f"{day:%Y%m%d}",
        f"{day.day}.{day.month}.{day.year}",
        f"{first}/{second}/{day.year}",
        f"{first:02}-{second:02}-{day.year}",
        f"{day:%d %b %Y}",
        f"{day:%A, %B %d, %Y}",
        str(serial),
    ]
    assert {read(text, day_first=day_first).day for text in forms} == {day}


@given(st.text(max_size=30) | st.text("0123456789./-: ", max_size=20))
def test_never_falls_over_anything(text):
    found = read(text)
    assert found is None or (found.day_ms is None or 0 <= found.day_ms < 86_400_000)
    is_ambiguous(text)
    day_order([text])
