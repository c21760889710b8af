"""The penalties of QR masks against the library's own reckoning, and rule by rule."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from qrcode.util import lost_point

from checkapp.tags.mask import penalty


def rows_of(*texts):
    """Rows written with the left module first, # for dark."""
    return [int(text[::-1].replace("#", "1").replace(".", "0"), 2) for text in texts]


@pytest.mark.independent
@settings(max_examples=80, deadline=None)
@given(st.sampled_from([21, 25, 29, 33]), st.data())
def test_the_library_reckons_the_same(side, data):
    """Whatever the modules: patterns that look like finders at the edges and long runs are drawn on purpose."""
    finder = 0b10111010000
    row = st.one_of(
        st.integers(0, 2**side - 1),
        st.sampled_from([0, 2**side - 1, finder, finder << side - 11, 0b00001011101, 0b1011101 << side - 7]),
    )
    rows = data.draw(st.lists(row, min_size=side, max_size=side))
    modules = [[bool(row >> column & 1) for column in range(side)] for row in rows]
    assert penalty(rows) == lost_point(modules)


@pytest.mark.closed_form
def test_the_rules_on_small_squares():
    """ISO/IEC 18004: 3 + n for runs of 5 + n alike, 3 a block of two by two, 10 for each 5 % from half dark."""
    assert penalty(rows_of("#.#.", ".#.#", "#.#.", ".#.#")) == 0
    assert penalty(rows_of("##..", "##..", "..##", "..##")) == 4 * 3
    assert penalty(rows_of("######", *["#.#.#."] * 5)) == 4 + 3 * 4 + 3 * 3 + 10
