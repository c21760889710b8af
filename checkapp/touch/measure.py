"""How much room words take, measured without drawing them."""

from functools import lru_cache
from math import ceil

from kivy.core.text import Label as CoreLabel

_REFERENCE_PX = 100
_WIDEST_EM = 1.25
"""No letter of the family is wider, in sizes of its type: the widest is a little over 1."""


@lru_cache(maxsize=2)
def _writer(bold: bool) -> CoreLabel:
    return CoreLabel(font_size=_REFERENCE_PX, bold=bold)


@lru_cache(maxsize=4096)
def _reference_width(word: str, bold: bool) -> int:
    width, _height = _writer(bold).get_extents(word)
    return int(width)


@lru_cache(maxsize=2)
def _reference_height(bold: bool) -> int:
    _width, height = _writer(bold).get_extents("Åg")
    return int(height)


def width_of(text: str, size_px: float, bold: bool = False) -> float:
    """Width in pixels of ``text`` on one line."""
    return _reference_width(text, bold) * size_px / _REFERENCE_PX


def surely_fits(text: str, size_px: float, width_px: float) -> bool:
    """Whether ``text`` is so short that it fits on one line of the width, whatever its letters: nothing is measured."""
    return len(text) * _WIDEST_EM * size_px <= width_px


def line_height(size_px: float, bold: bool = False) -> float:
    """Height in pixels of one line of text."""
    return ceil(_reference_height(bold) * size_px / _REFERENCE_PX)


def lines_needed(text: str, size_px: float, width_px: float, bold: bool = False) -> int:
    """How many lines ``text`` takes when wrapped between words to ``width_px``; a word wider than that is broken.

    Never fewer than the toolkit then takes, at times one more.
    """
    total = 0
    for paragraph in text.split("\n"):
        total += _lines_of(paragraph, size_px, max(width_px, size_px), bold)
    return total


def _lines_of(paragraph: str, size_px: float, width_px: float, bold: bool) -> int:
    space = width_of(" ", size_px, bold)
    lines, used = 1, 0.0
    for word in paragraph.split(" "):
        wide = width_of(word, size_px, bold)
        if used and used + space + wide > width_px:
            lines, used = lines + 1, 0.0
        if wide > width_px:
            lines, used = lines + ceil(wide / width_px), width_px
        else:
            used += (space if used else 0.0) + wide
    return lines


def height_of(text: str, size_px: float, width_px: float, bold: bool = False) -> float:
    """Height in pixels of ``text`` wrapped to ``width_px``; 0 for no text."""
    return lines_needed(text, size_px, width_px, bold) * line_height(size_px, bold) if text else 0.0


def largest_size(text: str, width_px: float, room_px: float, sizes_px: tuple[int, int, int], bold: bool = False) -> int:
    """The largest size of ``sizes_px`` (least, from which one line will do, most) at which ``text`` fits.

    That is, fits into the width and the height ``room_px``. One line is best, as long as it can be large enough.

    The least when none fits: the text is then higher than the room, never smaller than it may be.
    """
    least, one_line_from_px, most = sizes_px
    one_line = int(width_px / max(1.0, width_of(text, 1.0, bold)))
    if one_line >= one_line_from_px:
        return max(least, min(one_line, most, int(room_px * _REFERENCE_PX / _reference_height(bold))))
    for size in range(most, least, -2):
        widest = max(width_of(word, size, bold) for word in text.split())
        if widest <= width_px and height_of(text, size, width_px, bold) <= room_px:
            return size
    return least


def fitted_size(text: str, width_px: float, size_px: float, bold: bool = False) -> float:
    """The size in pixels, ``size_px`` or less, at which ``text`` fits on one line of the width."""
    if surely_fits(text, size_px, width_px):
        return size_px
    return size_px * min(1.0, max(1.0, width_px) / max(1.0, width_of(text, size_px, bold)))
