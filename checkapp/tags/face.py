"""One upright face of a label: the code as large as fits, the QR to one side, the words beside it. Geometry in mm."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from checkapp.page import fonts
from checkapp.tags.fit import LEAST_TYPE_MM, LINE, TAG, TYPES, Broken, Text, fitted
from checkapp.tags.label import Label
from checkapp.tags.parts import LEAST_EDGE_MM, Code, Layout, Room, Words
from checkapp.tags.qr import Symbol, least_side_mm, module_dots
from checkapp.tags.stock import Stock

_QR_SHARE = 0.4
"""Width of the QR with its quiet zone, at most, in parts of the face's."""
_WORDS_SHARE = 0.66
"""Height of all lines below the code, at most, in parts of the room for words."""
_WITH_ALL_SHARE = 0.74
"""Likewise, where that is enough for what is printed only if there is room."""
_GAP_SHARE = 0.03
"""White between the code and those lines, likewise."""
_BESIDE_QR_MM = 0.4
"""Between the words and the QR's quiet zone, so that no letter's edge is rounded into it."""
_LEAST_WORDS_MM = 5.0
"""Width and height of the room for words, at least."""
_INSET = 1.5
"""White round the words, in parts of that round the QR."""
_TOLERANCE_MM = 1e-9
_SQUARE = 1.5
"""A face that is less wide than so many times its height has the code above all else, on its whole width."""
_CODE_ABOVE_SHARE, _TAG_ABOVE_SHARE, _GAP_ABOVE_SHARE = 0.28, 0.085, 0.03
"""There: height of the code, at most, size of the whole tag and white below it, in parts of the face's height."""
_QR_BELOW_SHARE = 0.45
"""There: width of the QR with its quiet zone, at most, in parts of the face's."""
Side = Literal["left", "right"]


def face(label: Label, code: Symbol, room: Room, side: Side, stock: Stock) -> Layout | None:
    """A label's face in that room, its QR flush to that side; None when the room is too small for the QR."""
    edge_mm = edge_of(stock)
    most_mm = min(room.height_mm - 2 * edge_mm, room.width_mm * _QR_SHARE)
    dots = module_dots(code, most_mm, stock.dot_mm)
    least_mm = _least_for_words_mm(label, stock)
    if dots is None or room.width_mm < least_mm[0] - _TOLERANCE_MM or room.height_mm < least_mm[1] - _TOLERANCE_MM:
        return None
    above = _code_above(label, code, room, side, stock) if room.width_mm < _SQUARE * room.height_mm else None
    return above or _code_beside(label, _code(code, dots, stock), room, edge_mm, side)


def least_face_mm(label: Label, code: Symbol, stock: Stock) -> tuple[float, float]:
    """Width and height of the smallest face that has room for the QR and the code in letters."""
    side_mm = least_side_mm(code, stock.dot_mm)
    least_mm = _least_for_words_mm(label, stock)
    return max(side_mm / _QR_SHARE, least_mm[0]), max(side_mm + 2 * edge_of(stock), least_mm[1])


def _least_for_words_mm(label: Label, stock: Stock) -> tuple[float, float]:
    """Width and height of the smallest face on which the code in letters can be read beside the QR."""
    edge_mm = edge_of(stock)
    code_mm = max(_LEAST_WORDS_MM, LEAST_TYPE_MM * fonts.width(label.large, fonts.code_face()))
    width_mm = (code_mm + (1 + _INSET) * edge_mm + _BESIDE_QR_MM) / (1 - _QR_SHARE)
    return width_mm, _LEAST_WORDS_MM + 2 * _INSET * edge_mm


def edge_of(stock: Stock) -> float:
    """What is kept white along a label's edge, in mm; more where its corners are round."""
    return max(LEAST_EDGE_MM, 0.3 * stock.corner_mm)


def _code(code: Symbol, dots: int, stock: Stock) -> Code:
    """A QR whose place is not yet known."""
    return Code(code, dots, dots * stock.dot_mm, 0.0, 0.0)


def _at(code: Code, left_mm: float, top_mm: float) -> Code:
    """A QR with its quiet zone's corner there."""
    return replace(code, left_mm=left_mm + code.quiet_mm, top_mm=top_mm + code.quiet_mm)


def _code_beside(label: Label, code: Code, room: Room, edge_mm: float, side: Side) -> Layout:
    """The QR midway at one side, the code and the words at the other."""
    qr_mm = code.side_mm + 2 * code.quiet_mm
    inset_mm = _INSET * edge_mm
    qr_left_mm = edge_mm if side == "left" else room.width_mm - edge_mm - qr_mm
    left_mm = edge_mm + qr_mm + _BESIDE_QR_MM if side == "left" else inset_mm
    width_mm, height_mm = room.width_mm - edge_mm - qr_mm - _BESIDE_QR_MM - inset_mm, room.height_mm - 2 * inset_mm
    words, whole = _code_and_words(label, Room(room.left_mm + left_mm, room.top_mm + inset_mm, width_mm, height_mm))
    top_mm = room.top_mm + (room.height_mm - qr_mm) / 2
    return Layout((_at(code, room.left_mm + qr_left_mm, top_mm),), words, whole)


def _code_and_words(label: Label, room: Room) -> tuple[tuple[Words, ...], bool]:
    """The words at the room's foot, the code as large as fits midway above them; whether all words fit."""
    texts = _texts(label, room)
    gap_mm = _GAP_SHARE * room.height_mm
    type_ = fonts.code_face()
    code_mm = room.size_mm(label.large, type_, room.height_mm)
    free_mm = room.height_mm - gap_mm - code_mm * type_.cap_height
    found = fitted(texts, _WORDS_SHARE * room.height_mm, free_mm, code_mm)
    if any(text.if_room for text in texts) and len(found) < len(texts):
        more = fitted(texts, _WITH_ALL_SHARE * room.height_mm, free_mm, code_mm)
        found = more if len(more) == len(texts) else found
    words = tuple(_at_foot(found, room))
    free_mm = room.height_mm - gap_mm - sum(row.height_mm for rows in found for row in rows)
    size_mm = room.size_mm(label.large, type_, free_mm / type_.cap_height)
    large = room.line(label.large, type_, size_mm, room.top_mm + (free_mm + size_mm * type_.cap_height) / 2)
    return (large, *words), _whole(texts, found, words)


def _code_above(label: Label, code: Symbol, room: Room, side: Side, stock: Stock) -> Layout | None:
    """The code and the whole tag on the whole width, the QR below at one side; None when that would be too small."""
    edge_mm = edge_of(stock)
    inset_mm = _INSET * edge_mm
    inner = Room(room.left_mm + inset_mm, room.top_mm + inset_mm, room.width_mm - 2 * inset_mm, room.height_mm)
    heads = tuple(_heads(label, inner))
    top_mm = heads[-1].base_mm + _GAP_ABOVE_SHARE * room.height_mm
    below_mm = room.top_mm + room.height_mm - edge_mm - top_mm
    dots = module_dots(code, min(below_mm, _QR_BELOW_SHARE * room.width_mm), stock.dot_mm)
    if dots is None:
        return None
    drawn = _code(code, dots, stock)
    qr_mm = drawn.side_mm + 2 * drawn.quiet_mm
    qr_left_mm = edge_mm if side == "left" else room.width_mm - edge_mm - qr_mm
    left_mm = edge_mm + qr_mm + _BESIDE_QR_MM if side == "left" else inset_mm
    words_mm = room.width_mm - edge_mm - qr_mm - _BESIDE_QR_MM - inset_mm
    if words_mm < _LEAST_WORDS_MM:
        return None
    beside = Room(room.left_mm + left_mm, top_mm, words_mm, below_mm - inset_mm + edge_mm)
    texts = _texts(label, beside)[1:]
    found = fitted(texts, beside.height_mm, beside.height_mm, heads[0].size_mm)
    words = tuple(_at_foot(found, beside))
    placed = _at(drawn, room.left_mm + qr_left_mm, room.top_mm + room.height_mm - edge_mm - qr_mm)
    return Layout((placed,), (*heads, *words), heads[-1].text == label.text and _whole(texts, found, words))


def _heads(label: Label, room: Room) -> Iterator[Words]:
    """The code at the room's top and the whole tag below it."""
    type_ = fonts.code_face()
    size_mm = room.size_mm(label.large, type_, _CODE_ABOVE_SHARE * room.height_mm / type_.cap_height)
    large = room.line(label.large, type_, size_mm, room.top_mm + size_mm * type_.cap_height)
    yield large
    tag_mm = room.size_mm(label.text, type_, max(TAG.least_mm, _TAG_ABOVE_SHARE * room.height_mm))
    yield room.line(label.text, type_, tag_mm, large.base_mm + LINE * tag_mm)


def _texts(label: Label, room: Room) -> list[Text]:
    """The whole tag and what is said below it."""
    size_mm = room.width_mm, room.height_mm
    said = (Text(one.text, TYPES[one.weight], size_mm, exact=one.exact, if_room=one.if_room) for one in label.said)
    return [Text(label.text, TAG, size_mm), *said]


def _at_foot(found: Sequence[Broken], room: Room) -> Iterator[Words]:
    """The lines one below the other, the last at the room's foot."""
    rows = [row for broken in found for row in broken]
    base_mm = room.top_mm + room.height_mm - sum(row.height_mm for row in rows)
    for row in rows:
        base_mm += row.height_mm
        yield room.line(row.text, row.type.face(), row.size_mm, base_mm - (LINE - 1) * row.size_mm)


def _whole(texts: Sequence[Text], found: Sequence[Broken], words: Sequence[Words]) -> bool:
    """Whether no text was left out or cut, those aside that are there only if there is room."""
    wanted = texts if len(found) == len(texts) else [text for text in texts if not text.if_room]
    uncut = [row.text for rows in found for row in rows] == [one.text for one in words]
    return uncut and len(found) == len(wanted) and all(map(Text.is_whole, wanted, found))
