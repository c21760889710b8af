"""One upright face of a label: the QR to one side, the code as large as fits, the words below it. Geometry in mm."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from checkapp.page import fonts
from checkapp.page.fonts import Face
from checkapp.rig.errors import CheckappError
from checkapp.tags.label import Label
from checkapp.tags.lasting import Weight
from checkapp.tags.qr import QUIET_MODULES, Symbol

LEAST_EDGE_MM = 1.0
"""Kept white along a label's edge, for printers and knives that are a little off."""
LEAST_TYPE_MM = 1.7
"""Size of the smallest type; what is still too long is cut."""
QR_SHARE = 0.4
"""Width of the QR with its quiet zone, at most, in parts of the face's."""
_WORDS_SHARE = 0.66
"""Height of all lines below the code, at most, in parts of the room for words."""
_GAP_SHARE = 0.03
"""White between the code and those lines, likewise."""
_LINE = 1.2
"""From one line to the next, in parts of the size."""
_BROKEN = 0.8
"""A text that would have to be smaller than this part of its size is broken into two such lines."""
_HALVINGS = 8
_TOLERANCE_MM = 1e-9


class LabelTooSmall(CheckappError):
    """Labels that have no room for their QR, or do not go round their cable; the message names the size that would do.

    ``tags`` are the tags of those labels, ``least_mm`` the width and height that all of them need.
    """

    def __init__(self, tags: Sequence[str], what: str, why: str, least_mm: tuple[float, float]) -> None:
        self.tags, self.what, self.why = tuple(tags), what, why
        self.least_mm = least_mm
        more = f" and {len(tags) - 1} more" if len(tags) > 1 else ""
        width_mm, height_mm = (math.ceil(10 * size_mm - _TOLERANCE_MM) / 10 for size_mm in least_mm)
        super().__init__(f"{tags[0]}{more}: {what} {why}; choose one of at least {width_mm:g} x {height_mm:g} mm")


def too_small(refused: Sequence[LabelTooSmall]) -> LabelTooSmall:
    """Several such errors as one: the first one's words, the size that all of them need."""
    tags = [tag for one in refused for tag in one.tags]
    width_mm, height_mm = (max(one.least_mm[side] for one in refused) for side in (0, 1))
    return LabelTooSmall(tags, refused[0].what, refused[0].why, (width_mm, height_mm))


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


def words_in(label: Label, room: Room) -> tuple[tuple[Words, ...], bool]:
    """The code, the whole tag and what is said below it; and whether all of it could be set."""
    wanted = [_broken(label.text, _TAG, room)] + [_broken(said.text, _TYPES[said.weight], room) for said in label.said]
    rows = [row for rows in _fitted(wanted, _WORDS_SHARE * room.height_mm) for row in rows]
    found = tuple(_set(label, rows, room))
    texts = [label.large, *(row.text for rows in wanted for row in rows)]
    return found, texts == [words.text for words in found]


@dataclass(frozen=True, slots=True)
class _Type:
    """How a line is set: its size in parts of the room's height, the smallest in mm, where it may be broken."""

    face: Callable[[], Face]
    share: float
    least_mm: float
    breaks: str = " "


_TAG = _Type(fonts.code_face, 0.105, LEAST_TYPE_MM, ".")
_TYPES: dict[Weight, _Type] = {
    "strong": _Type(fonts.bold_face, 0.15, 2.3),
    "plain": _Type(fonts.plain_face, 0.135, 1.9),
    "small": _Type(fonts.plain_face, 0.105, LEAST_TYPE_MM),
}


@dataclass(frozen=True, slots=True)
class _Row:
    """A line of type whose place is not yet known."""

    text: str
    type: _Type
    size_mm: float

    @property
    def height_mm(self) -> float:
        return _LINE * self.size_mm

    def smaller(self, shrink: float) -> "_Row":
        """The same in smaller type, but not smaller than can be read."""
        return replace(self, size_mm=max(self.type.least_mm, shrink * self.size_mm))


Broken = list[_Row]
"""A text on one line or two."""


def _fitted(wanted: list[Broken], most_mm: float) -> list[Broken]:
    """As many of the texts as fit that height.

    First in smaller type; then small texts on one line each, the last without a line; then the other
    texts on one line each; at last only as many as there is room for. The first is always there.
    """
    found = _shrunk(wanted, most_mm)
    small = [place for place, rows in enumerate(found) if place and rows[0].type is _TYPES["small"]]
    _join(found, small, most_mm)
    if len(found) > 1 and _height_mm(found) > most_mm:
        found.pop()
    _join(found, range(1, len(found)), most_mm)
    while len(found) > 1 and _height_mm(found) > most_mm:
        found.pop()
    return found


def _shrunk(wanted: list[Broken], most_mm: float) -> list[Broken]:
    """All texts in type so much smaller that they fit, or as small as can be read."""
    if _height_mm(wanted) <= most_mm:
        return [list(rows) for rows in wanted]
    fits, low, high = _smaller(wanted, 0.0), 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        tried = _smaller(wanted, middle)
        if _height_mm(tried) <= most_mm:
            fits, low = tried, middle
        else:
            high = middle
    return fits


def _smaller(texts: list[Broken], shrink: float) -> list[Broken]:
    return [[row.smaller(shrink) for row in rows] for rows in texts]


def _join(texts: list[Broken], places: Sequence[int], most_mm: float) -> None:
    """Put broken texts on one line again, the last first, until all fit that height."""
    for place in reversed(places):
        rows = texts[place]
        if len(rows) > 1 and _height_mm(texts) > most_mm:
            whole = " ".join(row.text for row in rows)
            texts[place] = [replace(rows[0], text=whole, size_mm=rows[0].type.least_mm)]


def _height_mm(texts: list[Broken]) -> float:
    return sum(row.height_mm for rows in texts for row in rows) - _TOLERANCE_MM


def _set(label: Label, rows: list[_Row], room: Room) -> Iterator[Words]:
    """The code midway in the height that the lines leave, the lines at the foot."""
    top_mm = room.top_mm + room.height_mm - sum(row.height_mm for row in rows)
    yield _code(label, room, top_mm - room.top_mm - _GAP_SHARE * room.height_mm)
    base_mm = top_mm
    for row in rows:
        base_mm += row.height_mm
        yield room.line(row.text, row.type.face(), row.size_mm, base_mm - (_LINE - 1) * row.size_mm)


def _code(label: Label, room: Room, height_mm: float) -> Words:
    face = fonts.code_face()
    size_mm = room.size_mm(label.large, face, height_mm / face.cap_height)
    base_mm = room.top_mm + (height_mm + size_mm * face.cap_height) / 2
    return room.line(label.large, face, size_mm, base_mm)


def face_of(weight: Weight) -> Face:
    """The face of a line of that weight."""
    return _TYPES[weight].face()


def _broken(text: str, type_: _Type, room: Room) -> Broken:
    """The text on one line, or on two where that allows larger type."""
    size_mm, face = type_.share * room.height_mm, type_.face()
    whole_mm = room.size_mm(text, face, size_mm)
    if whole_mm >= max(_BROKEN * size_mm, type_.least_mm):
        return [_Row(text, type_, whole_mm)]
    ends = [at + 1 for at, character in enumerate(text[:-1]) if character in type_.breaks]
    halves = [(text[:end].rstrip(), text[end:]) for end in ends]
    sizes_mm = [min(room.size_mm(half, face, _BROKEN * size_mm) for half in pair) for pair in halves]
    best_mm = max(sizes_mm, default=0.0)
    if best_mm <= whole_mm:
        return [_Row(text, type_, whole_mm)]
    good = [pair for pair, size in zip(halves, sizes_mm, strict=True) if size >= 0.9 * best_mm]
    pair = next((pair for pair in good if pair[0][-1:] in ",;:"), good[-1])
    broken_mm = min(room.size_mm(half, face, _BROKEN * size_mm) for half in pair)
    return [_Row(half, type_, broken_mm) for half in pair]
