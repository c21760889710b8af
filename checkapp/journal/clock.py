"""The hybrid logical clock that orders entries across devices, as text that sorts.

A clock is 12 hex digits of milliseconds since 1970, a hyphen and 4 hex digits that count. It follows the device's own
clock while that runs ahead of every clock known, and counts on from the highest known one otherwise, so that an
entry made after another was seen always sorts after it, whatever the device believes the time to be.

Source: Kulkarni, Demirbas, Madappa, Avva, Leone: Logical Physical Clocks (2014); the layout is ours.
"""

import re
from datetime import UTC, datetime, timedelta

ZERO = "000000000000-0000"
"""Before every entry."""

_MOST_MS = 253_402_300_799_999  # the last millisecond of the year 9999, the last that `at` can say
_MOST_CLOCK_MS = 0xFFFF_FFFF_FFFF
_MOST_COUNT = 0xFFFF
_CLOCK = re.compile(r"([0-9a-f]{12})-([0-9a-f]{4})", re.ASCII)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def is_clock(text: object) -> bool:
    """Whether ``text`` is written as a clock."""
    return isinstance(text, str) and _CLOCK.fullmatch(text) is not None


def next_clock(known: str, now_ms: int) -> str:
    """The clock of a new entry: after ``known``, the highest clock seen so far, and not before ``now_ms``.

    ``now_ms`` is milliseconds since 1970 by the device; below 0 counts as 0, above the year 9999 as its end. A full
    counter carries into the milliseconds. After the highest clock there is, it stays there: a device's entries then
    keep their order by number. ValueError: ``known`` is not a clock.
    """
    found = _CLOCK.fullmatch(known)
    if not found:
        raise ValueError(f"not a clock: {known!r}")
    known_ms, count = int(found[1], 16), int(found[2], 16)
    now_ms = _within(now_ms)
    if now_ms > known_ms:
        return _text(now_ms, 0)
    if count < _MOST_COUNT:
        return _text(known_ms, count + 1)
    if known_ms < _MOST_CLOCK_MS:
        return _text(known_ms + 1, 0)
    return known


def nth_clock(now_ms: int, count: int) -> str:
    """The clock ``count`` places after the first of a moment, for what is told long after; range as in `next_clock`."""
    return _text(_within(now_ms), min(count, _MOST_COUNT))


def at_text(now_ms: int) -> str:
    """``now_ms`` (milliseconds since 1970, range as in `next_clock`) in UTC, ISO 8601: ``2031-05-02T14:03:11.120Z``."""
    moment = _EPOCH + timedelta(milliseconds=_within(now_ms))
    return f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 1000:03d}Z"


def _within(now_ms: int) -> int:
    return min(max(now_ms, 0), _MOST_MS)


def _text(ms: int, count: int) -> str:
    return f"{ms:012x}-{count:04x}"
