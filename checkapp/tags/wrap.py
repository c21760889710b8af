"""A label that goes round a cable: the code in rows along the cable, so many that one is seen whole from any side.

The label's height goes round the cable. What is printed is as long as the way round, at the label's
foot; a longer label begins blank, and the blank end goes on first.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from checkapp.page import fonts
from checkapp.page.fonts import Face
from checkapp.page.text import wrap
from checkapp.rig.errors import CheckappError
from checkapp.tags.fit import LEAST_TYPE_MM, LINE, TYPES, exact_lines
from checkapp.tags.label import Label
from checkapp.tags.lasting import Said
from checkapp.tags.parts import LEAST_EDGE_MM, Code, LabelTooSmall, Layout, Room, Words, size_words
from checkapp.tags.qr import QUIET_MODULES, module_dots, symbol
from checkapp.tags.stock import WRAP_OVERLAP_MM, Stock, jacket_of
from checkapp.tongue import tr
from checkapp.tongue.numbers import with_sign

QR_OF_JACKET = 0.6
"""Width of a QR, at most, in parts of the jacket's diameter: measured on drawn codes bent round a
cylinder, readers begin to miss them above 0.8."""
_SEEN = 1 / 3
"""The part of the way round that is read at one look."""
_ROW = 1.25
"""From one row to the next, at least, in parts of a capital's height."""
_CODE_SHARE = 0.5
"""Width of the code, at most, in parts of the room, where words stand beside it."""
_FILLED = 0.9
"""Height of what stands in a row, at most, in parts of the row's."""
_QR_SHARE = 0.4
"""Width of the QR with its quiet zone, at most, in parts of the label's."""
_BESIDE_QR_MM = 0.4
"""Between the words and the QR's quiet zone."""
_GAP = 0.4
"""Between the code and the words beside it, in parts of the code's size."""
_INSET_MM = 1.5 * LEAST_EDGE_MM
_TOLERANCE_MM = 1e-9
_LARGEST_SMALL_MM = 2.6
_MOST_ROWS = 80


class CableTooThin(CheckappError):
    """A cable so thin that type of a size that can be read does not go round it in rows."""


def layout(label: Label, stock: Stock) -> Layout:
    """Lay out a cable's label that goes round it.

    It carries a QR where the plan gives the jacket and that is thick enough, one after the other all
    the way round. `LabelTooSmall`: it does not go round the cable, or the code does not fit its width.
    `CableTooThin`: no type can be read on it.
    """
    jacket_mm = jacket_of(label.jacket_mm, stock)
    round_mm = math.pi * jacket_mm
    rows = _rows(round_mm)
    if rows is None:
        raise CableTooThin(
            tr(
                "{label}: a jacket of {thick} mm is too thin for a wrap; print it on a flag",
                label=label.text,
                thick=with_sign(f"{jacket_mm:.4g}"),
            )
        )
    _check_size(label, stock, jacket_mm)
    codes = _codes(label, stock, round_mm)
    right_mm = codes[0].left_mm - codes[0].quiet_mm - _BESIDE_QR_MM if codes else stock.width_mm - _INSET_MM
    top_mm = stock.height_mm - LEAST_EDGE_MM - rows.count * rows.pitch_mm
    room = Room(_INSET_MM, top_mm, right_mm - _INSET_MM, rows.pitch_mm)
    block = _block(label, room, rows.cap_mm)
    groups, whole = _groups(label, block, rows.count)
    set_rows = [
        words
        for row in range(rows.count)
        for words in _set(label, replace(room, top_mm=top_mm + row * rows.pitch_mm), block, groups[row % len(groups)])
    ]
    return Layout(codes, tuple(set_rows), whole)


@dataclass(frozen=True, slots=True)
class _Rows:
    """Rows round a cable: how many, from one to the next, height of a capital."""

    count: int
    pitch_mm: float
    cap_mm: float


def _rows(round_mm: float) -> _Rows | None:
    """The rows with the largest type of which one is seen whole at one look; None when they would be too small.

    A look that takes in as much as one pitch and a row's height, and the white at the seam, holds a
    whole row wherever it falls. Round a thin cable the type is as small as can be read, whatever that takes.
    """
    used_mm = round_mm - LEAST_EDGE_MM
    least_mm = LEAST_TYPE_MM * fonts.code_face().cap_height
    if used_mm < 2 * _ROW * least_mm:
        return None

    def cap_mm(count: int) -> float:
        pitch_mm = used_mm / count
        return min(round_mm * _SEEN - pitch_mm - LEAST_EDGE_MM, pitch_mm / _ROW)

    count = max(range(2, _MOST_ROWS), key=cap_mm)
    if cap_mm(count) < least_mm:
        count = int(used_mm / (_ROW * least_mm))
    return _Rows(count, used_mm / count, max(least_mm, cap_mm(count)))


def _check_size(label: Label, stock: Stock, jacket_mm: float) -> None:
    least_mm = (_least_room_mm(label) + 2 * _INSET_MM, math.pi * jacket_mm + WRAP_OVERLAP_MM)
    if stock.width_mm >= least_mm[0] - _TOLERANCE_MM and stock.height_mm >= least_mm[1] - _TOLERANCE_MM:
        return
    why = tr(
        "a wrap of {size} mm does not take it round a jacket of {thick} mm",
        size=size_words(stock.width_mm, stock.height_mm),
        thick=with_sign(f"{jacket_mm:.4g}"),
    )
    raise LabelTooSmall([label.text], why, least_mm)


def _least_room_mm(label: Label) -> float:
    """The width that the code and some words beside it need in the smallest type."""
    return LEAST_TYPE_MM * fonts.width(label.large, fonts.code_face()) / _CODE_SHARE


def _codes(label: Label, stock: Stock, round_mm: float) -> tuple[Code, ...]:
    """The QR codes round the cable, flush right; none where the jacket is too thin or not known."""
    if label.jacket_mm is None:
        return ()
    code = symbol(label.payload)
    used_mm = round_mm - LEAST_EDGE_MM
    widest_mm = QR_OF_JACKET * label.jacket_mm * code.side_with_quiet / code.side
    dots = module_dots(code, min(widest_mm, _QR_SHARE * stock.width_mm, used_mm), stock.dot_mm)
    if dots is None:
        return ()
    module_mm = dots * stock.dot_mm
    side_mm, quiet_mm = code.side_with_quiet * module_mm, QUIET_MODULES * module_mm
    count = int(used_mm / side_mm)
    pitch_mm = used_mm / count
    left_mm = stock.width_mm - LEAST_EDGE_MM - side_mm + quiet_mm
    if left_mm - quiet_mm - _BESIDE_QR_MM - _INSET_MM < _least_room_mm(label):
        return ()
    top_mm = stock.height_mm - LEAST_EDGE_MM - used_mm + (pitch_mm - side_mm) / 2 + quiet_mm
    return tuple(Code(code, dots, module_mm, left_mm, top_mm + number * pitch_mm) for number in range(count))


@dataclass(frozen=True, slots=True)
class _Block:
    """What stands in each row: the size of its code, and lines of small type below it or beside it."""

    code_mm: float
    lines: int
    beside: bool
    small: Room
    """The room for the lines, from the row's top left."""


def _block(label: Label, room: Room, cap_mm: float) -> _Block:
    """The arrangement with the largest code; of those that are nearly as large the one with most lines."""
    face = fonts.code_face()
    width = fonts.width(label.large, face)
    most_mm, filled_mm = cap_mm / face.cap_height, _FILLED * room.height_mm
    least_line_mm = LINE * LEAST_TYPE_MM
    code_mm = min(most_mm, _CODE_SHARE * room.width_mm / width)
    beside_mm = code_mm * (width + _GAP)
    beside = Room(beside_mm, 0.0, room.width_mm - beside_mm, filled_mm)
    found = [_Block(code_mm, max(1, int(filled_mm / least_line_mm)), True, beside)]
    for lines in (1, 2, 3):
        height_mm = lines * least_line_mm
        code_mm = min(most_mm, room.width_mm / width, (filled_mm - height_mm) / face.cap_height)
        found.append(_Block(code_mm, lines, False, Room(0.0, 0.0, room.width_mm, height_mm)))
    largest_mm = max(block.code_mm for block in found)
    return max((block for block in found if block.code_mm > 0.95 * largest_mm), key=lambda block: block.lines)


Line = tuple[str, Face]


def _groups(label: Label, block: _Block, rows: int) -> tuple[list[list[Line]], bool]:
    """What stands in small type in one row after the other, and whether that is all that is said.

    A text that is too long for a line goes on below, in the same row if that has so many lines; one that
    is too long for the rows that are left is cut. What is there only if there is room comes last.
    """
    most = block.small.width_mm / LEAST_TYPE_MM
    texts = [Said(label.text), *sorted(label.said, key=lambda said: said.if_room)]
    groups: list[list[Line]] = []
    whole = True
    for number, said in enumerate(texts):
        face = TYPES[said.weight].face() if number else fonts.code_face()
        left = rows * block.lines - sum(map(len, groups))
        lines = _lines(said, most, face, left)
        whole_text = "".join(lines).replace(" ", "") == "".join(said.text.split())
        found = _with(groups, [(line, face) for line in lines], block.lines)
        if len(found) <= rows and (whole_text or not said.if_room):
            groups = found
        else:
            whole_text = False
        whole = whole and (whole_text or said.if_room)
    return _with_length(groups, label, block, most), whole


def _lines(said: Said, most: float, face: Face, lines: int) -> list[str]:
    """A text on at most so many lines; an exact one is cut between its parts alone."""
    width_of = partial(fonts.width, face=face)
    if lines < 1:
        return []
    return exact_lines(said.text, most, width_of, lines) if said.exact else list(wrap(said.text, most, width_of, lines))


def _with(groups: list[list[Line]], lines: list[Line], each: int) -> list[list[Line]]:
    """The groups with some more lines, in a new group if the last has not room for all of them and a new one has."""
    found = [list(group) for group in groups]
    room = each - len(found[-1]) if found else 0
    if room < min(len(lines), each):
        found.append([])
    for line in lines:
        if len(found[-1]) == each:
            found.append([])
        found[-1].append(line)
    return found


def _with_length(groups: list[list[Line]], label: Label, block: _Block, most: float) -> list[list[Line]]:
    """The groups with the cable's length too, where there is room: on a line of its own, or beside the tag."""
    if not label.length or any(label.length in text for group in groups for text, _ in group):
        return groups
    free = next((group for group in groups if len(group) < block.lines), None)
    text, face = groups[0][0]
    beside = f"{text}  {label.length}"
    if free is not None:
        free.append((label.length, TYPES["plain"].face()))
    elif fonts.width(beside, face) <= most:
        groups[0][0] = beside, face
    return groups


def _set(label: Label, room: Room, block: _Block, lines: list[Line]) -> Iterator[Words]:
    """One row: the code, and some lines beside or below it."""
    face = fonts.code_face()
    cap_mm = block.code_mm * face.cap_height
    below_mm = 0.0 if block.beside else block.small.height_mm
    base_mm = room.top_mm + (room.height_mm - below_mm + cap_mm) / 2
    yield room.line(label.large, face, block.code_mm, base_mm)
    pitch_mm = min(LINE * _LARGEST_SMALL_MM, block.small.height_mm / len(lines))
    top_mm = room.top_mm + (room.height_mm - len(lines) * pitch_mm) / 2 if block.beside else base_mm
    small = replace(block.small, left_mm=room.left_mm + block.small.left_mm)
    for place, (text, face) in enumerate(lines, 1):
        size_mm = max(LEAST_TYPE_MM, small.size_mm(text, face, pitch_mm / LINE))
        yield small.line(text, face, size_mm, top_mm + (place - (1 - 1 / LINE)) * pitch_mm)
