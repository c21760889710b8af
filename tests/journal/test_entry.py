"""An entry's digest and texts."""

import hashlib
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.journal.entry import COLUMNS, NO_ENTRY, Entry, detail_text, digest_of, is_readable, read_detail
from checkapp.journal.errors import NotStorable

texts = st.text(st.characters(exclude_categories=["Cs"]))
optional = st.none() | texts
entries = st.builds(
    Entry,
    id=texts,
    device=texts,
    seq=st.integers(1, 2**63 - 1),
    at=texts,
    clock=texts,
    kind=texts,
    rig=optional,
    show=optional,
    subject=optional,
    by=optional,
    detail=optional,
    previous=texts,
    digest=st.just(""),
)
NAMES = [
    *("id", "device", "seq", "at", "clock", "kind", "rig", "show"),
    *("subject", "by", "detail", "previous", "digest"),
]
PLAIN = Entry(
    id="0123456789abcdef",
    device="left",
    seq=12,
    at="2031-05-02T14:03:11.120Z",
    clock="01c2f8a1b2c3-0000",
    kind="mark",
    rig="Barn",
    show=None,
    subject="in 7",
    by="Zoë",
    detail='{"verdict":"ok"}',
    previous=NO_ENTRY,
)


def by_the_rule(entry: Entry) -> str:
    """The rule once more, told apart from the code: byte length, colon, text; an absent one a hyphen."""
    told = bytearray()
    for name in NAMES[:-1]:
        value = getattr(entry, name)
        if value is None:
            told += b"-"
        else:
            raw = f"{value}".encode()
            told += str(len(raw)).encode("ascii") + b":" + raw
    digest = hashlib.sha256()
    digest.update(told)
    return digest.hexdigest()


@pytest.mark.independent
@given(entries)
def test_digest_follows_the_rule(entry: Entry) -> None:
    assert entry.computed_digest() == by_the_rule(entry)


@pytest.mark.independent
def test_digest_of_a_row_written_out_by_hand() -> None:
    written = (
        "16:0123456789abcdef4:left2:1224:2031-05-02T14:03:11.120Z17:01c2f8a1b2c3-0000"
        '4:mark4:Barn-4:in 74:Zoë16:{"verdict":"ok"}64:' + "0" * 64
    )
    assert PLAIN.computed_digest() == hashlib.sha256(written.encode()).hexdigest()


@given(entries, entries)
def test_different_entries_have_different_digests(one: Entry, other: Entry) -> None:
    assert (one.computed_digest() == other.computed_digest()) == (one == other)


@pytest.mark.closed_form
def test_absent_and_empty_differ() -> None:
    assert digest_of([None]) == hashlib.sha256(b"-").hexdigest()
    assert digest_of([b""]) == hashlib.sha256(b"0:").hexdigest()


def test_columns_are_those_of_the_log() -> None:
    assert list(COLUMNS) == NAMES
    assert PLAIN.values == tuple(getattr(PLAIN, name) for name in COLUMNS)


def test_half_a_character_is_refused() -> None:
    with pytest.raises(NotStorable):
        replace(PLAIN, by="\ud800").computed_digest()


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | texts,
    lambda inner: st.lists(inner) | st.dictionaries(texts, inner),
    max_leaves=8,
)


@given(st.dictionaries(texts, json_values))
def test_detail_is_kept_whole_and_is_written_one_way(detail: dict[str, object]) -> None:
    text = detail_text(detail)
    assert read_detail(text) == detail
    assert detail_text(read_detail(text)) == text
    assert "\n" not in text


@pytest.mark.closed_form
def test_detail_has_sorted_keys_and_no_spaces() -> None:
    assert detail_text({"b": [1, None], "a": "Zoë"}) == '{"a":"Zoë","b":[1,null]}'


@pytest.mark.parametrize("value", [float("nan"), float("inf"), b"x", {1}, object()])
def test_what_json_does_not_have_is_refused(value: object) -> None:
    with pytest.raises(NotStorable):
        detail_text({"x": value})


@pytest.mark.parametrize("text", [None, "", "{", "[1]", "3", '"x"', "null", "[" * 100_000, "9" * 10_000, "\ufffd"])
def test_a_detail_that_holds_no_object_is_read_as_empty(text: str | None) -> None:
    assert read_detail(text) == {}


def test_as_a_dict_it_has_the_columns_and_the_detail_as_an_object() -> None:
    told = PLAIN.to_dict()
    assert tuple(told) == COLUMNS
    assert told["detail"] == {"verdict": "ok"}
    assert told["seq"] == 12
    assert told["show"] is None
    json.dumps(told)


def test_order_is_by_clock_device_number_and_id() -> None:
    later = replace(PLAIN, clock="01c2f8a1b2c3-0001", device="a", seq=1)
    right = replace(PLAIN, device="right", seq=1)
    next_one = replace(PLAIN, seq=13)
    other_side = replace(PLAIN, id="z" * 16)
    given_order = [later, right, next_one, other_side, PLAIN]
    assert sorted(given_order, key=lambda entry: entry.order) == [PLAIN, other_side, next_one, right, later]


@pytest.mark.parametrize("column", COLUMNS)
def test_values_of_another_type_are_not_readable(column: str) -> None:
    good = dict(zip(COLUMNS, PLAIN.values, strict=True))
    assert is_readable(good.values())
    assert not is_readable((good | {column: b"left"}).values())
    assert not is_readable((good | {column: 1.5}).values())
    may_be_absent = column in ("rig", "show", "subject", "by", "detail")
    assert is_readable((good | {column: None}).values()) == may_be_absent
