"""One entry as one line, and back to the last character."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.journal import kinds
from checkapp.journal.entry import COLUMNS, Entry
from checkapp.journal.lines import DETAIL_TEXT, NoEntry, is_object, line_of, read_line

PLAIN = Entry(
    id="0123456789abcdef",
    device="left",
    seq=7,
    at="2031-05-02T14:03:11.120Z",
    clock="01c2a3b4c5d6-0000",
    kind="mark",
    rig="Barn",
    show=None,
    subject="in 7",
    by="Zoë",
    detail='{"verdict":"ok"}',
    previous="0" * 64,
    digest="f" * 64,
)


def test_the_line_has_the_fields_in_their_order():
    line = line_of(PLAIN)
    assert line == (
        '{"id":"0123456789abcdef","device":"left","seq":7,"at":"2031-05-02T14:03:11.120Z","clock":"01c2a3b4c5d6-0000",'
        '"kind":"mark","rig":"Barn","show":null,"subject":"in 7","by":"Zoë","detail":{"verdict":"ok"},'
        f'"previous":"{"0" * 64}","digest":"{"f" * 64}"}}'
    )
    assert tuple(json.loads(line)) == COLUMNS
    assert read_line(line) == PLAIN


ODD_OBJECTS = [
    "{}",
    '{"a":1,"a":2}',
    '{ "a" :\t1 }',
    '{"n":' + "9" * 5000 + ',"m":1.00e+400,"z":-0}',
    '{"half":"\\ud800","both":"\\ud83d\\ude00","raw":"😀\u2028\u0085"}',
    '{"\\u0061":"\\/"}',
    '{"detail":{"id":"x"},"previous":"y","digest":"z"}',
    '{"text":"}\\",\\"previous\\":\\""}',
]
OTHERS = [None, "", "{not json", "[1,2]", '"text"', "null", "17", '{"a":1}{"b":2}', '{"a":NaN}', "[" * 100_000]
BROKEN = ['{\n"a":\r\n1}', ' {"a":1}', '{"a":1}\n', '{"raw":"\x07"}', '{"zero":"\0"}', '{"a":1},"b":{"c":2}']


@pytest.mark.parametrize("detail", ODD_OBJECTS)
def test_a_detail_stands_in_the_line_as_it_is_stored(detail):
    line = line_of(replace(PLAIN, detail=detail))
    assert f'"detail":{detail},"previous"' in line
    assert DETAIL_TEXT not in line
    assert read_line(line) == replace(PLAIN, detail=detail)


@pytest.mark.parametrize("detail", [*OTHERS, *BROKEN], ids=lambda text: repr(text)[:20])
def test_a_detail_that_cannot_stand_there_comes_back_all_the_same(detail):
    line = line_of(replace(PLAIN, detail=detail))
    assert "\n" not in line
    assert isinstance(json.loads(line)["detail"], dict if detail is not None else type(None))
    assert read_line(line) == replace(PLAIN, detail=detail)


def test_a_detail_on_several_lines_can_still_be_read_by_others():
    assert json.loads(line_of(replace(PLAIN, detail='{\n"a":\n1}')))["detail"] == {"a": 1}


@pytest.mark.parametrize("text", ['"', "\\", 'a"b\\c', "\t", "\x00\x1f\x7f", "\u2028", "'", "", "null", "😀"])
@pytest.mark.parametrize("column", [name for name in COLUMNS if name not in ("seq", "detail")])
def test_any_text_in_any_field(column, text):
    entry = replace(PLAIN, **{column: text})
    assert read_line(line_of(entry)) == entry


def test_other_layouts_of_the_same_object_are_read():
    found = json.loads(line_of(PLAIN))
    shuffled = {"more": [1, {"seq": 2}], **dict(sorted(found.items(), reverse=True))}
    for line in (json.dumps(shuffled), json.dumps(shuffled, indent="\t").replace("\n", " "), json.dumps(found) + " \r"):
        read = read_line(line)
        assert replace(read, detail=PLAIN.detail) == PLAIN
        assert read.details == found["detail"]


def spoilt(**more):
    return json.dumps(json.loads(line_of(PLAIN)) | more)


@pytest.mark.parametrize(
    ("line", "field", "wrong"),
    [
        ("", "", "is no JSON at column 1: { must stand there"),
        ("in 7 is fine", "", "is no JSON at column 1: { must stand there"),
        (line_of(PLAIN)[:-1], "", "is no JSON at column "),
        (line_of(PLAIN)[:100], "", "is "),
        (line_of(PLAIN) + "{}", "", "has more after the object"),
        (line_of(PLAIN)[:-1] + ",}", "", "is no JSON at column "),
        (line_of(PLAIN)[:-1] + ',"id":"x"}', "id", "stands twice"),
        ("{}", "id", "is missing"),
        ("[]", "", "is no JSON"),
        ('{"a":}', "", "is cut short or no JSON"),
        ('{"a":' + "[" * 100_000, "", "has lists or objects within each other too deep"),
        (spoilt(seq="7"), "seq", 'is "7"'),
        (spoilt(seq=0), "seq", "is 0"),
        (spoilt(seq=7.0), "seq", "is 7.0"),
        (spoilt(seq=True), "seq", "is true"),
        (spoilt(seq=2**63), "seq", "is 9223372036854775808"),
        (line_of(PLAIN).replace('"seq":7', '"seq":07'), "seq", "is 07"),
        (spoilt(device=None), "device", "is null"),
        (spoilt(at=5), "at", "is no text"),
        (spoilt(by=["JD"]), "by", "is no text"),
        (spoilt(subject="\ud800"), "subject", "has half a character"),
        (spoilt(detail="text"), "detail", 'is "text"'),
        (spoilt(detail=[1]), "detail", "is [1]"),
        (spoilt(detail_text=7), "detail", "is no text"),
    ],
)
def test_what_is_no_entry(line, field, wrong):
    with pytest.raises(NoEntry) as caught:
        read_line(line)
    assert (caught.value.field, caught.value.wrong[: len(wrong)]) == (field, wrong)
    assert caught.value.right


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=10),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)
details = (
    st.builds(
        lambda value, spaced, plain: json.dumps(value, ensure_ascii=plain, indent=2 if spaced else None),
        st.dictionaries(st.text(max_size=5), json_values, max_size=4),
        st.booleans(),
        st.booleans(),
    ).filter(lambda text: not any("\ud800" <= c <= "\udfff" for c in text))
    | texts
    | st.none()
)


@st.composite
def entries(draw):
    values = {name: draw(texts) for name in COLUMNS}
    optional = {name: draw(texts | st.none()) for name in ("rig", "show", "subject", "by")}
    return Entry(**(values | optional | {"seq": draw(st.integers(1, 2**63 - 1)), "detail": draw(details)}))


@given(entries())
def test_every_entry_comes_back(entry):
    line = line_of(entry)
    line.encode()
    assert "\n" not in line
    assert "\r" not in line
    assert read_line(line) == entry
    assert isinstance(json.loads(line), dict)


@given(st.text(max_size=40) | st.text('{}[]",:\\ idseq0123', max_size=40))
def test_never_falls_over_anything(text):
    is_object(text)
    with pytest.raises(NoEntry):
        read_line(text)


def test_an_unknown_kind_and_unknown_keys_survive():
    entry = replace(PLAIN, kind="a kind of next year", detail='{"colour":"red","verdict":"ok"}')
    assert read_line(line_of(entry)) == entry
    assert kinds.read_mark(read_line(line_of(entry))) is None
