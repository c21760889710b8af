import hashlib

import pytest

from checkapp.rig.codes import Tag, base36
from checkapp.rig.errors import UnknownCode, WrongCheckCharacter
from checkapp.rig.planfile import load_plan


def test_lines_stand_by_number_inputs_first(small):
    assert [line.line for line in small.lines] == ["in 1", "in 2", "in 3", "out 1"]


def test_boxes_of_a_chain_stand_in_order_without_passive_ones(small):
    assert [box.code for box in small.boxes_on("A")] == ["S1", "S2"]
    assert small.chain_of("S2") == small.chain_of("D1") == "A"
    assert small.fed_box("D1").code == "S2"


def test_lengths_come_back_as_they_were_written(small):
    assert small.cables["H2"].length == "50 ft"
    assert small.cables["H2"].length_m == pytest.approx(15.24)
    assert small.cables["H1"].length == "15 m"


def test_a_line_is_found_however_it_is_typed(small):
    assert small.line("IN2") is small.line("in 2")
    with pytest.raises(UnknownCode, match="in 9"):
        small.line("in 9")


@pytest.mark.parametrize(
    ("typed", "item"),
    [
        ("S1", "S1"),
        ("s1", "S1"),
        ("tr.s1", "S1"),
        ("S1 IN 3", "S1 in 3"),
        ("chain a", "chain A"),
        ("A", "chain A"),
        ("x1", "X1"),
        ("desk IN 2", "desk in 2"),
        ("source in 1", "source in 1"),
        ("load out 1", "load out 1"),
        ("M1", "M1"),
    ],
)
def test_what_people_type_names_the_item(small, typed, item):
    assert small.resolve(typed) == item


def test_a_tag_names_its_item_and_a_wrong_check_character_is_refused(small):
    tag = next(tag for tag in small.tags if tag.code == "H1" and tag.end == "B")
    assert small.resolve(tag.text.lower()) == "H1"
    wrong = tag.text[:-1] + ("1" if tag.check != "1" else "2")
    with pytest.raises(WrongCheckCharacter, match=r"TR\.H1\.B"):
        small.resolve(wrong)


@pytest.mark.parametrize("typed", ["", "Q9", "S1 in 99", "in 77", "<b>", "S1; rm", "\u202eS1"])
def test_what_names_nothing_is_refused_in_one_line(small, typed):
    with pytest.raises(UnknownCode) as caught:
        small.resolve(typed)
    assert "\n" not in str(caught.value)


def test_the_digest_is_that_of_the_files_in_their_order(write, small_text):
    write("[cable_kind.extra]\n", "more.toml")
    text = small_text.replace("format = 1", 'format = 1\nuse = ["more.toml"]')
    rig = load_plan(write(text))
    assert rig.digest == hashlib.sha256(text.encode() + b"[cable_kind.extra]\n").hexdigest()
    assert rig.mark == base36(int(rig.digest, 16))[:4]
    assert "extra" in rig.plan.cable_kind


def test_every_item_of_every_path_is_an_item_of_the_rig(small):
    for line in small.lines:
        for item in small.path(line.line):
            assert small.items[item.name] == item.kind
    assert small.items["X2"] == "cable"
    assert small.items["H1"] == small.items["MU"] == "hop"


def test_a_show_tag_of_any_plan_and_a_link_name_their_item(small):
    for mark in (small.mark, "0000"):
        shown = Tag("TR", "H1", "B", mark)
        assert small.resolve(shown.text) == small.resolve(f"https://any.host/x/{shown.text}") == "H1"
    assert small.resolve(f"HTTPS://ANY.HOST/{Tag('TR', 'A').text}") == "chain A"
    with pytest.raises(UnknownCode, match="web address"):
        small.resolve("https://any.host/H1")
