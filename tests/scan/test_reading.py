"""What a scan or a typed code is to a rig: right readings, and a plain answer to all that is none."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from checkapp.rig.codes import ALPHABET, Tag
from checkapp.rig.planfile import load_plan
from checkapp.scan.reading import Reading, read_scan

DEMO = load_plan(Path(__file__).parents[2] / "plans" / "demo.toml")
OLD = "0000"
HP01_B = Tag("QN", "HP01", "B")

some_tags = st.sampled_from(DEMO.tags)


def fields(text):
    found = read_scan(text, DEMO)
    return found.kind, found.name, found.item


@given(some_tags, st.sampled_from(["", "HTTPS://ANY.HOST/PATH/", "http://any.host/", "www.any.host/a/b/"]))
def test_every_tag_of_the_rig_is_read_alone_and_at_the_end_of_a_link(tag, base):
    found = read_scan(f"  {base}{tag.text}\r\n", DEMO)
    assert (found.kind, found.tag) == ("item", tag)
    assert found.item == DEMO.resolve(tag.text)
    assert read_scan((base + tag.text).lower(), DEMO) == replace(found, text=(base + tag.text).lower())


@given(some_tags)
def test_todays_show_tag_is_told_from_an_older_one_which_still_names_its_item(tag):
    lasting = read_scan(tag.text, DEMO)
    today = replace(tag, mark=DEMO.mark)
    found = read_scan(today.text, DEMO)
    assert (found.kind, found.name, found.item, found.tag) == ("item", lasting.name, lasting.item, today)
    older = replace(tag, mark=OLD)
    for text in (older.text, f"HTTPS://ANY.HOST/{older.text}", older.text.replace(".", "")):
        found = read_scan(text, DEMO)
        assert (found.kind, found.name, found.item, found.tag) == ("older", lasting.name, lasting.item, older)
        assert "older plan" in found.words


@pytest.mark.parametrize(
    ("typed", "kind", "name", "item"),
    [
        ("hp01 b", "item", "HP01 B", "HP01"),
        ("QNHP01B", "item", "HP01 B", "HP01"),
        ("hp01bc", "item", "HP01 B", "HP01"),
        ("hp01", "item", "HP01", "HP01"),
        (" left ", "item", "LEFT", "LEFT"),
        ("front", "item", "chain FRONT", "chain FRONT"),
        ("Chain Front", "item", "chain FRONT", "chain FRONT"),
        ("source in 7", "item", "source in 7", "source in 7"),
        ("load out 2", "item", "load out 2", "load out 2"),
        ("left IN 3", "port", "LEFT in 3", "LEFT in 3"),
        ("left  link in", "port", "LEFT link in", ""),
        ("LEFT link out", "port", "LEFT link out", ""),
        ("desk in 3", "port", "DESK in 3", "desk in 3"),
        ("desk", "desk", "DESK", ""),
        ("in 7", "line", "in 7", ""),
        ("OUT2", "line", "out 2", ""),
    ],
)
def test_whatever_a_person_may_type_is_read(typed, kind, name, item):
    assert fields(typed) == (kind, name, item)


def test_an_end_that_was_typed_comes_with_its_tag_and_a_cable_without_its_end_with_none():
    assert read_scan("hp01 b", DEMO).tag == HP01_B
    assert read_scan("hp01", DEMO).tag is None


def test_hired_gear_and_gear_of_another_rig_is_named_with_its_owner():
    hired = Tag("HX", "LK7", "A")
    for text in (hired.text, f"HTTPS://ANY.HOST/{hired.text}".lower(), replace(hired, mark="7Q0Z").text):
        found = read_scan(text, DEMO)
        assert (found.kind, found.name, found.item) == ("foreign", "", "")
        assert (found.tag.owner, found.tag.code, found.tag.end) == ("HX", "LK7", "A")
        assert "LK7 of HX is not in this rig" in found.words
    ours = read_scan(Tag("QN", "LK7").text, DEMO)
    assert ours.kind == "foreign"
    assert "ours" in ours.more


def test_a_tag_with_an_end_that_its_item_has_not_is_no_tag_of_it():
    for tag in (Tag("QN", "LEFT", "A"), Tag("QN", "HP01")):
        found = read_scan(tag.text, DEMO)
        assert (found.kind, found.name) == ("unknown", "")
        assert tag.code in found.words


@given(some_tags, st.sampled_from(ALPHABET), st.sampled_from(["", "HTTPS://ANY.HOST/"]))
def test_a_wrong_check_character_is_refused_and_the_nearest_named(tag, other, base):
    if other != tag.check:
        found = read_scan(f"{base}{tag.body}.{other}", DEMO)
        assert (found.kind, found.name, found.tag) == ("check", "", None)
        assert tag.text in found.more


def test_a_wrong_check_character_of_hired_gear_is_said_to_be_one():
    assert Tag("HX", "LK7").check != "0"
    assert read_scan("HX.LK7.0", DEMO).kind == "check"


@pytest.mark.parametrize("typed", ["XL9", "left in 99", "in 999", "zz link in", "drop link in", "desk in 9999", "..."])
def test_what_the_rig_has_not_is_unknown(typed):
    found = read_scan(typed, DEMO)
    assert (found.kind, found.name, found.item, found.tag) == ("unknown", "", "", None)
    assert found.words


@pytest.mark.parametrize(
    "text", ["https://any.host/", "HTTP://ANY.HOST/HP01", "https://any.host/QN.HP01.B.C?x=1", "www.any.host/hp01",
             "ftp://any.host/x", "file:///etc/passwd", "javascript://x/%0aalert(1)"]
)  # fmt: skip
def test_a_web_address_is_said_to_be_one_and_not_opened(text):
    found = read_scan(text, DEMO)
    assert (found.kind, found.name, found.tag) == ("web", "", None)
    assert "web address" in found.words
    assert "not opened" in found.more


STRANGE = {
    "binary": bytes(range(256)).decode("latin-1") * 12,
    "3 kB": "A" * 3000,
    "a million": "QN.LEFT.Y" * 120_000,
    "nul": "QN.\x00LEFT.Y",
    "two lines": "QN.LEFT.Y\nQN.FAR.Y",
    "escape": "\x1b[31mQN.LEFT.Y",
    "right to left": "\u05d0\u05d1\u05d2",
    "override": "\u202eQN.LEFT.Y",
    "isolate": "QN.\u2066LEFT\u2069.Y",
    "surrogate": "QN.LEFT\ud800.Y",
    "markup": "[b]QN.LEFT.Y[/b]",
    "reference": "[ref=QN.LEFT.Y]here[/ref]",
    "colour of a terminal": "[red]LEFT",
    "tag of a page": "<script>alert(1)</script>",
    "path": "../../etc/passwd",
    "drive": "C:\\LEFT",
    "share": "\\\\LEFT\\in",
    "shell": "$(LEFT)",
    "format": "{0.__class__}%s%n",
    "wide letters": "\uff2c\uff25\uff26\uff34",
    "long s": "\u017fB1",
    "combining": "L\u0301" * 30,
    "mail": "mailto:a@any.host",
    "network": "WIFI:S:net;P:secret;;",
}


@pytest.mark.parametrize("text", STRANGE.values(), ids=STRANGE)
def test_strange_codes_get_a_plain_answer(text):
    found = read_scan(text, DEMO)
    assert (found.kind, found.name, found.item, found.tag) == ("strange", "", "", None)
    assert found.words == "That is no tag"
    assert_harmless(found)


def test_nothing_is_nothing():
    for text in ("", " ", "\r\n", "\t"):
        assert read_scan(text, DEMO).words == "Nothing was read"


def assert_harmless(found: Reading):
    """What is shown stands on one line, ends soon and turns no direction."""
    for said in (found.text, found.words, found.more, found.name, found.item):
        assert said.isprintable()
        assert len(said) <= 200


any_text = st.one_of(
    st.text(st.characters()),
    st.text(ALPHABET + ".- /:[]", max_size=50),
    st.binary(max_size=3000).map(lambda raw: raw.decode("latin-1")),
)


@given(any_text)
@example("https://")
@example("in 0")
@example(" link in")
def test_any_text_is_read(text):
    found = read_scan(text, DEMO)
    assert_harmless(found)
    assert found.words
    assert bool(found.name) == (found.kind in ("item", "older", "port", "line", "desk"))
    if found.item:
        assert found.item in DEMO.items
