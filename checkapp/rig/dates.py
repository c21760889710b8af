"""Dates as people and spreadsheets write them.

Where 2/5 can be the second of May or the fifth of February, the whole column is asked: a number above 12 tells.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import NamedTuple

_MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_MONTH = r"(?P<name>[a-z]{3,9})\.?"
_DAY = r"(?P<day>[0-9]{1,2})"
_YEAR = r"(?P<year>[0-9]{4}|'?[0-9]{2})"
_FULL_YEAR = r"(?P<year>[0-9]{4})"
_GAP = r"[ ,./-]+"
_TIME = (
    r"(?:(?:t|,?\s+)(?P<hour>[0-9]{1,2}):(?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2})(?:[.,](?P<part>[0-9]{1,6}))?)?"
    r"\s*(?P<half>[ap])?(?:\.?m\.?)?\s*(?P<zone>z|[+-][0-9]{2}:?[0-9]{2})?)?"
)
_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?"
_FORMS = tuple(
    re.compile(_WEEKDAY + form + _TIME, re.ASCII)
    for form in (
        rf"{_FULL_YEAR}(?P<sign>[-/.])(?P<month>[0-9]{{1,2}})(?P=sign){_DAY}",
        r"(?P<year>[0-9]{4})(?P<month>[0-9]{2})(?P<day>[0-9]{2})",
        rf"{_DAY}(?:st|nd|rd|th)?{_GAP}(?:of )?{_MONTH}{_GAP}{_YEAR}",
        rf"{_MONTH}{_GAP}{_DAY}(?:st|nd|rd|th)?{_GAP}{_YEAR}",
    )
)
_PAIR = re.compile(rf"{_WEEKDAY}(?P<one>[0-9]{{1,2}})(?P<sign>[./-])\s?(?P<two>[0-9]{{1,2}})(?P=sign)\s?{_YEAR}{_TIME}")
_SERIAL = re.compile(r"([0-9]{5})(?:[.,]([0-9]{1,15}))?", re.ASCII)
_SERIAL_ZERO = date(1899, 12, 30)
_DAY_MS = 86_400_000


@dataclass(frozen=True, slots=True)
class Written:
    """A date, and where one was written the time of day in milliseconds from midnight.

    A time with a zone is turned into UTC, its date with it; one without is taken as it stands.
    """

    day: date
    day_ms: int | None = None


class Order(NamedTuple):
    """How the column's dates such as 02/05/2031 are read. ``proof``: a date that can be read in no other way.

    ``example`` is one that could be read in either, both are empty where there is none. ``torn``: one proof for each.
    """

    day_first: bool
    proof: str = ""
    example: str = ""
    torn: tuple[str, str] | None = None


def day_order(texts: Iterable[str]) -> Order:
    """How dates such as 02/05/2031 of one column are to be read; day first when nothing in it tells."""
    proofs: dict[bool, str] = {}
    example = ""
    for text in texts:
        found = _PAIR.fullmatch(_plain(text))
        if not found or found["sign"] == ".":
            continue
        one, two = int(found["one"]), int(found["two"])
        if one > 12 >= two or two > 12 >= one:
            proofs.setdefault(one > 12, text)
        elif one != two:
            example = example or text
    if len(proofs) == 2:
        return Order(True, "", example, (proofs[True], proofs[False]))
    return Order(proofs == {} or True in proofs, next(iter(proofs.values()), ""), example)


def is_ambiguous(text: str) -> bool:
    """Whether day and month of a date could change places, both numbers being 12 or below and not the same."""
    found = _PAIR.fullmatch(_plain(text))
    if not found or found["sign"] == "." or int(found["one"]) == int(found["two"]):
        return False
    return _both_months(found)


def read_date(text: str, *, day_first: bool, this_year: int) -> Written | None:
    """The date that ``text`` holds; None when it holds none.

    Known are 2031-05-02, 20310502, 2031/5/2; 2.5.2031 (always the day first), 02/05/2031 and 2-5-31 in the order
    given; 5 May 2031, May 5, 2031, 5-May-31; each with a time of day after it, or a weekday before it; and the serial
    numbers of spreadsheets in the 1900 date system, from 10000. A year of two figures is the latest that is not after
    ``this_year``.

    Source of the serial numbers: ISO/IEC 29500-1, 18.17.4.1 (from memory): 1 is 1 January 1900, and 1900 is held for a
    leap year, so that from 1 March 1900 on they count from 30 December 1899.
    """
    plain = _plain(text)
    serial = _SERIAL.fullmatch(plain)
    if serial:
        return _from_serial(int(serial[1]), serial[2] or "")
    found = _PAIR.fullmatch(plain)
    if found:
        one, two = int(found["one"]), int(found["two"])
        first = found["sign"] == "." or (day_first if _both_months(found) else one > two)
        return _made(found, *((two, one) if first else (one, two)), this_year)
    for form in _FORMS:
        found = form.fullmatch(plain)
        if found:
            named = found.groupdict()
            month = _month(named["name"]) if "name" in named else int(named["month"])
            return _made(found, month, int(named["day"]), this_year)
    return None


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


def _both_months(found: re.Match[str]) -> bool:
    return int(found["one"]) <= 12 and int(found["two"]) <= 12


def _month(name: str) -> int:
    """The month of a name or of its first three letters; 0: none."""
    named = (month for month, full in enumerate(_MONTHS, 1) if full.startswith(name) or (name, month) == ("sept", 9))
    return next(named, 0)


def _from_serial(days: int, part: str) -> Written:
    day = _SERIAL_ZERO + timedelta(days=days)
    if not part:
        return Written(day)
    day_ms = min(round(int(part) * _DAY_MS / 10 ** len(part)), _DAY_MS - 1)
    return Written(day, day_ms)


def _made(found: re.Match[str], month: int, day: int, this_year: int) -> Written | None:
    """The date with the time of a match; None for one that is in no calendar or on no clock."""
    digits = found["year"].lstrip("'")
    year = int(digits)
    if len(digits) == 2:
        year += this_year // 100 * 100
        year -= 100 if year > this_year else 0
    try:
        on = date(year, month, day)
        return Written(on) if found["hour"] is None else _at(on, found)
    except (ValueError, OverflowError):
        return None


def _at(on: date, found: re.Match[str]) -> Written:
    hour, half = int(found["hour"]), found["half"]
    if half and not 1 <= hour <= 12:
        raise ValueError(hour)
    hour = hour % 12 + (12 if half == "p" else 0) if half else hour
    micros = int((found["part"] or "0").ljust(6, "0"))
    moment = datetime.combine(on, time(hour, int(found["minute"]), int(found["second"] or 0), micros), UTC)
    moment -= _offset(found["zone"] or "z")
    midnight = datetime.combine(moment.date(), time(0), UTC)
    return Written(moment.date(), (moment - midnight) // timedelta(milliseconds=1))


def _offset(zone: str) -> timedelta:
    """How far a zone such as ``+02:00`` is ahead of UTC. ValueError: a day or more."""
    if zone == "z":
        return timedelta(0)
    hours, minutes = int(zone[1:3]), int(zone[-2:])
    if hours > 23 or minutes > 59:
        raise ValueError(zone)
    return timedelta(hours=hours, minutes=minutes) * (-1 if zone[0] == "-" else 1)
