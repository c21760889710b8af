"""Whole cards as geometry: every word is there, in its place, nothing over anything else, whatever the width."""

from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from checkapp.rig.connections import connections
from checkapp.rig.planfile import load_plan
from checkapp.show.card import Card, Connector, Section, sockets
from checkapp.show.card_lookup import find_card
from checkapp.show.views import FindingRow
from checkapp.touch.widgets.card_compose import Page, scales
from checkapp.touch.widgets.card_layout import Type
from checkapp.touch.widgets.card_lead import head
from checkapp.touch.widgets.card_plate import columns, plate, row_of

DEMO = load_plan(Path(__file__).parents[2] / "plans" / "demo.toml")
WIDTHS = (1232.0, 752.0, 312.0)


def wide(text, size, bold):
    return 0.5 * size * len(text)


def high(text, size, width, bold):
    if not text:
        return 0.0
    lines, used = 1, 0.0
    for word in text.split(" "):
        need = wide(word, size, bold)
        if used and used + need + wide(" ", size, bold) > width:
            lines, used = lines + 1, 0.0
        lines += max(0, int(need // max(width, 1.0)))
        used += need + (wide(" ", size, bold) if used else 0.0)
    return lines * 1.2 * size


KIND = Type(56.0, 32.0, 24.0, 18.0, 14.0, 8.0, wide, high)


@cache
def card_of(code):
    """The card of what is typed, without a journal."""
    return find_card(DEMO, code, None)


def run_high(width, size):
    return 4.0 * size


def laid(card, width, room=700.0, kind=KIND, **how):
    return Page(card, width, kind, run_high, **how).laid(room)


def clear(block, width):
    """Words are inside the width and the height, and nothing lies over anything else."""
    for cell in block.cells:
        assert cell.left >= -0.01, cell
        assert cell.left + cell.width <= width + 0.1, cell
        assert cell.top >= -0.01, cell
        assert cell.top + cell.height <= block.height + 0.01, cell
    for one, other in combinations(block.cells, 2):
        across = min(one.left + one.width, other.left + other.width) - max(one.left, other.left)
        down = min(one.top + one.height, other.top + other.height) - max(one.top, other.top)
        assert across <= 0.01 or down <= 0.01, (one, other)
    strokes = [shape for shape in block.shapes if shape.kind == "stroke"]
    for shape in strokes:
        assert shape.left >= -0.01
        assert shape.left + shape.width <= width + 0.1
        for cell in block.cells:
            level = cell.top < shape.top + shape.height / 2 < cell.top + cell.height
            across = min(shape.left + shape.width, cell.left + cell.width) - max(shape.left, cell.left)
            assert not level or across <= 0.01, (shape, cell)


def said(block):
    return sorted(word for cell in block.cells for word in cell.text.split())


@pytest.mark.parametrize("width", WIDTHS)
def test_every_card_of_the_demo_rig_is_clear_in_every_width(width):
    codes = [*DEMO.items, *(line.line for line in DEMO.lines), "DESK", *(one.subject for one in connections(DEMO))]
    for code in dict.fromkeys(codes):
        card = card_of(code)
        for kind in (KIND, KIND.below(40.0), KIND.below(24.0)):
            clear(laid(card, width, kind=kind), width)


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("code", ["LEFT", "DROP", "FAR", "DESK", "chain BACK"])
def test_every_socket_is_there_with_its_cable_and_its_line(code, width):
    card = card_of(code)
    words = said(laid(card, width))
    for one in card.connectors:
        for text in (one.word, one.plug, one.number, one.name, one.hint, one.far):
            for word in text.split():
                assert word in words
                words.remove(word)


@pytest.mark.parametrize("width", WIDTHS)
def test_both_ends_of_a_cable_are_there_with_their_sockets(width):
    for code in ("HP02", "FN01", "LM01", "LD11"):
        card = card_of(code)
        words = said(laid(card, width))
        for one in card.connectors:
            assert set(one.hint.split()) <= set(words)
            if one.word != one.name:
                assert set(one.word.split()) <= set(words)
            assert one.name == "" or set(one.name.split()) <= set(words)


def cells_of(block, text):
    return [cell for cell in block.cells if cell.text == text]


def test_the_chain_sockets_are_the_first_rows_of_a_box_and_larger_than_its_ports():
    for code in ("STRINGS", "LEFT", "DRUM"):
        for width in WIDTHS:
            block = laid(card_of(code), width)
            (inward,), (outward,) = cells_of(block, "link in"), cells_of(block, "link out")
            ports = [cell for cell in block.cells if cell.text.startswith(("in ", "out ")) and cell.bold]
            assert inward.top < outward.top < min(cell.top for cell in ports if cell.style != "tape")
            assert min(inward.size_px, outward.size_px) > max(cell.size_px for cell in ports if cell.style != "tape")


def test_what_leads_to_the_desk_leaves_the_plate_at_the_right_all_else_comes_from_the_left():
    for width in WIDTHS:
        block = laid(card_of("LEFT"), width)
        (inward,), (outward,) = cells_of(block, "link in"), cells_of(block, "link out")
        (to_desk,), (to_next,) = cells_of(block, "HP02 B"), cells_of(block, "HP03 A")
        assert to_desk.left > inward.left + inward.width
        assert to_next.left + to_next.width < outward.left


def test_the_end_that_was_scanned_has_its_socket_first_and_largest():
    for one in connections(DEMO):
        card = card_of(one.subject)
        for width in WIDTHS:
            block = laid(card, width)
            first = min(block.cells, key=lambda cell: cell.top)
            assert first.text == card.goes
            assert all(cell.size_px <= first.size_px for cell in block.cells)


@pytest.mark.parametrize("size", [24.0, 30.0, 56.0])
def test_a_card_keeps_below_the_size_of_what_is_said_over_it(size):
    for code in ("HP02 B", "in 40", "LEFT", "PWR2", "HP02"):
        for width in WIDTHS:
            top, _led = head(card_of(code), width, KIND.below(size))
            cells = (*top.cells, *laid(card_of(code), width, kind=KIND.below(size)).cells)
            assert max(cell.size_px for cell in cells) <= min(size, KIND.name_px)


def test_no_type_is_smaller_than_the_bodys_and_codes_are_as_large_as_there_is_room_for():
    sizes = {}
    for room in (500.0, 600.0, 700.0, 900.0):
        block = laid(card_of("STRINGS"), 1232.0, room, led=True)
        assert min(cell.size_px for cell in block.cells) >= KIND.body_px
        (code,) = cells_of(block, "LD13 A")
        sizes[room] = (code.size_px, any(shape.kind == "run" for shape in block.shapes))
    assert list(sizes.values()) == sorted(sizes.values())
    assert sizes[900.0][1]


def test_a_card_that_does_not_go_in_at_all_is_as_low_as_can_be():
    card = card_of("LEFT")
    lowest = laid(card, 1232.0, 10.0)
    assert not any(shape.kind == "run" for shape in lowest.shapes)
    assert lowest.height <= laid(card, 1232.0, 700.0).height


texts = st.text("abcXYZ 0123", min_size=1, max_size=24).map(lambda text: " ".join(text.split()) or "x")
plugs = st.builds(
    Connector,
    port=texts,
    word=st.sampled_from(["in 1", "in 12", "out 3", "link in"]),
    hint=st.sampled_from(["", "towards the desk"]),
    end=st.sampled_from(["", "LD11 A", "MULTICORE1 B"]),
    way=st.sampled_from(["", "way 12"]),
    far=st.one_of(st.just(""), texts),
    line=st.sampled_from(["", "in 7"]),
    number=st.sampled_from(["7", "out 11"]),
    name=texts,
    facts=st.sampled_from(["", "mic, phantom", "stays empty, X is the last box"]),
    towards_desk=st.booleans(),
    status=st.sampled_from(["open", "ok", "faulty"]),
    said=st.one_of(st.just(""), texts),
)


@settings(max_examples=60)
@given(st.lists(plugs, min_size=1, max_size=8), st.sampled_from([*WIDTHS, 980.0, 601.0]), st.booleans())
def test_any_sockets_are_clear(these, width, led):
    leaving = [one for one in these if one.towards_desk]
    others = [one for one in these if not one.towards_desk]
    findings = (FindingRow("stop", "r", "X", "a finding that says a lot of things", "and what to do"),)
    power = Section("power", (("needs none",),), caution="Mind the mains.")
    card = Card(
        "X", "box", "box", ("QN.X.1",), (sockets("ports", leaving[:1] + others), power), ("Mind the mains.",),
        findings, (("2031-05-03 21:04", "Night 1", "in 3 faulty: hum"),), code="X", goes="There", what="box",
    )  # fmt: skip
    clear(laid(card, width, led=led), width)


@given(st.lists(plugs, min_size=1, max_size=8), st.floats(250, 1200))
def test_a_plate_lies_in_its_room_or_there_is_none(these, room):
    for scale in scales(KIND):
        rows = [row_of(one, scale, KIND) for one in these]
        for wraps in (False, True):
            at = columns(rows, room, KIND, wraps=wraps)
            if at is None:
                continue
            block, _taken = plate(rows, at, scale, KIND)
            assert at.end <= room + 0.1
            clear(block, room)
            if not wraps:
                one_line = [cell for cell in block.cells if cell.style != "faulty"]
                assert all(cell.height <= 1.2 * cell.size_px + 0.01 for cell in one_line)
