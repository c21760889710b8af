"""Places, zones, and codes that look alike."""

from itertools import combinations

import pytest

from checkapp.review.rules.crew import alike_codes

HEAD = """
[link_kind.thread]
max_length_m = 9000.0
[cable_kind.cord]
[box_kind.mic8]
inputs = 8
outputs = 0
accepts = ["mic"]
[[chain]]
code = "RUN"
link = "thread"
"""


def sources(*codes):
    return "".join(f'[[source]]\ncode = "{code}"\n' for code in codes)


def boxes(*fields):
    text, feed = HEAD, "RUN"
    for number, field in enumerate(fields, start=1):
        text += f'[[cable]]\ncode = "H{number}"\nkind = "cord"\nlength_m = 5.0\n'
        text += f'[[box]]\ncode = "BOX{number}"\nkind = "mic8"\nfed_from = "{feed}"\ncable = "H{number}"\n{field}\n'
        feed = f"BOX{number}"
    return text


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("SBO", "SB0"),
        ("Q7", "07"),
        ("QT", "OT"),
        ("LI", "L1"),
        ("MIC5", "MICS"),
        ("B1", "81"),
        ("X2", "XZ"),
        ("G", "6"),
        ("SB-1", "S81"),
        ("5O1", "SOI"),
    ],
)
def test_codes_that_look_alike(found_in, first, second):
    (finding,) = found_in(sources(first, "ZULU", second), "alike-codes")
    assert (finding.level, finding.where, finding.value) == ("note", first, None)
    assert f"{first} and {second}" in finding.message


@pytest.mark.parametrize("series", [[f"SB{n}" for n in range(1, 41)], [f"LK{n:02}" for n in range(1, 80)], "ABCDEFGH"])
def test_an_ordinary_series_is_fine(rig_of, series):
    assert list(alike_codes(rig_of(sources(*series)))) == []


def test_only_the_six_pairs_and_q_are_folded(rig_of):
    """Of all single characters, those that are read for each other and no others."""
    alike = ["OQ0", "I1", "S5", "B8", "Z2", "G6"]
    for pair in combinations("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ", 2):
        expected = any(set(pair) <= set(group) for group in alike)
        assert bool(list(alike_codes(rig_of(sources(*pair))))) == expected, pair


def test_one_finding_for_all_that_look_alike_across_tables(found_in):
    (finding,) = found_in(HEAD.replace('"RUN"', '"S1"') + sources("51", "SI"), "alike-codes")
    assert finding.where == "chain S1"
    assert "chain S1, 51 and SI" in finding.message


@pytest.mark.parametrize(
    ("fields", "lost"),
    [
        (['place = "Left"', "at = [1.0, 2.0]"], []),
        (['place = "Left"', ""], ["BOX2"]),
        (["", ""], ["BOX1", "BOX2"]),
        ([], []),
    ],
)
def test_no_place(found_in, fields, lost):
    found = found_in(boxes(*fields), "no-place")
    assert [(one.level, one.where) for one in found] == ([("note", lost[0])] if lost else [])
    assert all(code in one.message for one in found for code in lost)
    assert all("BOX1" not in one.message for one in found if "BOX1" not in lost)


def test_forty_boxes_without_a_place_are_one_finding(found_in):
    (finding,) = found_in(boxes(*[""] * 40), "no-place")
    assert "BOX1, BOX2, BOX3, BOX4, BOX5, BOX6, BOX7 and 33 more go" in finding.message


def lines(*zones):
    text = ""
    for number, zone in enumerate(zones, start=1):
        text += f'[[input]]\nnumber = {number}\nname = "Line"\nlevel = "mic"\nport = "DESK in {number}"\n'
        text += f'zone = "{zone}"\n' if zone else ""
    return text


@pytest.mark.parametrize(
    ("zones", "lost"),
    [
        (["Left", "Right"], []),
        (["", "", ""], []),
        (["Left", "", "Right", ""], ["in 2", "in 4"]),
        (["", "Left"], ["in 1"]),
        ([], []),
    ],
)
def test_no_zone(found_in, zones, lost):
    found = found_in(lines(*zones), "no-zone")
    assert [(one.level, one.where) for one in found] == ([("note", lost[0])] if lost else [])
    assert all(" and ".join(lost) in one.message for one in found)


def test_outputs_count_too(found_in):
    text = lines("Left") + '[[output]]\nnumber = 1\nname = "Wedge"\nport = "DESK out 1"\n'
    (finding,) = found_in(text, "no-zone")
    assert finding.where == "out 1"
    assert "out 1 has no zone" in finding.message
