"""Sockets as a crew finds them: the box as a plate, what plugs into it from the left, the way to the desk at the right.

A row is a piece of a run, source at the left: the line's name on its tape, the cable as a stroke with its code on it,
the socket on the plate. What leads to the desk leaves the plate at its right edge. Plain geometry, no toolkit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING, Final

from checkapp.tongue import shown_names
from checkapp.touch.listing import FOUND
from checkapp.touch.widgets.card_layout import Block, Cell, Shape, Type, one_column, shared, words

if TYPE_CHECKING:
    from checkapp.show.card import Connector

_STUB: Final = 2.5
"""The least length of a stroke on either side of a cable's code, in the one measure."""
_PAD: Final = 1.5
"""From the edge of a plate to its words, and from the end of a tape to its words, likewise."""
_HOP: Final = 0.5
_LEAD: Final = 0.25
"""Thickness of the strokes of hops and of all other cables, likewise."""
Text = tuple[str, float, bool]
_STYLES: Final = ("tape", "quiet", "plain", "plain", "quiet", "")


@dataclass(frozen=True, slots=True)
class Scale:
    """Sizes of the codes of hops and of all other cables, and the air between rows, in pixels."""

    hop_px: float
    row_px: float
    gap_px: float


@dataclass(frozen=True, slots=True)
class Row:
    """The words of one socket, each with its size and whether it is bold: from the far end to the plate."""

    one: Connector
    tape: Text
    far: Text
    plug: Text
    word: Text
    beside: Text
    stands: Text

    @property
    def texts(self) -> tuple[Text, ...]:
        """All of them, from left to right."""
        return self.tape, self.far, self.plug, self.word, self.beside, self.stands


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the columns of a plate are, from its left: the stroke begins, the plate, its words, the plate ends.

    ``widths`` are those of tape, far end, stroke, socket, what is beside it, how it stands; 0 for a column without
    words. ``out`` is the room at the right of the plate for what leads to the desk, 0 where there is none.
    """

    widths: tuple[float, ...]
    unit: float
    out: float = 0.0

    @property
    def lefts(self) -> tuple[float, ...]:
        """Where each column begins."""
        found, left = [], 0.0
        after = (2 * self.unit, 2 * self.unit, _PAD * self.unit, 2 * self.unit, 2 * self.unit, 0.0)
        for width, gap in zip(self.widths, after, strict=True):
            found.append(left)
            left += width + (gap if width else 0.0)
        return tuple(found)

    @property
    def edge(self) -> float:
        """Where the plate begins."""
        return self.lefts[2] + self.widths[2]

    @property
    def end(self) -> float:
        """Where the plate ends."""
        last = max(n for n in range(3, 6) if self.widths[n] or n == 3)
        return self.lefts[last] + self.widths[last] + _PAD * self.unit


def is_hop(one: Connector) -> bool:
    """Whether a socket is one of a chain or of a multicore as a whole."""
    return not one.line and bool(one.hint or one.far_hint or one.towards_desk)


def row_of(one: Connector, scale: Scale, kind: Type, *, taped: bool = True) -> Row:
    """The words of a socket in the sizes of a scale; an empty socket says why where its cable would come from."""
    hop = is_hop(one)
    empty = not one.plug and not one.far and not one.line
    return Row(
        one,
        (f"{one.number}  {one.name}" if one.line and taped else "", scale.row_px, True),
        (one.facts if empty else shown_names(one.far), kind.body_px, False),
        (one.plug, scale.hop_px if hop else scale.row_px, True),
        (one.word, scale.hop_px if hop else scale.row_px, True),
        (one.hint or ("" if empty else one.facts), kind.body_px, hop),
        (FOUND.get(one.status, ""), kind.body_px, True),
    )


def columns(rows: Sequence[Row], room: float, kind: Type, *, out: bool = False, wraps: bool = True) -> Columns | None:
    """The columns of a plate whose right edge lies within ``room``; None where words are too wide for it.

    With ``out`` what leads to the desk has its place at the right of the plate, else at the left like the rest.
    ``wraps`` tells whether words may go on in a further line.
    """
    left = [row for row in rows if not (out and row.one.towards_desk)]
    taped = any(row.tape[0] for row in left)
    by_column = (
        [row.tape for row in left],
        [row.far for row in left if row.tape[0] or not taped],
        [row.plug for row in left],
        [row.word for row in rows],
        [row.beside for row in rows],
        [row.stands for row in rows],
    )
    more = (2 * _PAD * kind.unit, 0.0, 2 * _STUB * kind.unit, 0.0, 0.0, 0.0)
    found = [_widest(texts, kind.wide, extra) for texts, extra in zip(by_column, more, strict=True)]
    least = [_widest(texts, kind.widest_word, extra) for texts, extra in zip(by_column, more, strict=True)]
    if taped:  # the words of rows without a tape begin where tapes do
        for wide, measure in ((found, kind.wide), (least, kind.widest_word)):
            bare = _widest([row.far for row in left if not row.tape[0]], measure, 0.0)
            if wide[1]:
                wide[1] = max(wide[1], bare - wide[0] - 2 * kind.unit)
            else:
                wide[0] = max(wide[0], bare)
    found[2] = max(found[2], more[2])
    for n in (2, 3, 5):  # codes and sockets stay on one line
        least[n] = found[n]
    gaps = Columns(tuple(found), kind.unit).end - sum(found)
    widths = shared(found, least if wraps else found, room - gaps)
    return Columns(tuple(widths), kind.unit) if widths else None


def _widest(texts: Sequence[Text], measure: Callable[[str, float, bool], float], more: float) -> float:
    wide = max((measure(*text) for text in texts if text[0]), default=0.0)
    return wide + more if wide else 0.0


def room_out(rows: Sequence[Row], kind: Type) -> float:
    """What must be free at the right of a plate for what leads to the desk, so that its words are on one line."""
    leaving = [row for row in rows if row.one.towards_desk]
    wide = (kind.wide(*row.plug) + 2 * _STUB * kind.unit + kind.unit + kind.wide(*row.far) for row in leaving)
    return max(wide, default=0.0)


def plate(rows: Sequence[Row], at: Columns, scale: Scale, kind: Type) -> tuple[Block, float]:
    """The plate with its rows, and how far down the room at its right is taken.

    Chain sockets, inputs and outputs stand a little apart. What leads to the desk is the first row.
    """
    plates, taken = [], 0.0
    for _, group in groupby(rows, key=lambda row: (is_hop(row.one), " out " in row.one.port and not is_hop(row.one))):
        these = list(group)
        body = one_column([_row(row, at, scale, kind) for row in these], 0.0)
        ground = Shape("plate", at.edge, 0.0, at.end - at.edge, body.height, "hop" if is_hop(these[0].one) else "open")
        plates.append(Block(body.cells, body.height, (ground, *body.shapes)))
        if at.out and these[0].one.towards_desk:
            taken = _row(these[0], at, scale, kind).height
    return one_column(plates, 0.75 * kind.unit), taken


def _row(row: Row, at: Columns, scale: Scale, kind: Type) -> Block:
    """One socket: all its words about one level, the stroke between them."""
    places = _places(row, at, kind)
    gap = max(scale.gap_px, 0.5 * kind.unit) if is_hop(row.one) else scale.gap_px
    high = max((cell.height for cell in places.values()), default=0.0) + gap
    placed = {n: cell.moved(0.0, (high - cell.height) / 2) for n, cell in places.items()}
    said = _said(row, at.edge - 2 * kind.unit, kind)
    leaves = at.out and row.one.towards_desk and not row.tape[0] and said.height <= high
    said = said.moved(0.0, (high - said.height) / 2 if leaves else high)
    taken = high if leaves else said.height
    return Block((*placed.values(), *said.cells), taken, tuple(_drawn(row, at, placed, high / 2)))


def _places(row: Row, at: Columns, kind: Type) -> dict[int, Cell]:
    """The words of a row in their columns, tops still at 0."""
    lefts, widths = list(at.lefts), list(at.widths)
    stub, pad = _STUB * kind.unit, _PAD * kind.unit
    leaves = bool(at.out) and row.one.towards_desk
    if leaves:
        lefts[2], widths[2] = at.end, min(kind.wide(*row.plug) + 2 * stub, at.out)
        lefts[1], widths[1] = at.end + widths[2] + kind.unit, at.out - widths[2] - kind.unit
    elif not row.tape[0] and widths[0]:
        lefts[1], widths[1] = 0.0, at.lefts[2] - 2 * kind.unit
    found: dict[int, Cell] = {}
    for n, (text, size, bold) in enumerate(row.texts):
        more = {0: 2 * pad, 2: 2 * stub}.get(n, 0.0)
        if text:
            inner = min(widths[n] - more, kind.wide(text, size, bold))
            high = kind.height_of(text, size, inner, bold)
            style = "plain" if bold and n == 4 else _STYLES[n] or row.one.status
            found[n] = Cell(text, lefts[n], 0.0, inner, high, style, size, bold, midway=True)
    if 0 in found:
        found[0] = replace(found[0], width=found[0].width + 2 * pad)
    if 2 in found:
        found[2] = replace(found[2], left=lefts[2] + (widths[2] - found[2].width) / 2)
    if 1 in found and 2 not in found and not row.one.far and not leaves:
        found[1] = replace(found[1], left=max(0.0, at.edge - 2 * kind.unit - found[1].width), style="plain")
    return found


def _drawn(row: Row, at: Columns, placed: dict[int, Cell], level: float) -> Iterator[Shape]:
    """The stroke on both sides of the code, the tick where it meets the plate, and how it stands."""
    unit, one = at.unit, row.one
    thick = (_HOP if is_hop(one) else _LEAD) * unit
    plug = placed.get(2)
    leaves = bool(at.out) and one.towards_desk
    if leaves:
        start, stop = at.end, (plug.left + plug.width if plug else at.end) + _STUB * unit
    else:
        ends = (placed[n].left + placed[n].width + unit for n in (0, 1) if n in placed)
        start, stop = max(ends, default=0.0), at.edge
    if plug is not None or one.far or one.line:
        first = plug.left - 0.5 * unit if plug else stop
        second = plug.left + plug.width + 0.5 * unit if plug else stop
        for left, right in ((start, first), (second, stop)):
            if right - left > 1:
                yield Shape("stroke", left, level - thick / 2, right - left, thick)
    yield from _meets(row, at.end if leaves else at.edge, level, thick, unit)


def _meets(row: Row, edge: float, level: float, thick: float, unit: float) -> Iterator[Shape]:
    """Where a cable meets the plate: a tick, or how the connection stands."""
    high = 0.7 * row.word[1]
    if row.one.status in FOUND:
        side = min(high, 2 * _PAD * unit - 2.0)
        yield Shape("mark", edge - side / 2, level - side / 2, side, side, row.one.status)
    else:
        yield Shape("tick", edge - 0.75 * thick, level - high / 2, 1.5 * thick, high)


def _said(row: Row, width: float, kind: Type) -> Block:
    """What was found in the socket that does not belong there, or where its own end was found."""
    if row.one.status != "faulty" or not row.one.said:
        return Block((), 0.0)
    said = words(row.one.said, width, kind.body_px, kind, "faulty")
    return Block(said.cells, said.height + 0.5 * kind.unit)


def stacked(rows: Sequence[Row], width: float, scale: Scale, kind: Type) -> Block:
    """The sockets one below the other, where a plate with its columns has no room."""
    return one_column([_stack(row, width, kind) for row in rows], scale.gap_px + kind.unit)


def _stack(row: Row, width: float, kind: Type) -> Block:
    """One socket: the tape and what is at the far end, over the stroke that leads to a plate of its own.

    What leads to the desk has its plate at the left, everything else at the right.
    """
    one, unit = row.one, kind.unit
    over = [*_over(row, width, kind), _said(row, width, kind)]
    plug_wide = kind.wide(*row.plug)
    plate_wide = _plate_wide(row, width, kind)
    if width - plate_wide < plug_wide + 3 * unit:
        under = words(row.plug[0], width, row.plug[1], kind, bold=True)
        return one_column([*over, under, _little_plate(row, width, kind)], 0.0)
    left = one.towards_desk
    own = _little_plate(row, plate_wide, kind).moved(0.0 if left else width - plate_wide, 0.0)
    if not row.plug[0]:
        return one_column([*over, own], 0.25 * unit)
    high = kind.height_of(*row.plug[:2], plug_wide, True)
    plug = Cell(row.plug[0], width - plug_wide if left else 0.0, (own.height - high) / 2, plug_wide, high, "plain")
    plug = replace(plug, size_px=row.plug[1], bold=True)
    thick, level = (_HOP if is_hop(one) else _LEAD) * unit, own.height / 2
    start, stop = (plate_wide, plug.left - 0.5 * unit) if left else (plug_wide + 0.5 * unit, width - plate_wide)
    stroke = Shape("stroke", start, level - thick / 2, stop - start, thick)
    edge = _meets(row, start if left else stop, level, thick, unit)
    joined = Block((*own.cells, plug), own.height, (*own.shapes, stroke, *edge))
    return one_column([*over, joined], 0.25 * unit)


def _over(row: Row, width: float, kind: Type) -> Iterator[Block]:
    """The tape, and what is at the far end."""
    pad = _PAD * kind.unit
    text, size, bold = row.tape
    if text:
        inner = min(kind.wide(text, size, bold), width - 2 * pad)
        high = kind.height_of(text, size, inner, bold)
        yield Block((Cell(text, 0.0, 0.0, inner + 2 * pad, high, "tape", size, bold),), high)
    far = words(row.far[0], width, row.far[1], kind, "quiet")
    if row.one.towards_desk and far.cells:
        wide = min(width, kind.wide(*row.far))
        far = Block((replace(far.cells[0], left=width - wide, width=wide),), far.height)
    yield far


def _plate_wide(row: Row, width: float, kind: Type) -> float:
    return min(max(kind.wide(*text) for text in row.texts[3:]) + 2 * _PAD * kind.unit, width)


def _little_plate(row: Row, width: float, kind: Type) -> Block:
    """A plate with one socket on it, and below that what is said of it."""
    pad, styles = _PAD * kind.unit, ("plain", "plain" if is_hop(row.one) else "quiet", row.one.status)
    said = []
    for (text, size, bold), style in zip(row.texts[3:], styles, strict=True):
        fitted = max(kind.body_px, min(size, size * (width - 2 * pad) / max(1.0, kind.wide(text, size, bold))))
        said.append(words(text, width - 2 * pad, fitted, kind, style, bold=bold))
    body = one_column(said, 0.0).moved(pad, 0.5 * kind.unit)
    return Block(
        body.cells, body.height + 0.5 * kind.unit, (Shape("plate", 0.0, 0.0, width, body.height + 0.5 * kind.unit),)
    )
