"""A card as geometry: all its words are there, in their columns, and nothing lies over anything else."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from checkapp.touch.widgets.card_layout import (
    Type,
    beside,
    marked,
    one_column,
    section,
    shared,
    table,
    two_columns,
)
from checkapp.touch.widgets.card_layout import (
    words as worded,
)


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
        used += need
    return lines * 1.2 * size


KIND = Type(56.0, 32.0, 24.0, 18.0, 14.0, 8.0, wide, high)
words = st.lists(st.text("abcdefgh", min_size=1, max_size=14), max_size=6).map(" ".join)
tables = st.lists(st.lists(words, min_size=1, max_size=5), min_size=1, max_size=9)


def apart(cells):
    for one, other in combinations(cells, 2):
        across = min(one.left + one.width, other.left + other.width) - max(one.left, other.left)
        down = min(one.top + one.height, other.top + other.height) - max(one.top, other.top)
        assert across <= 0.01 or down <= 0.01, (one, other)


@given(tables, st.floats(150, 1400))
def test_a_table_keeps_its_words_and_its_width(rows, width):
    block = table(rows, width, KIND)
    said = " ".join(cell.text for cell in block.cells).replace(",", "").split()
    assert sorted(said) == sorted(" ".join(cell for row in rows for cell in row).split())
    for cell in block.cells:
        assert cell.left >= 0
        assert cell.left + cell.width <= width + 0.1
        assert cell.top + cell.height <= block.height + 0.01
    apart(block.cells)


def test_a_table_with_room_is_as_wide_as_its_words_and_shows_its_columns():
    block = table([("SB1 in 1", "Kick", ""), ("SB1 in 2", "Snare top", "")], 900.0, KIND)
    assert len({cell.left for cell in block.cells}) == 2
    assert max(cell.left + cell.width for cell in block.cells) < 300


@given(st.lists(tables, max_size=5), st.floats(900, 2000))
def test_two_columns_are_no_higher_than_one_of_half_the_width(all_rows, width):
    def make(wide_px):
        return [section("ports", rows, wide_px, KIND) for rows in all_rows]

    block = two_columns(make, width, 32.0, 16.0)
    assert block.height <= one_column(make((width - 32.0) / 2), 16.0).height + 0.01
    assert all(cell.left + cell.width <= width + 0.1 for cell in block.cells)
    apart(block.cells)
    heads = [cell for cell in block.cells if cell.bold]
    assert len(heads) == len(all_rows)


def test_the_rows_of_a_section_carry_their_marks_where_any_is_known():
    rows = [("Onward power", "on"), ("Lamps", "dim")]
    assert section("set on it", rows, 400.0, KIND, ["open", "open"]).shapes == ()
    block = section("set on it", rows, 400.0, KIND, ["ok", "open"])
    assert [(shape.kind, shape.status) for shape in block.shapes] == [("mark", "ok"), ("mark", "open")]
    for shape in block.shapes:
        row = [cell for cell in block.cells if abs(cell.top - shape.top) < 10 and not cell.bold]
        assert len(row) == 2
        assert all(cell.left >= shape.left + shape.width for cell in row)


def test_nothing_takes_no_room():
    assert worded("", 300.0, 18.0, KIND).height == marked("", 300.0, 18.0, KIND, "look").height == 0.0
    one = worded("here", 300.0, 18.0, KIND)
    nothing = worded("", 300.0, 18.0, KIND)
    assert one_column([nothing, one, nothing], 16.0) == one_column([one], 16.0)


def test_blocks_side_by_side_are_as_high_as_the_higher_one():
    low, high_one = worded("one", 100.0, 18.0, KIND), worded("two " * 20, 100.0, 18.0, KIND)
    both = beside(low, high_one, 130.0)
    assert both.height == high_one.height
    assert [cell.left for cell in both.cells] == [0.0, 130.0]


@given(st.lists(st.tuples(st.floats(0, 300), st.floats(0, 1)), min_size=1, max_size=6), st.floats(10, 900))
def test_shared_widths_fit_the_room_and_are_never_less_than_their_least(pairs, room):
    found = [wide_px for wide_px, _ in pairs]
    least = [wide_px * part for wide_px, part in pairs]
    widths = shared(found, least, room)
    if widths is None:
        assert sum(least) > room
        return
    assert sum(widths) <= max(room, 0) + 0.02
    assert all(low - 1e-9 <= width <= high_px + 1e-9 for low, width, high_px in zip(least, widths, found, strict=True))
    if sum(found) <= room:
        assert widths == found
