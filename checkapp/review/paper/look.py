"""Measures and words that the parts of the paper share, in mm."""

from typing import Final

from checkapp.page.bands import Band, kept, lines_of, space
from checkapp.page.pen import Pen
from checkapp.rig.model import Input, Line
from checkapp.tongue import shown_word, tr

WIDTH: Final = 186.0
TITLE_MM, BODY_MM, NOTE_MM = 6.0, 3.0, 2.5


def title(pen: Pen, text: str, below: str = "") -> list[Band]:
    """The title of a sheet, and what is said in smaller type below it; kept with what follows."""
    bands = [*lines_of(pen, text, WIDTH, TITLE_MM, bold=True, lines=2), *lines_of(pen, below, WIDTH, 4.0, lines=2)]
    return kept([*bands, space(2.0)])


def level_cells(line: Line) -> tuple[str, str]:
    """What a line carries, and whether it needs phantom power."""
    if isinstance(line, Input):
        return shown_word(line.level), tr("yes") if line.phantom else ""
    return tr("output"), ""


def heading(pen: Pen, text: str) -> list[Band]:
    """The heading of a part of a sheet, kept with what follows."""
    return [space(5.0), *kept(lines_of(pen, text, WIDTH, 3.8, bold=True, lines=1)), Band(0.8, keep=True)]
