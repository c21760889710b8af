"""Where everything stands on one label: pure geometry in millimetres, whatever it is drawn with."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from checkapp.page import fonts
from checkapp.page.fonts import Face
from checkapp.rig.errors import CheckappError
from checkapp.tags.label import Label
from checkapp.tags.qr import QUIET_MODULES, Symbol, least_side_mm, module_dots, symbol
from checkapp.tags.stock import Stock

LEAST_EDGE_MM = 1.0
"""Kept white along a label's edge, for printers and knives that are a little off."""
LEAST_TYPE_MM = 1.7
"""Size of the smallest type; what is still too long is cut."""
_QR_SHARE = 0.4
"""Width of the QR with its quiet zone, at most, in parts of the label's."""
_WORDS_SHARE = 0.62
"""Height of all lines below the code, at most, in parts of the room for words."""
_TAG_SHARE, _NAME_SHARE, _PLACE_SHARE, _WHAT_SHARE = 0.105, 0.15, 0.135, 0.105
"""Sizes of those lines, likewise."""
_GAP_SHARE = 0.03
"""White between the code and the lines, likewise."""
_LINE = 1.2
"""From one line to the next, in parts of the size."""
_BROKEN = 0.8
"""A text that would have to be smaller than this part of its size is broken into two such lines."""


class LabelTooSmall(CheckappError):
    """A label on which the QR would be too small to be read; the message names the size that would do."""


@dataclass(frozen=True, slots=True)
class Words:
    """A line of type: its left end and baseline in mm from the label's left and top edge."""

    text: str
    face: Face
    size_mm: float
    left_mm: float
    base_mm: float


@dataclass(frozen=True, slots=True)
class Layout:
    """One label ready to be drawn; the QR's left and top edge are those of its dark modules."""

    symbol: Symbol
    module_mm: float
    qr_left_mm: float
    qr_top_mm: float
    words: tuple[Words, ...]


def layout(label: Label, stock: Stock) -> Layout:
    """Lay out a label: QR flush right, the code as large as fits, the words below it.

    `LabelTooSmall`: the label has no room for its QR.
    """
    edge_mm = max(LEAST_EDGE_MM, 0.3 * stock.corner_mm)
    code = symbol(label.text)
    room_mm = min(stock.height_mm - 2 * edge_mm, stock.width_mm * _QR_SHARE)
    dots = module_dots(code, room_mm, stock.dot_mm)
    if dots is None:
        raise _too_small(code, stock, edge_mm)
    module_mm = dots * stock.dot_mm
    side_mm = code.side_with_quiet * module_mm
    quiet_mm = QUIET_MODULES * module_mm
    left_mm = stock.width_mm - edge_mm - side_mm
    top_mm = (stock.height_mm - side_mm) / 2
    inset_mm = 1.5 * edge_mm
    box = _Box(inset_mm, inset_mm, left_mm - inset_mm, stock.height_mm - 2 * inset_mm)
    words = tuple(_words(label, box))
    return Layout(code, module_mm, left_mm + quiet_mm, top_mm + quiet_mm, words)


def _too_small(code: Symbol, stock: Stock, edge_mm: float) -> LabelTooSmall:
    side_mm = least_side_mm(code, stock.dot_mm)
    least_width_mm = math.ceil(10 * side_mm / _QR_SHARE) / 10
    least_height_mm = math.ceil(10 * (side_mm + 2 * edge_mm)) / 10
    return LabelTooSmall(
        f"{code.text}: a label of {stock.width_mm:g} x {stock.height_mm:g} mm has no room for its QR; "
        f"choose one of at least {least_width_mm:g} x {least_height_mm:g} mm"
    )


@dataclass(frozen=True, slots=True)
class _Box:
    """The room for words: left and top edge, width and height in mm."""

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float

    def size_mm(self, text: str, face: Face, most_mm: float) -> float:
        """The largest size, up to ``most_mm``, at which the text is no wider than the box."""
        return min(most_mm, self.width_mm / max(fonts.width(text, face), 1e-9))

    def line(self, text: str, face: Face, size_mm: float, base_mm: float) -> Words:
        """A line on that base, cut where it is too long."""
        room = self.width_mm / size_mm * (1 + 1e-9)
        return Words(fonts.cut(text, face, room), face, size_mm, self.left_mm, base_mm)


@dataclass(frozen=True, slots=True)
class _Row:
    """A line of type whose place is not yet known."""

    text: str
    face: Face
    size_mm: float

    @property
    def height_mm(self) -> float:
        return _LINE * self.size_mm


def _words(label: Label, box: _Box) -> Iterator[Words]:
    """The code, the whole tag, then what it is for, where it goes and what it is."""
    rows = _rows(label, box)
    bottom_mm = box.top_mm + box.height_mm
    top_mm = bottom_mm - sum(row.height_mm for row in rows)
    yield _code(label, box, top_mm - box.top_mm - _GAP_SHARE * box.height_mm)
    base_mm = top_mm
    for row in rows:
        base_mm += row.height_mm
        yield box.line(row.text, row.face, row.size_mm, base_mm - (_LINE - 1) * row.size_mm)


def _code(label: Label, box: _Box, height_mm: float) -> Words:
    """The code as large as fits, midway in the height that is left for it."""
    face = fonts.code_face()
    size_mm = box.size_mm(label.large, face, height_mm / face.cap_height)
    base_mm = box.top_mm + (height_mm + size_mm * face.cap_height) / 2
    return box.line(label.large, face, size_mm, base_mm)


def _rows(label: Label, box: _Box) -> list[_Row]:
    """The lines below the code; on a small label the last are left out."""
    texts = (
        (label.text, fonts.code_face(), _TAG_SHARE),
        (label.name, fonts.bold_face(), _NAME_SHARE),
        (label.place, fonts.plain_face(), _PLACE_SHARE),
        (label.what, fonts.plain_face(), _WHAT_SHARE),
    )
    rows = [row for text, face, share in texts if text for row in _broken(text, face, share * box.height_mm, box)]
    room_mm = _WORDS_SHARE * box.height_mm
    shrink = min(1.0, room_mm / sum(row.height_mm for row in rows))
    rows = [_Row(row.text, row.face, max(LEAST_TYPE_MM, shrink * row.size_mm)) for row in rows]
    while len(rows) > 1 and sum(row.height_mm for row in rows) > room_mm * (1 + 1e-9):
        rows.pop()
    return rows


def _broken(text: str, face: Face, size_mm: float, box: _Box) -> Iterator[_Row]:
    """The text on one line, or on two where that allows larger type."""
    whole_mm = box.size_mm(text, face, size_mm)
    blanks = [at for at, character in enumerate(text) if character == " "]
    breaks = [(text[:at], text[at + 1 :]) for at in blanks]
    sizes_mm = [min(box.size_mm(half, face, _BROKEN * size_mm) for half in pair) for pair in breaks]
    best_mm = max(sizes_mm, default=0.0)
    if whole_mm >= _BROKEN * size_mm or best_mm <= whole_mm:
        yield _Row(text, face, whole_mm)
        return
    good = [pair for pair, size in zip(breaks, sizes_mm, strict=True) if size >= 0.9 * best_mm]
    first, second = next((pair for pair in good if pair[0][-1:] in ",;"), good[-1])
    broken_mm = min(box.size_mm(half, face, _BROKEN * size_mm) for half in (first, second))
    yield _Row(first, face, broken_mm)
    yield _Row(second, face, broken_mm)
