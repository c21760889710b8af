"""How figures are to look on this screen now: its colours, its density, as wide as it is."""

from math import floor
from typing import Final

from checkapp.show.history_pictures import Look
from checkapp.touch.colours import COLOURS
from checkapp.touch.theme import theme

_TYPE_MM: Final = 8.0 * 25.4 / 72
"""Size of type in figures in mm: 8 points."""
_LEAST_MM: Final = 80.0
"""A figure less wide than this has no room; its type is less high instead."""


def look_now(width_px: float) -> Look:
    """The look of figures on a screen ``width_px`` wide: type as high as notes are, less only on a telephone."""
    colours = COLOURS[theme.name]
    room = max(1.0, floor(width_px - 2 * theme.unit))  # a figure has whole pixels
    per_mm = min(theme.note_px / _TYPE_MM, room / _LEAST_MM)
    return Look(
        ground=colours["ground"],
        text=colours["text"],
        quiet=colours["quiet"],
        faulty=colours["faulty"],
        width_mm=room / per_mm,
        per_mm=per_mm,
    )
