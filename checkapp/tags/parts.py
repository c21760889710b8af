"""What a label is drawn of, whatever draws it: lines of type and QR codes, in mm from its left and top edge."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from checkapp.page import fonts
from checkapp.page.fonts import Face
from checkapp.rig.errors import CheckappError
from checkapp.tags.qr import QUIET_MODULES, Symbol
from checkapp.tongue import tr
from checkapp.tongue.numbers import with_sign

LEAST_EDGE_MM = 1.0
"""Kept white along a label's edge, for printers and knives that are a little off."""
_TOLERANCE_MM = 1e-9


class LabelTooSmall(CheckappError):
    """Labels that have no room for their QR, or do not go round their cable; the message names the size that would do.

    ``tags`` are the tags of those labels, ``least_mm`` the width and height that all of them need.
    """

    def __init__(self, tags: Sequence[str], why: str, least_mm: tuple[float, float]) -> None:
        self.tags, self.why, self.least_mm = tuple(tags), why, least_mm
        named = tr("{names} and {count} more", names=tags[0], count=len(tags) - 1) if len(tags) > 1 else tags[0]
        least = size_words(*(math.ceil(10 * size_mm - _TOLERANCE_MM) / 10 for size_mm in least_mm))
        super().__init__(tr("{label}: {why}; choose one of at least {size} mm", label=named, why=why, size=least))


def size_words(width_mm: float, height_mm: float) -> str:
    """``118 x 25``: width and height in mm, without the unit."""
    return with_sign(f"{width_mm:g} x {height_mm:g}")


def too_small(refused: Sequence[LabelTooSmall]) -> LabelTooSmall:
    """Several such errors as one: the first one's words, the size that all of them need."""
    tags = [tag for one in refused for tag in one.tags]
    width_mm, height_mm = (max(one.least_mm[side] for one in refused) for side in (0, 1))
    return LabelTooSmall(tags, refused[0].why, (width_mm, height_mm))


@dataclass(frozen=True, slots=True)
class Words:
    """A line of type: its left end and baseline in mm from the label's left and top edge.

    A ``turned`` one stands on its head and runs to the left from there.
    """

    text: str
    face: Face
    size_mm: float
    left_mm: float
    base_mm: float
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Code:
    """A QR symbol: the left and top edge of its dark modules in mm from the label's; ``dots`` a module's side."""

    symbol: Symbol
    dots: int
    module_mm: float
    left_mm: float
    top_mm: float

    @property
    def side_mm(self) -> float:
        """The side without the quiet zone."""
        return self.symbol.side * self.module_mm

    @property
    def quiet_mm(self) -> float:
        """The white that belongs to it on each side."""
        return QUIET_MODULES * self.module_mm


@dataclass(frozen=True, slots=True)
class Layout:
    """One label ready to be drawn. ``whole`` is False when words had to be cut or left out."""

    codes: tuple[Code, ...]
    words: tuple[Words, ...]
    whole: bool = True


@dataclass(frozen=True, slots=True)
class Room:
    """A part of a label: left and top edge, width and height in mm."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float

    def size_mm(self, text: str, face: Face, most_mm: float) -> float:
        """The largest size, up to ``most_mm``, at which the text is no wider than the room."""
        return min(most_mm, self.width_mm / max(fonts.width(text, face), 1e-9))

    def line(self, text: str, face: Face, size_mm: float, base_mm: float) -> Words:
        """A line on that base, cut where it is too long."""
        room = self.width_mm / size_mm * (1 + 1e-9)
        return Words(fonts.cut(text, face, room), face, size_mm, self.left_mm, base_mm)
