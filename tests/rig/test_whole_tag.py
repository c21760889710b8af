"""Tags of gear that no rig knows: whole and good, or nothing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.codes import ALPHABET, CODE_PATTERN, OWNER_PATTERN, Tag
from checkapp.rig.whole_tag import whole_tag

owners = st.from_regex(OWNER_PATTERN, fullmatch=True)
codes = st.from_regex(CODE_PATTERN, fullmatch=True).filter(lambda code: code != "DESK")
marks = st.just("") | st.text(ALPHABET, min_size=4, max_size=4)
tags = st.builds(Tag, owners, codes, st.sampled_from(["", "A", "B"]), marks)


@given(tags)
def test_every_tag_is_read_as_it_is_printed_in_any_case(tag):
    assert whole_tag(tag.text) == tag
    assert whole_tag(f" {tag.text.lower()}\n") == tag


@given(tags, st.sampled_from(ALPHABET))
def test_a_wrong_check_character_is_no_tag(tag, wrong):
    assert (whole_tag(f"{tag.body}.{wrong}") is not None) == (wrong == tag.check)


@given(st.text())
def test_whatever_it_is_given_it_reads_a_tag_or_nothing(text):
    tag = whole_tag(text)
    assert tag is None or tag.text in text.upper()


def test_the_examples_of_the_format():
    assert whole_tag("SM.LK01.A.D") == Tag("SM", "LK01", "A")
    assert whole_tag("SM.LK01.B.B") == Tag("SM", "LK01", "B")


@pytest.mark.parametrize(
    "text",
    ["", "SB9", "SM.SB9", "SMLK01AD", "SM.LK01.D", "SM.LK01.C.D", "TOOBIG.SB9.A", "SM.-SB.A", "SM..A", "SM.LK01.A.D."],
)
def test_what_lacks_a_part_or_has_a_wrong_one_is_no_tag(text):
    assert whole_tag(text) is None


def test_letters_that_only_become_latin_ones_in_capitals_are_none():
    tag = Tag("TN", "SISS1").text
    assert whole_tag(tag) is not None
    assert whole_tag(tag.replace("I", "\u0131")) is None
    assert whole_tag(tag.replace("SS", "\u00df")) is None


def test_a_link_is_read_by_its_last_part():
    assert whole_tag("HTTPS://EXAMPLE.ORG/T/SM.LK01.A.D") == Tag("SM", "LK01", "A")
    assert whole_tag("https://example.org/SM.LK01.A.E") is None


def test_the_desk_has_no_tag():
    assert whole_tag(Tag("SM", "DESK").text) is None
