"""A card as geometry: all its words are there, in their columns, and nothing lies over anything else."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from checkapp.touch.widgets.card_layout import Type, one_column, section, table, two_columns


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


KIND = Type(24.0, 18.0, 8.0, wide, high)
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
    heads = [cell for cell in block.cells if cell.style == "head"]
    assert len(heads) == len(all_rows)
