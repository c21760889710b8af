"""Where everything stands on one label, whatever it is drawn with: on sheet and roll, on a flag, on a wrap.

Pure geometry in millimetres from the label's left and top edge.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Literal

from checkapp.rig.errors import CheckappError
from checkapp.tags import wrap
from checkapp.tags.label import Label
from checkapp.tags.panel import (
    LEAST_EDGE_MM,
    QR_SHARE,
    Code,
    LabelTooSmall,
    Layout,
    Room,
    Words,
    too_small,
    words_in,
)
from checkapp.tags.qr import QUIET_MODULES, Symbol, least_side_mm, module_dots, symbol
from checkapp.tags.stock import Stock, jacket_of

NECK_MM = 1.0
"""White on each face of a flag beside the cable: there it is not yet flat, and nobody folds to a hair."""
Side = Literal["left", "right"]
Step = Callable[[], None]
"""Called whenever one more label is laid out or drawn."""


class NothingToPrint(CheckappError):
    """No label was asked for."""


def layout(label: Label, stock: Stock) -> Layout:
    """Lay out a label on a stock.

    `LabelTooSmall`: no room for its QR, or it does not go round its cable. `CableTooThin`: for a wrap.
    """
    if stock.kind == "wrap":
        return wrap.layout(label, stock)
    if stock.kind == "flag":
        return _flag(label, stock)
    code = symbol(label.payload)
    whole = Room(0.0, 0.0, stock.width_mm, stock.height_mm)
    dots = _dots(code, whole, stock)
    if dots is None:
        what = f"a label of {_size(stock)} has no room for"
        raise LabelTooSmall([label.text], what, "the QR", _least_face_mm(code, stock))
    return _face(label, code, dots, whole, "right", stock)


def layouts(labels: Sequence[Label], stock: Stock, step: Step | None = None) -> list[Layout]:
    """Lay out all labels. Errors as `layout`, one for all labels that are too small; `NothingToPrint`."""
    if not labels:
        raise NothingToPrint("no label to print; name at least one item")
    found: list[Layout] = []
    refused: list[LabelTooSmall] = []
    for label in labels:
        try:
            found.append(layout(label, stock))
        except LabelTooSmall as error:
            refused.append(error)
        if step:
            step()
    if refused:
        raise too_small(refused)
    return found


def _size(stock: Stock) -> str:
    return f"{stock.width_mm:g} x {stock.height_mm:g} mm"


def _edge_mm(stock: Stock) -> float:
    return max(LEAST_EDGE_MM, 0.3 * stock.corner_mm)


def _dots(code: Symbol, face: Room, stock: Stock) -> int | None:
    """Dots along a module on a face; None when it has no room for the QR."""
    room_mm = min(face.height_mm - 2 * _edge_mm(stock), face.width_mm * QR_SHARE)
    return module_dots(code, room_mm, stock.dot_mm)


def _least_face_mm(code: Symbol, stock: Stock) -> tuple[float, float]:
    """Width and height of the smallest face that has room for the QR."""
    side_mm = least_side_mm(code, stock.dot_mm)
    return side_mm / QR_SHARE, side_mm + 2 * _edge_mm(stock)


def _face(label: Label, code: Symbol, dots: int, face: Room, side: Side, stock: Stock) -> Layout:
    """One upright face: the QR flush to that side, the words beside it."""
    edge_mm = _edge_mm(stock)
    module_mm = dots * stock.dot_mm
    qr_mm = code.side_with_quiet * module_mm
    quiet_mm = QUIET_MODULES * module_mm
    inset_mm = 1.5 * edge_mm
    qr_left_mm = face.left_mm + (edge_mm if side == "left" else face.width_mm - edge_mm - qr_mm)
    words_left_mm = face.left_mm + (edge_mm + qr_mm if side == "left" else inset_mm)
    words_mm = face.width_mm - edge_mm - qr_mm - inset_mm
    room = Room(words_left_mm, face.top_mm + inset_mm, words_mm, face.height_mm - 2 * inset_mm)
    words, whole = words_in(label, room)
    top_mm = face.top_mm + (face.height_mm - qr_mm) / 2
    return Layout((Code(code, dots, module_mm, qr_left_mm + quiet_mm, top_mm + quiet_mm),), words, whole)


def _flag(label: Label, stock: Stock) -> Layout:
    """Two faces with the strip that goes round the cable between them, across the label's longer side.

    Folded, the faces lie back to back and their outer ends meet. With the faces side by side the fold
    runs up and down and both stand upright as printed; with one above the other the upper one is
    printed on its head and stands upright once it is folded over.
    """
    code = symbol(label.payload)
    strip_mm = math.pi * jacket_of(label.jacket_mm, stock)
    wide = stock.width_mm >= stock.height_mm
    length_mm = (max(stock.width_mm, stock.height_mm) - strip_mm) / 2 - NECK_MM
    face = Room(0.0, 0.0, length_mm, stock.height_mm) if wide else Room(0.0, 0.0, stock.width_mm, length_mm)
    dots = _dots(code, face, stock)
    if dots is None:
        raise _flag_too_small(label, code, strip_mm, stock, wide=wide)
    if wide:
        left = _face(label, code, dots, face, "left", stock)
        right = _face(label, code, dots, replace(face, left_mm=stock.width_mm - length_mm), "right", stock)
        return Layout(left.codes + right.codes, left.words + right.words, left.whole)
    lower = _face(label, code, dots, replace(face, top_mm=stock.height_mm - length_mm), "right", stock)
    codes = tuple(_turned_code(one, stock) for one in lower.codes)
    words = tuple(_turned_words(one, stock) for one in lower.words)
    return Layout(codes + lower.codes, words + lower.words, lower.whole)


def _turned_code(code: Code, stock: Stock) -> Code:
    """The same at the place that half a turn of the label brings it to; a QR is read either way up."""
    left_mm, top_mm = stock.width_mm - code.left_mm - code.side_mm, stock.height_mm - code.top_mm - code.side_mm
    return replace(code, left_mm=left_mm, top_mm=top_mm)


def _turned_words(words: Words, stock: Stock) -> Words:
    left_mm, base_mm = stock.width_mm - words.left_mm, stock.height_mm - words.base_mm
    return replace(words, left_mm=left_mm, base_mm=base_mm, turned=True)


def _flag_too_small(label: Label, code: Symbol, strip_mm: float, stock: Stock, *, wide: bool) -> LabelTooSmall:
    face_mm = _least_face_mm(code, stock)
    around_mm = 2 * NECK_MM + strip_mm
    least_mm = (2 * face_mm[0] + around_mm, face_mm[1]) if wide else (face_mm[0], 2 * face_mm[1] + around_mm)
    what = f"a flag of {_size(stock)} round a jacket of {strip_mm / math.pi:.4g} mm has no room for"
    return LabelTooSmall([label.text], what, "the QR", least_mm)
