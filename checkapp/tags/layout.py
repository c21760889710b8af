"""Where everything stands on one label, whatever it is drawn with: on sheet and roll, on a flag, on a wrap.

Pure geometry in millimetres from the label's left and top edge.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from checkapp.rig.errors import CheckappError
from checkapp.tags import wrap
from checkapp.tags.face import face, least_face_mm
from checkapp.tags.label import Label
from checkapp.tags.parts import Code, LabelTooSmall, Layout, Room, Words, size_words, too_small
from checkapp.tags.qr import Symbol, symbol
from checkapp.tags.stock import Stock, jacket_of
from checkapp.tongue import tr
from checkapp.tongue.numbers import with_sign

NECK_MM = 1.0
"""White on each face of a flag beside the cable: there it is not yet flat, and nobody folds to a hair."""
_TALLER_MM = 0.2
"""A flag that folds about a level line is at least so much higher than wide."""
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
    found = face(label, code, Room(0.0, 0.0, stock.width_mm, stock.height_mm), "right", stock)
    if found is None:
        size = size_words(stock.width_mm, stock.height_mm)
        why = tr("a label of {size} mm has no room for code and QR", size=size)
        raise LabelTooSmall([label.text], why, least_face_mm(label, code, stock))
    return found


def layouts(labels: Sequence[Label], stock: Stock, step: Step | None = None) -> list[Layout]:
    """Lay out all labels. Errors as `layout`, one for all labels that are too small; `NothingToPrint`."""
    if not labels:
        raise NothingToPrint(tr("no label to print; name at least one item"))
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


def _flag(label: Label, stock: Stock) -> Layout:
    """Two faces with the strip that goes round the cable between them, across the label's longer side.

    Folded, the faces lie back to back and their outer ends meet. With the faces side by side the fold
    runs up and down and both stand upright as printed, each with its QR at the outer end; with one
    above the other the upper one is printed on its head and stands upright once it is folded over.
    """
    code = symbol(label.payload)
    strip_mm = math.pi * jacket_of(label.jacket_mm, stock)
    width_mm, height_mm = stock.width_mm, stock.height_mm
    length_mm = (max(width_mm, height_mm) - strip_mm) / 2 - NECK_MM
    if width_mm >= height_mm:
        left = face(label, code, Room(0.0, 0.0, length_mm, height_mm), "left", stock)
        right = face(label, code, Room(width_mm - length_mm, 0.0, length_mm, height_mm), "right", stock)
        if left and right:
            return Layout(left.codes + right.codes, left.words + right.words, left.whole)
    elif lower := face(label, code, Room(0.0, height_mm - length_mm, width_mm, length_mm), "right", stock):
        codes = tuple(_turned_code(one, stock) for one in lower.codes)
        words = tuple(_turned_words(one, stock) for one in lower.words)
        return Layout(codes + lower.codes, words + lower.words, lower.whole)
    raise _flag_too_small(label, code, strip_mm, stock)


def _turned_code(code: Code, stock: Stock) -> Code:
    """The same at the place that half a turn of the label brings it to; a QR is read either way up."""
    left_mm, top_mm = stock.width_mm - code.left_mm - code.side_mm, stock.height_mm - code.top_mm - code.side_mm
    return replace(code, left_mm=left_mm, top_mm=top_mm)


def _turned_words(words: Words, stock: Stock) -> Words:
    left_mm, base_mm = stock.width_mm - words.left_mm, stock.height_mm - words.base_mm
    return replace(words, left_mm=left_mm, base_mm=base_mm, turned=True)


def _flag_too_small(label: Label, code: Symbol, strip_mm: float, stock: Stock) -> LabelTooSmall:
    face_mm = least_face_mm(label, code, stock)
    around_mm = 2 * NECK_MM + strip_mm
    wide = stock.width_mm >= stock.height_mm
    if wide:
        least_mm = (max(2 * face_mm[0] + around_mm, face_mm[1]), face_mm[1])
    else:
        least_mm = (face_mm[0], max(2 * face_mm[1] + around_mm, face_mm[0] + _TALLER_MM))
    why = tr(
        "a flag of {size} mm round a jacket of {thick} mm has no room for code and QR",
        size=size_words(stock.width_mm, stock.height_mm),
        thick=with_sign(f"{strip_mm / math.pi:.4g}"),
    )
    return LabelTooSmall([label.text], why, least_mm)
