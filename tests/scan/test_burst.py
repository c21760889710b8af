"""Bursts of a hand scanner: right ones are taken, doubtful ones asked for again, and never a wrong one."""

import random
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from checkapp.rig.codes import ALPHABET, Tag, squeezed, without_hyphens
from checkapp.scan.burst import MARGIN, MOST_KEY_ERRORS, BurstReader, read_burst, whole_tags
from checkapp.scan.keyboards import KEYBOARDS
from checkapp.scan.reading import read_hand_scan

COUNT = 10_000  # a hundred thousand of each: tests/bench/bench_bursts.py
LINK = "HTTPS://ANY.HOST/A-1/"
SHARE = [Tag("S", "XL12"), Tag("S", "XL1")]


@pytest.fixture(scope="module")
def reader(demo):
    return BurstReader(demo.tags, demo.mark)


# --- right bursts


@pytest.mark.parametrize("keyboard", [None, *KEYBOARDS], ids=lambda keyboard: keyboard.name if keyboard else "US")
def test_every_tag_of_the_rig_is_taken_through_every_keyboard(demo, reader, garbling, keyboard):
    for tag in demo.tags:
        for sent in (tag, replace(tag, mark=demo.mark)):
            for text in (sent.text, LINK + sent.text):
                ways = [garbling.written_by(keyboard, text, caps) for caps in (False, True)]
                if keyboard is not None and keyboard.locks:
                    ways.append(garbling.written_by(keyboard, text, locked=True))
                for written in ways:
                    found = reader.read(written)
                    assert (found.tag, found.sure) == (sent, True), text


def test_case_dots_and_hyphens_do_not_matter():
    tags = [Tag("SM", "LK-7", "A"), Tag("SM", "LK-7", "B"), Tag("SM", "SB1")]
    for tag in tags:
        for text in (tag.text, tag.text.lower(), tag.text.replace(".", ""), without_hyphens(tag.text), f" {tag.text} "):
            assert read_burst(text, tags) == tag


def test_one_dropped_or_repeated_key_is_put_right_or_asked_for_again_never_wrong(demo, reader, garbling):
    tried = taken = 0
    for tag in demo.tags:
        for place in range(len(tag.text)):
            for spoil in (garbling.dropped, garbling.repeated):
                found = reader.read(spoil(tag.text, place))
                assert not found.sure or found.tag == tag
                tried += 1
                taken += found.sure
    assert taken > 0.65 * tried


def test_of_a_box_any_one_key_may_be_missing_or_come_twice(demo, reader, garbling):
    for tag in demo.tags:
        if tag.code in demo.boxes:
            for place in range(len(tag.text)):
                for spoil in (garbling.dropped, garbling.repeated):
                    found = reader.read(spoil(tag.text, place))
                    is_check = spoil == garbling.dropped and place == len(tag.text) - 1
                    assert found.tag == tag or found.foreign or is_check, spoil(tag.text, place)


def test_an_older_show_tag_is_taken_as_it_is_and_never_mended(demo, reader, garbling):
    older = replace(demo.tags[0], mark="0000")
    assert reader.read(older.text).tag == older
    assert reader.read(LINK + older.text).sure
    for place in range(len(older.text)):
        if older.text[place] != ".":
            assert not reader.read(garbling.dropped(older.text, place)).sure


def test_only_a_whole_tag_is_taken(demo, reader):
    for text in ("LEFT", "QN.LEFT", "HP01.A", "QN.HP01.A", "in 7", "left in 3", "FRONT", "desk", "", " ", "."):
        found = reader.read(text)
        assert not found.sure, text


# --- doubt


def test_a_key_that_makes_all_the_difference_is_not_guessed():
    tags = [Tag("QN", f"LD{number:02d}", end) for number in range(40) for end in "AB"]
    for tag in tags:
        body, check = squeezed(tag.body), tag.check
        for number in (3, 4):
            text = f"{body[:number]}{body[number + 1 :]}{check}" if body[number].isdigit() else body[:-1] + check
            assert read_burst(text, tags) in (None, tag)
    assert read_burst("QN.LD1.A.5", [Tag("QN", "LD12", "A"), Tag("QN", "LD13", "A")]) is None


def test_a_tag_in_whole_that_a_dropped_key_can_have_made_of_another_is_taken_when_it_comes_twice():
    pairs = [(Tag("S", f"X{n}"), Tag("S", f"X{n}{d}")) for n in range(40) for d in range(10)]
    alike = [(one, other) for one, other in pairs if one.check == other.check and f"X{one.code}"[-1] != other.code[-1]]
    assert len(alike) > 3
    for one, other in alike:
        assert read_burst(one.text, [one]) == one
        reader = BurstReader([one, other])
        first = reader.read(one.text)
        assert (first.tag, first.sure) == (one, False)
        assert reader.read(one.text, before=one.text).sure
        assert not reader.read(one.text, before=other.text).sure
        assert not reader.read(squeezed(one.text), before=squeezed(one.text)).sure
        assert reader.read(other.text).tag == other


def test_a_key_that_always_comes_once_is_not_made_sure_by_coming_twice():
    pairs = [(Tag("S", f"X{n}"), Tag("S", f"X{n}{n % 10}")) for n in range(400)]
    alike = [(one, other) for one, other in pairs if one.check == other.check]
    assert alike
    for one, other in alike:
        found = BurstReader([one, other]).read(one.text, before=one.text)
        assert (found.tag, found.sure) == (one, False)


def test_owners_that_run_on_into_codes_are_told_by_their_dots_and_only_when_they_come_twice():
    one, other = Tag("S", "MA1"), Tag("SM", "A1")
    reader = BurstReader([one, other])
    for tag in (one, other):
        assert not reader.read(tag.text).sure
        assert reader.read(tag.text, before=tag.text).tag == tag
        assert reader.read(tag.text, before=tag.text).sure
    assert not reader.read("SMA1" + one.check, before="SMA1" + one.check).sure


def pairs_by_keyboard():
    """Tags that a German keyboard makes of one another, check character and all; it takes many letters to do so."""
    turn = str.maketrans("YZ", "ZY")
    tags = [Tag("S", "".join(letters)) for letters in product("YZ1", repeat=6)]
    pairs = [(tag, Tag("S", tag.code.translate(turn))) for tag in tags]
    return [(one, other) for one, other in pairs if one.check == other.check and one != other and one.check not in "YZ"]


def test_keyboards_that_lead_to_two_tags_are_never_guessed_between():
    pairs = pairs_by_keyboard()
    assert pairs
    for one, other in pairs:
        for text in (one.text, other.text):
            found = BurstReader([one, other]).read(text, before=text)
            assert (found.tag, found.sure) == (None, False)


def test_a_good_tag_of_another_rig_is_handed_on_and_never_mended():
    known = [Tag("QN", f"LD{number:02d}", "A") for number in range(1, 40)]
    for stranger in (
        Tag("QN", "LD1", "A"),
        Tag("HX", "LD12", "A"),
        Tag("QN", "LD99", "B"),
        Tag("QN", "LD12", "", "7Q0Z"),
    ):
        found = BurstReader(known, "1234").read(stranger.text)
        assert (found.foreign, found.tag, found.sure) == (stranger, None, False)


def test_a_good_tag_of_another_rig_comes_through_a_keyboard_too(garbling):
    stranger = Tag("HX", "LQ-12", "A")
    for keyboard in KEYBOARDS:
        found = BurstReader(SHARE).read(garbling.written_by(keyboard, LINK + stranger.text))
        assert found.foreign == stranger, keyboard.name


def test_a_tag_of_the_rig_as_it_is_goes_before_a_stranger_through_a_keyboard():
    pairs = pairs_by_keyboard()
    assert pairs
    for one, other in pairs:
        assert read_burst(one.text, [one]) == one
        through = BurstReader([one]).read(other.text)
        assert (through.sure, through.foreign) == (False, None)


# --- whatever happens to the keys


@pytest.mark.parametrize("rig", ["demo", "nasty"])
def test_no_wrong_code_is_ever_taken(demo, garbling, rig):
    tags, mark = (demo.tags, demo.mark) if rig == "demo" else (garbling.NASTY, "0A1B")
    tally = garbling.try_bursts(tags, mark, COUNT, random.Random(rig))
    assert tally.wrong == []
    assert tally.taken > 0.5 * COUNT
    assert tally.spell_another < 0.001 * COUNT


def test_the_garblings_garble(garbling):
    chance, text = random.Random(1), "QN.LD12.A.W"
    lengths = {len(garbling.garbled(text, chance)) - len(text) for _ in range(500)}
    assert lengths == {-3, -2, -1, 0, 1, 2, 3}
    assert garbling.dropped(text, 1) == "Q.LD12.A.W"
    assert garbling.repeated(text, 1) == "QNN.LD12.A.W"
    assert garbling.swapped(text, 1) == "Q.NLD12.A.W"


rig_tags = st.lists(
    st.builds(
        Tag, st.sampled_from(["S", "SX", "11"]), st.text("XL1-", min_size=1, max_size=5), st.sampled_from(["", "A"])
    ),
    min_size=1,
    max_size=12,
    unique_by=lambda tag: without_hyphens(tag.code),
).map(
    lambda tags: (
        [tag for tag in tags if without_hyphens(tag.code) and tag.code.strip("-") == tag.code] or [Tag("S", "X")]
    )
)


@given(rig_tags, st.data())
def test_up_to_three_dropped_or_repeated_keys_never_lead_to_another_tag(garbling, tags, data):
    tag = data.draw(st.sampled_from(tags))
    text = tag.text
    for _ in range(data.draw(st.integers(0, MARGIN))):
        spoil = data.draw(st.sampled_from([garbling.dropped, garbling.repeated]))
        text = spoil(text, data.draw(st.integers(0, len(text) - 1)))
    assert read_burst(text, tags) in (None, tag)


@given(rig_tags, st.data())
def test_one_key_taken_for_another_is_never_another_tag(garbling, tags, data):
    tag = data.draw(st.sampled_from(tags))
    place = data.draw(st.integers(0, len(tag.text) - 1))
    text = tag.text[:place] + data.draw(st.sampled_from(ALPHABET + ".-")) + tag.text[place + 1 :]
    if squeezed(text) not in {squeezed(other.text) for other in tags if other != tag}:
        assert read_burst(text, tags) in (None, tag)


@given(st.text(st.characters(), max_size=500))
def test_any_text_is_read_or_refused(text):
    assert read_burst(text, SHARE) in (None, *SHARE)
    assert all(tag.text for tag in whole_tags(text))


def test_a_rig_without_tags_takes_nothing():
    assert read_burst("S.X1.C", []) is None
    assert MOST_KEY_ERRORS < MARGIN


# --- in words


def test_a_hand_scan_is_told_as_any_other(demo):
    tag = next(tag for tag in demo.tags if tag.code == "HP01" and tag.end == "B")
    found = read_hand_scan(tag.text.lower(), demo)
    assert (found.kind, found.name, found.item, found.tag) == ("item", "HP01 B", "HP01", tag)
    older = read_hand_scan(replace(tag, mark="0000").text, demo)
    assert (older.kind, older.item) == ("older", "HP01")
    hired = read_hand_scan(Tag("HX", "LK7").text, demo)
    assert (hired.kind, hired.tag) == ("foreign", Tag("HX", "LK7"))


def test_what_was_not_read_clearly_is_asked_for_again_and_the_likely_one_named(demo):
    found = read_hand_scan(f"QN.LD1.A.{Tag('QN', 'LD12', 'A').check}", demo)
    assert (found.kind, found.name, found.tag) == ("unclear", "", None)
    assert "Scan it again" in found.more
    assert "Perhaps LD12 A" in found.more


def test_strange_bursts_get_a_plain_answer(demo, garbling):
    assert read_hand_scan("https://any.host/x", demo).kind == "web"
    for keyboard in KEYBOARDS[:7]:
        assert read_hand_scan(garbling.written_by(keyboard, "HTTPS://ANY.HOST/X"), demo).kind == "web"
    for text in ("4006381333931", "HP01", "QN.LEFT.X"):
        assert read_hand_scan(text, demo).kind == "unclear"
    for text in ("", "\u202e", "[b]", "A" * 3000, "\x00" * 9):
        assert read_hand_scan(text, demo).kind == "strange"
