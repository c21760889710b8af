"""Fonts of pictures: few are kept open."""

from checkapp.page import fonts
from checkapp.page.png import MOST_SIZES, type_of


def test_few_fonts_are_kept_open_however_many_sizes_are_asked_for():
    """Each holds its file in memory: tags of all sizes, looked at one after another, would add up."""
    file = fonts.file_of(fonts.bold_face().fonts[0])
    for step in range(2 * MOST_SIZES):
        assert type_of(file, 10.0 + step).size == 10.0 + step
    assert type_of.cache_info().currsize <= MOST_SIZES
    assert type_of(file, 10.0 + step) is type_of(file, 10.0 + step)
