"""Bands on pages: none is cut, tables begin again with their head, what is bound together stays together."""

from hypothesis import given
from hypothesis import strategies as st

from checkapp.page.bands import Band, NewPage, kept, lines_of, paged, placed, side_by_side, together
from checkapp.page.drawing import Plate, Words
from checkapp.page.fonts import measure
from checkapp.page.pen import Pen
from checkapp.page.table import Column, Row, table

PEN = Pen(measure)
heights = st.lists(st.tuples(st.floats(1, 30), st.booleans()), max_size=60)


@given(heights, st.floats(31, 90))
def test_every_band_is_on_a_page_in_order_and_no_page_is_too_full(wanted, height):
    bands = [Band(high, keep=keep) for high, keep in wanted]
    pages = paged([NewPage("one"), *bands], height)
    assert [band for page in pages for band in page.bands] == bands
    assert all(page.height <= height + 1e-6 for page in pages)
    assert all(page.bands for page in pages[1:])


def test_bound_bands_move_to_the_next_page_together():
    pages = paged([NewPage("one"), Band(50), *together([Band(20), Band(20), Band(20)]), Band(1)], 100)
    assert [[band.height for band in page.bands] for page in pages] == [[50], [20, 20, 20, 1]]


def test_a_table_begins_again_with_its_head_and_keeps_it_with_its_first_row():
    columns = (Column("line", 20), Column("name", 60, bold=True), Column("ok", 10, tick=True))
    rows = [Row((f"in {n}", "Kick " * (n % 9), "")) for n in range(1, 61)]
    bands = table(columns, rows, PEN, least=6)
    pages = paged([NewPage("check"), Band(90), *bands], 100)
    assert len(pages) > 4
    for page in pages[1:]:
        assert page.bands[0] == bands[0]
        assert len(page.bands) > 1
    assert pages[0].bands == [Band(90)]
    assert sum(len(page.bands) for page in pages) == 1 + len(rows) + len(pages) - 1


def test_cells_wrap_within_their_column_and_are_cut_at_last():
    (head, row) = table((Column("a", 20, lines=2), Column("b", 30)), [Row(("word " * 40, "short"))], PEN)
    words = [shape for shape in row.shapes if isinstance(shape, Words)]
    assert [shape.text for shape in words if shape.x >= 20] == ["short"]
    first = [shape for shape in words if shape.x < 20]
    assert len(first) == 2
    assert first[1].text.endswith("…")
    assert all(shape.rect.right <= 20 for shape in first)
    assert all(-row.height <= shape.rect.bottom and shape.rect.top <= 0 for shape in words)
    assert head.keep


def test_a_column_to_tick_has_a_square_in_the_middle_of_each_row():
    _, row = table((Column("ok", 10, tick=True),), [Row(("",))], PEN, least=8)
    (square,) = [shape for shape in row.shapes if isinstance(shape, Plate)]
    assert square.rect.width == square.rect.height
    assert square.rect.middle[1] == -4


def test_columns_of_lines_stand_level():
    left, right = lines_of(PEN, "power", 20, 3), lines_of(PEN, "one two three four five six", 20, 3)
    bands = side_by_side(kept(left), right, 30)
    assert len(bands) == len(right)
    shapes = list(placed(bands, 10, 100))
    assert [shape.y for shape in shapes if shape.text == "power"] == [shapes[1].y]
    assert shapes[1].x == 40
