"""Texts in little room: ports are never cut within a range, and what is there only if there is room goes first."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from checkapp.page import fonts
from checkapp.tags.fit import LEAST_TYPE_MM, TYPES, Text, exact_lines, fitted
from checkapp.tags.label import labels_of
from checkapp.tags.layout import layout

PORTS = "into LEFT in 5 to 12; LEFT out 5 to 6"
ports = st.builds(
    lambda code, way, first, count, to: f"{code} {way} {first}" + (f" {to} {first + count}" if count else ""),
    st.sampled_from(["LEFT", "SB1", "A"]),
    st.sampled_from(["in", "out"]),
    st.integers(1, 96),
    st.integers(0, 12),
    st.sampled_from(["to", "bis"]),
)


def parts_of(text):
    return re.split(r"(?<=[,;]) ", text)


def is_cut_well(lines, text):
    """Whether the lines say the text, or its first parts and then an ellipsis, or nothing."""
    said = " ".join(lines)
    parts = parts_of(text)
    return said in {"", text, *(" ".join([*parts[:count], "…"]) for count in range(1, len(parts)))}


@example("LEFT out 1 to 10", 8.0, 0.0)
@given(st.lists(ports, min_size=1, max_size=4).map("; ".join), st.floats(1, 120), st.floats(0, 1))
def test_an_exact_text_is_cut_between_its_parts_alone_and_is_no_wider_than_its_room(text, width_mm, scale):
    one = Text(f"into {text}", TYPES["strong"], (width_mm, 20.0), exact=True)
    for rows in (one.rows(scale), one.on_one_line()):
        assert is_cut_well([row.text for row in rows], one.text)
        assert one.is_whole(rows) == (" ".join(row.text for row in rows) == one.text)
        for row in rows:
            assert row.size_mm >= LEAST_TYPE_MM
            assert fonts.width(row.text, row.type.face()) * row.size_mm <= width_mm + 1e-6
            assert not re.search(r"\b(in|out)$|\d (to|and|bis)$", row.text)


@given(st.lists(ports, min_size=1, max_size=4).map("; ".join), st.floats(1, 60), st.integers(1, 4))
def test_an_exact_text_on_a_few_lines_likewise(text, most, lines):
    found = exact_lines(text, most, len, lines)
    assert is_cut_well(found, text)
    assert len(found) <= lines
    assert all(len(line) <= most for line in found)
    assert not any(re.search(r"\b(in|out)$|\d (to|and|bis)$", line) for line in found)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("most", "lines", "said"),
    [
        (len(PORTS), 1, [PORTS]),
        (len(PORTS) - 1, 1, ["into LEFT in 5 to 12; …"]),
        (len(PORTS) - 1, 2, ["into LEFT in 5 to 12; LEFT", "out 5 to 6"]),
        (12, 2, []),
        (12, 3, ["into LEFT", "in 5 to 12;", "…"]),
        (8, 9, []),
    ],
)
def test_ports_that_are_too_long_lose_a_part_or_are_left_out(most, lines, said):
    assert exact_lines(PORTS, most, len, lines) == said


def test_an_exact_text_goes_into_smaller_type_before_it_is_cut():
    width_mm = 2.0 * max(fonts.width(part, TYPES["strong"].face()) for part in parts_of(PORTS))
    exact = Text(PORTS, TYPES["strong"], (width_mm, 10.0), exact=True).rows(0.0)
    assert [row.text for row in exact] == parts_of(PORTS)
    assert {row.size_mm for row in exact} == {LEAST_TYPE_MM}


def test_what_is_there_if_there_is_room_goes_before_anything_is_cut():
    def text(words, if_room=False):
        return Text(words, TYPES["small"], (30.0, 10.0), if_room=if_room)

    texts = [text("one"), text("caution", if_room=True), text("a longer text")]
    every = [[row.text for row in rows] for rows in fitted(texts, 9.0, 9.0, 4.0)]
    fewer = [[row.text for row in rows] for rows in fitted(texts, 4.5, 4.5, 4.0)]
    assert [rows[0] for rows in every][:2] == ["one", "caution"]
    assert fewer == [every[0], every[2]]


def test_no_show_tag_of_the_demo_ends_within_a_port_or_range_on_any_stock(demo_rig, stock_named, stock_name):
    stock = stock_named(stock_name)
    for label in labels_of(demo_rig, for_show=True):
        if stock.takes(label.kind):
            cut = [one.text for one in layout(label, stock).words if one.text.endswith("…")]
            exact = tuple(said.text.split()[0] for said in label.said if said.exact)
            assert all(text.endswith(" …") for text in cut if text.split()[0] in exact), cut
