"""What a scan is to set-up: an end, a place, hired gear, or nothing of the rig."""

import pytest

from checkapp.rig.codes import Tag
from checkapp.show.seen import see


@pytest.mark.parametrize(
    ("text", "name", "end", "box"),
    [
        ("hp02 b", "HP02 B", "HP02 B", ""),
        ("RIGHT", "RIGHT", "", "RIGHT"),
        ("right in 3", "RIGHT in 3", "", "RIGHT"),
        ("right link out", "RIGHT link out", "", "RIGHT"),
        ("FRONT", "chain FRONT", "", ""),
        ("DI04", "DI04", "", ""),
        ("PWR1", "PWR1", "", ""),
        ("in 7", "in 7", "", ""),
        ("desk in 3", "DESK in 3", "", ""),
        ("desk", "DESK", "", ""),
    ],
)
def test_what_is_of_the_rig(demo, text, name, end, box):
    seen = see(demo, text)
    assert (seen.name, seen.end, seen.box, seen.open_end, seen.warning) == (name, end, box, False, "")


@pytest.mark.parametrize("burst", [False, True])
def test_every_tag_of_the_rig_typed_or_from_a_hand_scanner(demo, burst):
    for tag in demo.tags:
        seen = see(demo, tag.text, burst=burst)
        if burst and seen.unclear:  # a neighbour is too near: twice the same is sure
            seen = see(demo, tag.text, burst=True, before=seen.unclear)
        assert seen.end == (f"{tag.code} {tag.end}" if tag.end else "")
        assert tag.code in seen.name


def test_a_cable_without_its_end(demo):
    assert see(demo, "HP02").open_end


def test_hired_gear_is_told_by_its_whole_tag_alone(demo):
    tag = Tag("ZZ", "SB9")
    assert see(demo, tag.text).foreign == tag
    assert see(demo, "SB9").foreign is None
    assert see(demo, f"{tag.body}.0" if tag.check != "0" else f"{tag.body}.1").foreign is None


def test_yesterdays_show_tag_is_taken_with_a_warning(demo):
    old = Tag("QN", "RIGHT", "", "0000")
    seen = see(demo, old.text)
    assert seen.name == "RIGHT"
    assert "older plan" in seen.warning
    assert see(demo, Tag("QN", "RIGHT", "", demo.mark).text).warning == ""


@pytest.mark.parametrize(
    "text", ["", "  ", "<b>x</b>", "[ref=a]x[/ref]", "../../etc/passwd", "\x00\x07", "‮A", "x" * 3000]
)
def test_anything_else_is_answered_and_names_nothing(demo, text):
    for burst in (False, True):
        seen = see(demo, text, burst=burst)
        assert seen.name == ""
        assert seen.answer.words
