"""Codes, ports, lines and tags: what is read, what is refused, and which names are said to be near."""

import re
import string

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from checkapp.rig.codes import (
    ALPHABET,
    CODE_PATTERN,
    DESK,
    OWNER_PATTERN,
    Port,
    Tag,
    base36,
    check_character,
    did_you_mean,
    link_tail,
    nearest,
    read_line,
    read_port,
    read_tag,
    read_tags,
    without_hyphens,
    written_tag,
)
from checkapp.rig.errors import CheckappError, UnknownCode, WrongCheckCharacter

BOXES = [Tag("SM", f"SB{number}") for number in range(1, 13)]
CABLES = [Tag("SM", f"XL{number:02d}", end) for number in range(1, 13) for end in "AB"]
HIRED = [Tag("HX", "LK-7", "A"), Tag("HX", "LK-7", "B"), Tag("HX", "C1")]
RIG = [*BOXES, *CABLES, *HIRED]

codes = st.from_regex(re.compile(CODE_PATTERN), fullmatch=True)
owners = st.from_regex(re.compile(OWNER_PATTERN), fullmatch=True)


@st.composite
def rigs(draw):
    """A few tags with codes unique but for hyphens, cables with both their ends."""
    names = draw(st.lists(codes, min_size=1, max_size=12, unique_by=without_hyphens))
    tags = []
    for name in names:
        ends = draw(st.sampled_from([("",), ("A", "B")]))
        owner = draw(owners)
        tags += [Tag(owner, name, end) for end in ends]
    return tags


# --- tags


@pytest.mark.closed_form
def test_the_written_form_of_a_tag():
    assert Tag("SM", "SB1").text == "SM.SB1.C"
    assert Tag("SM", "LK01", "A").text == "SM.LK01.A.D"
    assert Tag("SM", "LK01", "B").text == "SM.LK01.B.B"
    assert Tag("SM", "LK01", "B").item == "SM.LK01"


def test_hyphens_do_not_change_the_check_character():
    assert Tag("SM", "S-B1").check == Tag("SM", "SB1").check


def test_a_show_tag_carries_its_mark_before_the_check_character():
    tag = Tag("SM", "LK01", "A", "7Q0Z")
    assert tag.text == f"SM.LK01.A.7Q0Z.{check_character('SMLK01A7Q0Z')}"


@given(rigs(), st.data())
def test_a_whole_tag_is_read_back_in_any_case(tags, data):
    tag = data.draw(st.sampled_from(tags))
    cased = "".join(data.draw(st.sampled_from([c.lower(), c.upper()])) for c in tag.text)
    assert read_tag(cased, tags) == tag
    assert read_tag(f"  {cased}\r\n", tags) == tag


@given(rigs(), st.data())
def test_without_dots_a_tag_is_read_or_said_to_be_ambiguous_never_another(tags, data):
    tag = data.draw(st.sampled_from(tags))
    left_out = tag.text.replace(".", "").replace("-", "")
    try:
        assert read_tag(left_out, tags) == tag
    except UnknownCode as refused:
        assert tag.item in str(refused)


@given(st.lists(st.integers(0, 999), min_size=1, max_size=30, unique=True), st.data())
def test_in_an_ordinary_rig_every_spelling_finds_its_tag(numbers, data):
    tags = [Tag("SM", f"XL{number:03d}", end) for number in numbers for end in "AB"]
    tag = data.draw(st.sampled_from(tags))
    for typed in (tag.text, tag.body, f"{tag.code}.{tag.end}", f"{tag.code}.{tag.end}.{tag.check}"):
        for spelling in (typed, typed.lower(), typed.replace(".", ""), typed.replace(".", " ")):
            assert read_tags(spelling, tags) == (tag,)
    for typed in (tag.code, tag.item, tag.item.lower(), tag.item.replace(".", "")):
        assert [found.end for found in read_tags(typed, tags)] == ["A", "B"]
        assert read_tag(typed, tags) == Tag("SM", tag.code, "A")


@given(rigs(), st.data())
def test_a_wrong_check_character_is_refused_and_the_tag_named(tags, data):
    tag = data.draw(st.sampled_from(tags))
    wrong = data.draw(st.sampled_from([c for c in ALPHABET if c != tag.check]))
    with pytest.raises(WrongCheckCharacter) as refused:
        read_tag(f"{tag.body}.{wrong}", tags)
    assert tag.text in str(refused.value)


@given(rigs(), st.data())
def test_no_single_substitution_in_a_whole_tag_is_taken_for_another_item(tags, data):
    tag = data.draw(st.sampled_from(tags))
    place = data.draw(st.integers(0, len(tag.text) - 1))
    other = data.draw(st.sampled_from(ALPHABET))
    typed = tag.text[:place] + other + tag.text[place + 1 :]
    if "." not in (tag.text[place], typed[place]) and "-" not in tag.text and typed != tag.text:
        with pytest.raises(CheckappError):
            read_tag(typed, tags)


def test_a_wrong_check_character_that_spells_another_code_is_still_refused():
    with pytest.raises(WrongCheckCharacter, match=re.escape("SM.SB1.C")):
        read_tag("SM.SB1.2", RIG)
    with pytest.raises(WrongCheckCharacter, match=re.escape("SM.SB1.C")):
        read_tag("sb1.2", RIG)


def test_a_wrong_check_character_without_dots_or_owner_is_refused_too():
    for typed in ("SMSB1X", "SB1.X", "sm sb1 x"):
        with pytest.raises(WrongCheckCharacter, match=re.escape("SM.SB1.C")):
            read_tag(typed, RIG)


@pytest.mark.parametrize("typed", ["hx.lk-7.a", "HX.LK7.A", "lk7a", "LK-7.A", "hxlk7a"])
def test_hyphens_may_be_left_out(typed):
    assert read_tag(typed, RIG) == Tag("HX", "LK-7", "A")


def test_a_whole_code_goes_before_a_code_run_together_with_its_end():
    tags = [Tag("SM", "LK01", "A"), Tag("SM", "LK01", "B"), Tag("SM", "LK01A")]
    assert read_tag("LK01A", tags).code == "LK01A"
    assert read_tag("LK01.A", tags) == tags[0]
    assert read_tag(tags[0].text, tags) == tags[0]


def test_two_items_that_fit_are_both_named():
    tags = [Tag("S", "MA1", "A"), Tag("S", "MA1", "B"), Tag("SM", "A1", "A"), Tag("SM", "A1", "B")]
    with pytest.raises(UnknownCode, match=r"fits S\.MA1, SM\.A1"):
        read_tag("SMA1A", tags)


def test_an_unknown_code_names_the_nearest():
    with pytest.raises(UnknownCode, match="XL01"):
        read_tag("XL1", RIG)
    with pytest.raises(UnknownCode, match=r'no item "QQQQ"; the rig has nothing like it'):
        read_tag("QQQQ", RIG)


@pytest.mark.parametrize(
    "typed",
    ["", " ", ".", "...", "☃", "ſB1", "SB1\x00", "SB1\u202e", "S\nB1", "\uff33\uff22\uff11", "A" * 3000],
    ids=range(11),
)
def test_what_can_be_no_tag_is_refused_on_one_line(typed):
    with pytest.raises(UnknownCode) as refused:
        read_tag(typed, RIG)
    assert str(refused.value).isprintable()
    assert len(str(refused.value)) < 200


@given(st.text(max_size=60))
def test_anything_typed_is_read_or_refused(typed):
    try:
        assert read_tag(typed, RIG) in RIG
    except CheckappError as refused:
        assert str(refused).isprintable()


# --- show tags and links

marks = st.text(ALPHABET, min_size=4, max_size=4)


@given(rigs(), marks, st.data())
def test_a_show_tag_of_any_plan_stands_for_its_item(tags, mark, data):
    tag = data.draw(st.sampled_from(tags))
    shown = Tag(tag.owner, tag.code, tag.end, mark)
    assert read_tag(shown.text, tags) == tag
    assert read_tag(shown.text.lower(), tags) == tag
    assert read_tag(f"https://any.host/a/path/{shown.text}", tags) == tag
    wrong = data.draw(st.sampled_from([c for c in ALPHABET if c != shown.check]))
    with pytest.raises(WrongCheckCharacter) as refused:
        read_tag(f"{shown.body}.{wrong}", tags)
    assert tag.text in str(refused.value)


def test_a_show_tag_may_be_typed_without_its_dots_or_its_owner():
    shown = Tag("SM", "XL03", "B", "7Q0Z")
    whole = f"XL03.B.7Q0Z.{shown.check}"
    for typed in (shown.text.replace(".", ""), shown.text.replace(".", " "), whole, whole.replace(".", "").lower()):
        assert read_tags(typed, RIG) == (Tag("SM", "XL03", "B"),)


def test_a_show_tag_that_spells_another_tag_without_its_dots_is_not_guessed_at():
    shown = Tag("S", "A", "", "BCDE")
    tags = [Tag("S", "A"), Tag("SA", "BCDE")]
    assert read_tag(shown.text, tags) == tags[0]
    assert read_tag(tags[1].text, tags) == tags[1]
    with pytest.raises(UnknownCode, match=r"fits S\.A, SA\.BCDE"):
        read_tag(shown.text.replace(".", ""), tags)


@given(rigs(), st.data())
def test_a_link_is_taken_for_the_tag_at_its_end(tags, data):
    tag = data.draw(st.sampled_from(tags))
    for base in ("HTTPS://ANY.HOST/PATH/", "http://any.host/", "www.any.host/a/b/"):
        assert read_tag(base + tag.text, tags) == tag
        assert read_tag(f" {(base + tag.text).lower()}\r\n", tags) == tag


@pytest.mark.parametrize("tail", ["SB1", "sm.sb1", "SMSB1C", "SM.SB1.C?x=1", "SM.SB1.C/more", "", "in 7", "%53M.SB1.C"])
def test_a_link_without_a_whole_tag_is_a_web_address(tail):
    with pytest.raises(UnknownCode, match="is a web address"):
        read_tag(f"https://any.host/{tail}".replace(" ", ""), RIG)


def test_a_link_with_a_wrong_check_character_is_refused_and_the_tag_named():
    with pytest.raises(WrongCheckCharacter, match=re.escape("SM.SB1.C")):
        read_tag("HTTPS://ANY.HOST/SM.SB1.X", RIG)
    with pytest.raises(UnknownCode, match=re.escape("SM.XL01.A.8")):
        read_tag("HTTPS://ANY.HOST/SM.XL01.A", RIG)


def test_what_is_a_web_address_and_what_stands_at_its_end():
    assert link_tail("HTTPS://A.B/C/D") == "D"
    assert link_tail("https://a.b/SM.SB1.C/") == "SM.SB1.C"
    assert link_tail("www.a.b/c/SM.SB1.C") == "SM.SB1.C"
    assert link_tail("https://SM.SB1.C") == ""
    for text in (
        "SM.SB1.C",
        "C:/SB1",
        "../SB1",
        "/etc/SB1",
        "://SB1",
        "https:/a/SB1",
        "https://a b/SB1",
        "WWW.SB1.C",
        "",
    ):
        assert link_tail(text) is None


@given(owners, codes, st.sampled_from(["", "A", "B"]), st.one_of(st.just(""), marks), st.data())
def test_a_whole_tag_is_known_by_its_form(owner, code, end, mark, data):
    assume(code != DESK)
    tag = Tag(owner, code, end, mark)
    written = written_tag(tag.text)
    assert written is not None
    assert (written.tag, written.fits) == (tag, True)
    assert written_tag(tag.text.lower()) == written
    wrong = data.draw(st.sampled_from([c for c in ALPHABET if c != tag.check]))
    assert not written_tag(f"{tag.body}.{wrong}").fits


@pytest.mark.parametrize(
    "text",
    ["SMSB1C", "SM.SB1", "SM.SB1.C ", "SMXXX.SB1.C", "SM.-SB1.C", "SM.SB1.C.C.7Q0Z.D", "SM.SB1.7Q0.C", "SM..C",
     "\u017fM.SB1.C", "SM.SB1.\u212a", "", "S" * 3000, Tag("SM", "DESK").text],
)  # fmt: skip
def test_what_is_no_whole_tag(text):
    assert written_tag(text) is None


# --- ports and lines


@given(codes, st.sampled_from(["in", "out"]), st.integers(1, 9999))
def test_ports_come_back_as_written(code, direction, number):
    port = Port(code, direction, number)
    assert read_port(str(port)) == port


@pytest.mark.parametrize(
    "text",
    ["SB1", "SB1 in", "SB1 in 0", "SB1 in 03", "SB1  in 3", "SB1 IN 3", "sb1 in 3", "SB1 in 3 ", "SB1 in ٣",
     "SB1 link in", "in 3", "", "-SB in 1", "SB- in 1", "ABCDEFGHIJK in 1", "SB1 in 10000", "SB1 in 3\n"],
)  # fmt: skip
def test_what_is_no_port(text):
    assert read_port(text) is None


def test_the_port_so_many_places_further():
    assert str(Port("SB1", "in", 3).plus(4)) == "SB1 in 7"


@pytest.mark.parametrize(
    ("typed", "line"),
    [("in 7", "in 7"), ("IN7", "in 7"), (" Out  12 ", "out 12"), ("in 0", None), ("in 07", None),
     ("7", None), ("input 7", None), ("in -1", None), ("in 7 8", None), ("in ٧", None), ("", None)],
)  # fmt: skip
def test_lines(typed, line):
    assert read_line(typed) == line


# --- base 36 and near names


@given(st.integers(0, 2**300))
def test_base_36_is_read_back_by_int(number):
    text = base36(number)
    assert int(text, 36) == number
    assert set(text) <= set(string.digits + string.ascii_uppercase)
    with pytest.raises(ValueError, match="below 0"):
        base36(-1 - number)


def test_check_character_refuses_what_is_not_in_its_alphabet():
    for text in ("sb1", "SB 1", "É"):
        with pytest.raises(ValueError, match="substring not found"):
            check_character(text)


def test_a_near_name_is_offered():
    wrong, right = did_you_mean("cable", "XL9", ["XL01", "LK01", "XL19", "XL09", "XL90"])
    assert wrong == 'no cable "XL9", did you mean "XL09"?'
    assert right == 'write "XL09" or add that cable'


def test_without_a_near_name_the_known_ones_are_listed():
    assert did_you_mean("chain", "ZZ", ["A", "B"]) == ('no chain "ZZ"', "the plan has A, B")
    assert did_you_mean("chain", "ZZ", list("ABCDE"))[1] == "the plan has A, B, C, D and more"
    assert did_you_mean("chain", "ZZ", []) == ('no chain "ZZ"', "add that chain: the plan has none")


def test_near_names_are_not_sought_among_too_many_or_for_too_long_a_word():
    assert nearest("XL9", ["XL09"]) == ["XL09"]
    assert nearest("xl09", ["XL10", "XL09"]) == ["XL09"]
    assert nearest("SB10", ["SB1", "SB100", "SB010"], 2) == ["SB010", "SB100"]
    assert nearest("X" * 81, ["X" * 80]) == []
    assert nearest("XL9", [f"XL{number:05d}" for number in range(3001)]) == []
