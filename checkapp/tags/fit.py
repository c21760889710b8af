"""Lines of type in a given room: as large as they should be; where they must, smaller, broken in two, or left out."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import pairwise

from checkapp.page import fonts
from checkapp.page.fonts import Face
from checkapp.page.text import ELLIPSIS
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
_RANGE = re.compile(r"\b(?:in|out) \d+(?: [^\W\d]+ \d+)?")
"""What is not broken at the end of a line: a port, or a range in whatever language."""
_PART = re.compile(r"(?<=[,;]) ")
"""Where an exact text may be cut."""
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
"""A text on one line or two; on none when it is exact and no part of it fits."""


class Text:
    """A text to be set in a room of that width and height; ``exact`` and ``if_room`` as in `Said`."""

    def __init__(
        self, text: str, type_: Type, room_mm: tuple[float, float], *, exact: bool = False, if_room: bool = False
    ) -> None:
        self.text, self.type = text, type_
        self.exact, self.if_room = exact, if_room
        self._width_mm = room_mm[0]
        self._size_mm = type_.share * room_mm[1]
        self._whole_mm = self._width_mm / max(fonts.width(text, type_.face()), 1e-9)

    def rows(self, scale: float) -> Broken:
        """The text at so many times the size it should have: on one line, or on two where that allows larger type."""
        least_mm = self._least_mm
        size_mm = max(least_mm, scale * self._size_mm)
        whole_mm = min(size_mm, self._whole_mm)
        if whole_mm < max(_BROKEN * size_mm, least_mm) and self._halves:
            first, second, most_mm = self._halves
            broken_mm = min(max(least_mm, _BROKEN * size_mm), most_mm)
            if broken_mm > whole_mm:
                return self._set([first, second], max(least_mm, broken_mm))
        return self._set([self.text], max(least_mm, whole_mm))

    def on_one_line(self) -> Broken:
        """The text on one line, however long."""
        return self._set([self.text], max(min(self.type.least_mm, self._whole_mm), self._least_mm))

    def is_whole(self, found: Broken) -> bool:
        """Whether nothing of it was cut."""
        return "".join("".join(row.text.split()) for row in found) == "".join(self.text.split())

    @cached_property
    def _least_mm(self) -> float:
        """The smallest type: an exact text that would have to be cut goes down to what can just be read."""
        if not self.exact or max(self._whole_mm, self._halves[2] if self._halves else 0.0) >= self.type.least_mm:
            return self.type.least_mm
        return LEAST_TYPE_MM

    def _set(self, lines: list[str], size_mm: float) -> Broken:
        """Those lines; an exact one that is too long ends after a whole part of it, and nothing follows."""
        most, width_of = self._width_mm / size_mm * (1 + _TOLERANCE_MM), partial(fonts.width, face=self.type.face())
        shown: list[str] = []
        for line in lines:
            shown.append(_cut(line, most, width_of) if self.exact else line)
            if shown[-1] != line:
                break
        if not shown[-1]:  # what stands above it is no whole part
            shown = exact_lines(self.text, most, width_of, 1)
        return [Row(line, self.type, size_mm) for line in shown]

    @cached_property
    def _halves(self) -> tuple[str, str, float] | None:
        """The best way to break it, and the size at which the longer half fills the width; None where there is none."""
        text, face = self.text, self.type.face()
        kept = {at for found in _RANGE.finditer(text) for at in range(found.start(), found.end())} if self.exact else ()
        ends = [at + 1 for at, character in enumerate(text[:-1]) if character in self.type.breaks and at not in kept]
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
    First in smaller type; then without those that are there only if there is room; then small texts on
    one line each, the last without a line; then the other texts on one line each, what is exact last of
    all; at last only as many as there is room for. The first is always there.
    """
    found = _at(texts, 1.0)
    if _height_mm(found) <= most_mm:
        strongest_mm = max((row.size_mm for rows in found for row in rows), default=code_mm)
        return _largest(texts, 1.0, max(1.0, min(_GROWTH, _OF_CODE * code_mm / strongest_mm)), free_mm)
    found = _at(texts, 0.0)
    if _height_mm(found) <= most_mm:
        return _largest(texts, 0.0, 1.0, most_mm)
    if any(text.if_room for text in texts):
        return fitted([text for text in texts if not text.if_room], most_mm, free_mm, code_mm)
    _shorten(texts, found, most_mm)
    return found


def _shorten(texts: Sequence[Text], found: list[Broken], most_mm: float) -> None:
    """Join broken texts and leave texts out until they fit."""
    free = [place for place, text in enumerate(texts) if place and not text.exact]
    _join(texts, found, [place for place in free if texts[place].type is TYPES["small"]], most_mm)
    if len(found) > 1 and _height_mm(found) > most_mm:
        found.pop()
    _join(texts, found, [place for place in free if place < len(found)], most_mm)
    while len(found) > 1 and _height_mm(found) > most_mm:
        if len(found[-1]) > 1:
            found[-1] = texts[len(found) - 1].on_one_line()
        else:
            found.pop()


def _cut(line: str, most: float, width_of: Callable[[str], float]) -> str:
    """As many whole parts of a line as are no wider than ``most``; empty when none is."""
    parts = _PART.split(line)
    shorter = (" ".join([*parts[:count], ELLIPSIS]) for count in range(len(parts) - 1, 0, -1))
    return next((text for text in (line, *shorter) if width_of(text) <= most), "")


def exact_lines(text: str, most: float, width_of: Callable[[str], float], lines: int) -> list[str]:
    """An exact text on at most so many lines of at most ``most``, broken in no range; cut after a whole part of it.

    Empty when not even its first part fits.
    """
    parts = _PART.split(text)
    for count in range(len(parts), 0, -1):
        found = _broken(" ".join(parts[:count] if count == len(parts) else [*parts[:count], ELLIPSIS]), most, width_of)
        if len(found) <= lines and all(width_of(line) <= most for line in found):
            return found
    return []


def _broken(text: str, most: float, width_of: Callable[[str], float]) -> list[str]:
    """A text on lines of at most ``most``, but for longer words; a port or range counts as one word."""
    found: list[str] = []
    start = 0
    inside = {at for one in _RANGE.finditer(text) for at in range(one.start(), one.end())}
    ends = [at for at, character in enumerate(text) if character == " " and at not in inside]
    for end, after in pairwise([*ends, len(text)]) if ends else ():
        if width_of(text[start:after]) > most:
            found.append(text[start:end])
            start = end + 1
    return [*found, text[start:]]


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
