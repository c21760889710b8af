"""Lines of type in a given room: as large as they should be; where they must, smaller, broken in two, or left out."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from checkapp.page import fonts
from checkapp.page.fonts import Face
from checkapp.tags.lasting import Weight

LEAST_TYPE_MM = 1.7
"""Size of the smallest type; what is still too long is cut."""
LINE = 1.2
"""From one line to the next, in parts of the size."""
_BROKEN = 0.8
"""A text that would have to be smaller than this part of its size is broken into two such lines."""
_NEARLY = 0.9
"""Of the places to break a text, those that allow type nearly as large as the best."""
_GROWTH = 1.6
"""How much larger than it should be type may grow where there is room."""
_OF_CODE = 0.6
"""The strongest line, at most, in parts of the code's size, when it grows."""
_HALVINGS = 8
_TOLERANCE_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Type:
    """How a line is set: its size in parts of the room's height, the smallest in mm, where it may be broken."""

    face: Callable[[], Face]
    share: float
    least_mm: float
    breaks: str = " "


TAG = Type(fonts.code_face, 0.105, LEAST_TYPE_MM, ".")
TYPES: dict[Weight, Type] = {
    "strong": Type(fonts.bold_face, 0.15, 2.3),
    "plain": Type(fonts.plain_face, 0.135, 1.9),
    "small": Type(fonts.plain_face, 0.105, LEAST_TYPE_MM),
}


@dataclass(frozen=True, slots=True)
class Row:
    """A line of type whose place is not yet known."""

    text: str
    type: Type
    size_mm: float

    @property
    def height_mm(self) -> float:
        """From the foot of the line above to its own."""
        return LINE * self.size_mm


Broken = list[Row]
"""A text on one line or two."""


class Text:
    """A text to be set in a room of that width and height."""

    def __init__(self, text: str, type_: Type, width_mm: float, height_mm: float) -> None:
        self.text, self.type = text, type_
        self._width_mm = width_mm
        self._size_mm = type_.share * height_mm
        self._whole_mm = width_mm / max(fonts.width(text, type_.face()), 1e-9)

    def rows(self, scale: float) -> Broken:
        """The text at so many times the size it should have: on one line, or on two where that allows larger type."""
        least_mm = self.type.least_mm
        size_mm = max(least_mm, scale * self._size_mm)
        whole_mm = min(size_mm, self._whole_mm)
        if whole_mm < max(_BROKEN * size_mm, least_mm) and self._halves:
            first, second, most_mm = self._halves
            broken_mm = min(max(least_mm, _BROKEN * size_mm), most_mm)
            if broken_mm > whole_mm:
                broken_mm = max(least_mm, broken_mm)
                return [Row(first, self.type, broken_mm), Row(second, self.type, broken_mm)]
        return [Row(self.text, self.type, max(least_mm, whole_mm))]

    def on_one_line(self) -> Broken:
        """The text on one line, however long."""
        return [Row(self.text, self.type, self.type.least_mm)]

    @cached_property
    def _halves(self) -> tuple[str, str, float] | None:
        """The best way to break it, and the size at which the longer half fills the width; None where there is none."""
        text, face = self.text, self.type.face()
        ends = [at + 1 for at, character in enumerate(text[:-1]) if character in self.type.breaks]
        halves = [(text[:end].rstrip(), text[end:]) for end in ends]
        widths = [max(fonts.width(half, face) for half in pair) for pair in halves]
        if not halves:
            return None
        near = [place for place, width in enumerate(widths) if _NEARLY * width <= min(widths)]
        best = min(near, key=lambda place: (halves[place][0][-1:] not in ",;:.", widths[place]))
        return (*halves[best], self._width_mm / widths[best])


def fitted(texts: Sequence[Text], most_mm: float, free_mm: float, code_mm: float) -> list[Broken]:
    """As many of the texts as fit ``most_mm`` one below the other; larger than they should be within ``free_mm``.

    ``code_mm`` is the size of the code, beside which nothing may look large.
    First in smaller type; then small texts on one line each, the last without a line; then the other
    texts on one line each; at last only as many as there is room for. The first is always there.
    """
    found = _at(texts, 1.0)
    if _height_mm(found) <= most_mm:
        strongest_mm = max((row.size_mm for rows in found for row in rows), default=code_mm)
        return _largest(texts, 1.0, max(1.0, min(_GROWTH, _OF_CODE * code_mm / strongest_mm)), free_mm)
    found = _at(texts, 0.0)
    if _height_mm(found) <= most_mm:
        return _largest(texts, 0.0, 1.0, most_mm)
    small = [place for place, text in enumerate(texts) if place and text.type is TYPES["small"]]
    _join(texts, found, small, most_mm)
    if len(found) > 1 and _height_mm(found) > most_mm:
        found.pop()
    _join(texts, found, range(1, len(found)), most_mm)
    while len(found) > 1 and _height_mm(found) > most_mm:
        found.pop()
    return found


def _largest(texts: Sequence[Text], low: float, high: float, most_mm: float) -> list[Broken]:
    """All texts at the largest scale between the two that fits; at the lower one if none does."""
    found = _at(texts, low)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        tried = _at(texts, middle)
        if _height_mm(tried) <= most_mm:
            found, low = tried, middle
        else:
            high = middle
    return found


def _at(texts: Sequence[Text], scale: float) -> list[Broken]:
    return [text.rows(scale) for text in texts]


def _join(texts: Sequence[Text], found: list[Broken], places: Sequence[int], most_mm: float) -> None:
    """Put broken texts on one line again, the last first, until all fit."""
    for place in reversed(places):
        if len(found[place]) > 1 and _height_mm(found) > most_mm:
            found[place] = texts[place].on_one_line()


def _height_mm(texts: list[Broken]) -> float:
    return sum(row.height_mm for rows in texts for row in rows) - _TOLERANCE_MM
