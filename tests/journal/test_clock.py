"""The hybrid logical clock: rises always, follows the device's clock where it can, sorts as text."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.journal.clock import ZERO, at_text, is_clock, next_clock

moments = st.integers(-(10**15), 10**15)


@given(st.lists(moments, min_size=2))
def test_rises_whatever_the_device_believes(nows: list[int]) -> None:
    clock = ZERO
    for now_ms in nows:
        after = next_clock(clock, now_ms)
        assert after > clock
        assert is_clock(after)
        clock = after


@given(st.integers(1, 2**47), st.integers(1, 2**47))
def test_sorts_as_text_like_the_time_it_was_given(first_ms: int, second_ms: int) -> None:
    texts = next_clock(ZERO, first_ms), next_clock(ZERO, second_ms)
    moments_ms = (min(first_ms, 253_402_300_799_999), min(second_ms, 253_402_300_799_999))
    assert (texts[0] < texts[1]) == (moments_ms[0] < moments_ms[1])


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("known", "now_ms", "expected"),
    [
        (ZERO, 0, "000000000000-0001"),
        (ZERO, 1, "000000000001-0000"),
        ("000000000001-0000", 1, "000000000001-0001"),
        ("000000000005-0009", 3, "000000000005-000a"),
        ("000000000005-0009", 6, "000000000006-0000"),
        ("000000000005-ffff", 5, "000000000006-0000"),
        ("0000000000ff-ffff", 0, "000000000100-0000"),
        ("ffffffffffff-fffe", 0, "ffffffffffff-ffff"),
        ("ffffffffffff-ffff", 0, "ffffffffffff-ffff"),
        (ZERO, -5, "000000000000-0001"),
    ],
)
def test_counts_carries_and_follows(known: str, now_ms: int, expected: str) -> None:
    assert next_clock(known, now_ms) == expected


@pytest.mark.parametrize("text", ["", "zzzzzzzzzzzz-0000", "000000000000-00000", "00000000000A-0000", b"", None])
def test_what_is_no_clock_is_known_for_it(text: object) -> None:
    assert not is_clock(text)


def test_refuses_to_go_on_from_what_is_no_clock() -> None:
    with pytest.raises(ValueError, match="not a clock"):
        next_clock("tomorrow", 1)


@pytest.mark.independent
@given(st.integers(0, 253_402_300_799_999))
def test_says_the_time_in_utc(now_ms: int) -> None:
    text = at_text(now_ms)
    assert len(text) == len("2031-05-02T14:03:11.120Z")
    moment = datetime.fromisoformat(text)
    assert round(moment.timestamp() * 1000) == now_ms
    assert moment.utcoffset() is not None
    assert moment.utcoffset().total_seconds() == 0


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("now_ms", "expected"),
    [
        (0, "1970-01-01T00:00:00.000Z"),
        (1, "1970-01-01T00:00:00.001Z"),
        (951_782_400_000, "2000-02-29T00:00:00.000Z"),
        (-1, "1970-01-01T00:00:00.000Z"),
        (10**18, "9999-12-31T23:59:59.999Z"),
    ],
)
def test_says_known_times(now_ms: int, expected: str) -> None:
    assert at_text(now_ms) == expected
