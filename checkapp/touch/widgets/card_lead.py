"""What a card says first: what the thing is, and where it goes, large; plain geometry, no toolkit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from checkapp.touch.widgets.card_layout import Block, Cell, Type, marked, one_column, words

if TYPE_CHECKING:
    from checkapp.show.card import Card

_NARROW: Final = 60.0
"""Below this width, in the one measure, the head holds the code alone."""
_LARGER: Final = 1.25
"""The code of a card, in the size of names."""


def head(card: Card, width: float, kind: Type) -> tuple[Block, bool]:
    """The top of a card: its code large, what it is and its tag; and whether it says where it goes as well.

    A box's place stands beside its code where there is room for it on one line.
    """
    size = min(_LARGER * kind.name_px, kind.line_px)
    narrow = width < _NARROW * kind.unit
    if narrow:
        size = min(size, max(kind.code_px, size * width / kind.wide(card.code, size, True)))
    code = words(card.code, min(width, kind.wide(card.code, size, True)), size, kind, bold=True)
    if narrow:
        return code, False
    what = _what(card, kind)
    what_wide = max((cell.width for cell in what.cells), default=0.0)
    code_wide = code.cells[0].width
    room = width - code_wide - what_wide - 5 * kind.unit
    blocks = [(code, 0.0)]
    place = _place(card, room, kind) if card.kind == "box" else None
    if place is not None:
        blocks.append((place, code_wide + 2.5 * kind.unit))
    if room < 0:
        return code, False
    blocks.append((what, width - what_wide))
    high = max(block.height for block, _ in blocks)
    cells: list[Cell] = []
    for block, left in blocks:
        cells += block.moved(left, (high - block.height) / 2).cells
    return Block(tuple(cells), high), place is not None


def _what(card: Card, kind: Type) -> Block:
    """What it is, and what its tag says."""
    texts = [(card.what, kind.body_px), *((tag, kind.note_px) for tag in card.tags)]
    wide = max((kind.wide(text, size) for text, size in texts if text), default=0.0)
    lines = [words(text, wide, size, kind, "quiet") for text, size in texts]
    body = one_column([line for line in lines if line.cells], 0.0)
    return replace(body, cells=tuple(replace(cell, align="right") for cell in body.cells))


def _place(card: Card, room: float, kind: Type) -> Block | None:
    """Where a box goes, and what to know of that; None where it has no room on one line."""
    wide = kind.wide(card.goes, kind.name_px, True)
    size = min(kind.name_px, kind.name_px * room / wide if wide else 0.0)
    if size < kind.code_px:
        return None
    return one_column(
        [words(card.goes, room, size, kind, bold=True), words(card.hint, room, kind.body_px, kind, "quiet")], 0.0
    )


def lead(card: Card, width: float, kind: Type, *, what: bool = False) -> Block:
    """Where it goes, large, with the tape of its line; with ``what`` also what it is, where the head has no room."""
    tape_first = bool(card.name) and card.kind not in ("cable", "hop", "port")
    goes_px = kind.line_px if card.end else kind.name_px
    goes = _fitted(card.goes, width, goes_px, kind)
    plain = bool(card.end or card.name)
    hint = words(card.hint, width, kind.code_px if plain else kind.body_px, kind, "plain" if plain else "quiet")
    tape = _tape(card, width, kind.line_px if tape_first else kind.name_px, kind)
    blocks = [tape, goes, hint] if tape_first else [goes, hint, tape]
    if what:
        blocks.append(words(", ".join(filter(None, (card.what, *card.tags))), width, kind.body_px, kind, "quiet"))
    return one_column([*blocks, *standing(card, width, kind)], 0.5 * kind.unit)


def standing(card: Card, width: float, kind: Type) -> Iterator[Block]:
    """What it took the place of, and how it stands in set-up."""
    yield marked(card.instead, width, kind.body_px, kind, "look")
    yield marked(card.said, width, kind.body_px, kind, card.status)


def _fitted(text: str, width: float, size: float, kind: Type) -> Block:
    """Words on one line as large as they go in, never smaller than names are; longer ones wrap."""
    wide = kind.wide(text, size, True)
    fitted = min(size, size * width / wide) if wide else size
    return words(text, width, max(fitted, min(size, kind.name_px)), kind, bold=True)


def _tape(card: Card, width: float, size: float, kind: Type) -> Block:
    """The line's number and name on its tape."""
    if not card.name:
        return Block((), 0.0)
    text, pad = f"{card.number}  {card.name}", 1.5 * kind.unit
    room = width - 2 * pad
    size = max(min(size, size * room / kind.wide(text, size, True)), min(size, kind.name_px))
    inner = min(kind.wide(text, size, True), room)
    high = kind.height_of(text, size, inner, True)
    return Block((Cell(text, 0.0, 0.0, inner + 2 * pad, high, "tape", size, True),), high)
