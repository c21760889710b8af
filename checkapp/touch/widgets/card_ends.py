"""The two ends of a cable, each on a plate of its own, end B at the left and end A, nearer the desk, at the right.

Plain geometry, no toolkit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from checkapp.tongue import tr
from checkapp.touch.listing import FOUND
from checkapp.touch.widgets.card_layout import Block, Cell, Shape, Type, marked, one_column, shared, words
from checkapp.touch.widgets.card_plate import Scale

if TYPE_CHECKING:
    from checkapp.show.card import Connector, Section

_SHARE: Final = 0.41
"""Of the width, what each plate takes where they stand side by side."""
_LARGER: Final = 1.4
"""The one socket of an end, in the size of a hop's code."""
_PAD: Final = 2.0
_STROKE: Final = 0.5
"""From the edge of a plate to its words, and how thick the cable is, in the one measure."""


def both_ends(
    ends: Sequence[Section], own: str, width: float, scale: Scale, kind: Type, *, wraps: bool = True
) -> Block | None:
    """The plates of both ends with the cable between them; ``own`` is the end that was scanned, marked as such.

    None where words would have to wrap, unless they may.
    """
    far, near = sorted(ends, key=_end_of, reverse=True)
    wide = _SHARE * width
    if not wraps and any(_columns(end.connectors, wide - 2 * _PAD * kind.unit, scale, kind) is None for end in ends):
        return None
    largest = _largest(own, scale, kind)
    plates = [_end(section, wide, scale, kind, largest) for section in (far, near)]
    high = max(plate.height for plate in plates)
    cable = near.connectors[0].end.rpartition(" ")[0]
    size = min(kind.name_px, kind.name_px * (width - 2 * wide - 4 * kind.unit) / kind.wide(cable, kind.name_px, True))
    code_wide = kind.wide(cable, size, True)
    code_high = kind.height_of(cable, size, code_wide, True)
    level = high / 2
    code = Cell(cable, (width - code_wide) / 2, level - code_high / 2, code_wide, code_high, "plain", size, True)
    thick = _STROKE * kind.unit
    pieces = ((wide, code.left - 0.5 * kind.unit), (code.left + code_wide + 0.5 * kind.unit, width - wide))
    strokes = [Shape("stroke", left, level - thick / 2, right - left, thick) for left, right in pieces]
    left, right = (
        Block(plate.cells, high, (Shape("plate", 0.0, 0.0, wide, high, _frame(section, own)), *plate.shapes))
        for plate, section in zip(plates, (far, near), strict=True)
    )
    there = right.moved(width - wide, 0.0)
    return Block((*left.cells, *there.cells, code), high, (*left.shapes, *there.shapes, *strokes))


def one_below_other(ends: Sequence[Section], own: str, width: float, scale: Scale, kind: Type) -> Block:
    """The plates of both ends below each other, in their order; that of the end that was scanned, only with its ways.

    Its one socket is said above.
    """
    blocks, largest = [], _largest(own, scale, kind)
    for section in ends:
        if own and _end_of(section) == own and len(section.connectors) == 1:
            continue
        end = _end(section, width, scale, kind, largest)
        ground = Shape("plate", 0.0, 0.0, width, end.height, _frame(section, own))
        blocks.append(Block(end.cells, end.height, (ground, *end.shapes)))
    return one_column(blocks, kind.unit)


def _largest(own: str, scale: Scale, kind: Type) -> float:
    """The size of an end's one socket; no larger than names where the socket of the scanned end is said above."""
    return kind.name_px if own else min(_LARGER * scale.hop_px, kind.line_px)


def _end_of(section: Section) -> str:
    return section.connectors[0].end.rpartition(" ")[2]


def _frame(section: Section, own: str) -> str:
    return "next" if own and _end_of(section) == own else "open"


def _end(section: Section, width: float, scale: Scale, kind: Type, largest: float) -> Block:
    """What is on the plate of one end."""
    pad = _PAD * kind.unit
    inner = width - 2 * pad
    these = section.connectors
    blocks = [
        words(these[0].end, inner, kind.code_px, kind, bold=True),
        words(section.title.partition(", ")[2], inner, kind.body_px, kind, "quiet"),
        *(_single(these[0], inner, largest, kind) if len(these) == 1 else [_ways(these, inner, scale, kind)]),
        words(section.note, inner, kind.body_px, kind, "quiet"),
        *_stands(these, inner, kind),
    ]
    body = one_column(blocks, 0.25 * kind.unit).moved(pad, kind.unit)
    return Block(body.cells, body.height + kind.unit, body.shapes)


def _single(one: Connector, width: float, largest: float, kind: Type) -> Iterator[Block]:
    """The one socket of an end, large, and its line."""
    size = max(kind.name_px, min(largest, largest * width / kind.wide(one.word, largest, True)))
    yield words(one.word, width, size, kind, bold=True)
    yield words(one.hint, width, kind.code_px, kind)
    if one.line and one.name != one.word:
        yield _tape(one, width, kind.code_px, kind)


def _tape(one: Connector, width: float, size: float, kind: Type) -> Block:
    if not one.line:
        return Block((), 0.0)
    text, pad = f"{one.number}  {one.name}", 1.5 * kind.unit
    inner = min(kind.wide(text, size, True), width - 2 * pad)
    high = kind.height_of(text, size, inner, True)
    return Block((Cell(text, 0.0, 0.0, inner + 2 * pad, high, "tape", size, True),), high)


def _columns(
    these: Sequence[Connector], width: float, scale: Scale, kind: Type, *, wraps: bool = False
) -> list[float] | None:
    """The widths of ways, sockets and tapes; None where they have no room side by side."""
    texts = [_cells(one, scale, kind) for one in these]
    more = (0.0, 0.0, 3 * kind.unit)
    found = [max(kind.wide(*row[n]) for row in texts) for n in range(3)]
    least = [*found[:2], max(kind.widest_word(*row[2]) for row in texts)]
    found, least = ([wide + more[n] if wide else 0.0 for n, wide in enumerate(widths)] for widths in (found, least))
    gaps = 2 * kind.unit * (sum(wide > 0 for wide in found) - 1)
    return shared(found, least if wraps else found, width - gaps)


def _ways(these: Sequence[Connector], width: float, scale: Scale, kind: Type) -> Block:
    """Way by way: the socket, and the line on its tape; below each other where they have no room side by side."""
    widths = _columns(these, width, scale, kind, wraps=True)
    rows = []
    for one in these:
        if widths is None:
            rows.append(_below(one, width, scale, kind))
            continue
        left, blocks = 0.0, []
        for n, (text, size, bold) in enumerate(_cells(one, scale, kind)):
            style = "plain" if bold else "quiet"
            block = (
                _tape(one, widths[n], size, kind) if n == 2 else words(text, widths[n], size, kind, style, bold=bold)
            )
            blocks.append(block.moved(left, 0.0))
            left += widths[n] + 2 * kind.unit if widths[n] else 0.0
        high = max(block.height for block in blocks)
        side = [cell.moved(0.0, (high - block.height) / 2) for block in blocks for cell in block.cells]
        rows.append(Block(tuple(side), high))
    return one_column(rows, 0.5 * scale.gap_px + 0.25 * kind.unit)


def _below(one: Connector, width: float, scale: Scale, kind: Type) -> Block:
    """A way and its socket on one line, the tape below them."""
    (way, way_px, _), (word, word_px, _), _ = _cells(one, scale, kind)
    wide = kind.wide(way, way_px)
    left = wide + 2 * kind.unit if way and word else 0.0
    room = width - left
    socket = words(
        word,
        room,
        min(word_px, max(kind.body_px, word_px * room / max(1.0, kind.wide(word, word_px, True)))),
        kind,
        bold=True,
    )
    first = words(way, wide, way_px, kind, "quiet") if way else Block((), 0.0)
    level = max(first.height, socket.height)
    cells = (
        *first.moved(0.0, (level - first.height) / 2).cells,
        *socket.moved(left, (level - socket.height) / 2).cells,
    )
    return one_column([Block(cells, level), _tape(one, width, word_px, kind)], 0.0)


def _cells(one: Connector, scale: Scale, kind: Type) -> tuple[tuple[str, float, bool], ...]:
    """The way, the socket (where that is not the line's own name) and the line of a connection."""
    named = bool(one.line) and one.name == one.word
    tape = f"{one.number}  {one.name}" if one.line else ""
    return (one.way, kind.body_px, False), ("" if named else one.word, scale.row_px, True), (tape, scale.row_px, True)


def _stands(these: Sequence[Connector], width: float, kind: Type) -> Iterator[Block]:
    """How the end stands: wrong where any of its plugs is, right when all are."""
    wrong = [one for one in these if one.status == "faulty"]
    if wrong:
        yield marked(wrong[0].said, width, kind.body_px, kind, "faulty")
    elif all(one.status in FOUND for one in these):
        yield marked(tr("connected, {who}", who=these[-1].said), width, kind.body_px, kind, "ok")
