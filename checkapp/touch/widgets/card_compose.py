"""A whole card laid out: as large as it goes in without scrolling; where nothing goes in, large, and to be scrolled.

Plain geometry, no toolkit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Final

from checkapp.tongue import shown_names, shown_word, tr
from checkapp.touch.widgets.card_ends import both_ends, one_below_other
from checkapp.touch.widgets.card_layout import (
    Block,
    Shape,
    Type,
    beside,
    marked,
    one_column,
    section,
    two_columns,
    words,
)
from checkapp.touch.widgets.card_lead import lead, standing
from checkapp.touch.widgets.card_plate import Row, Scale, columns, is_hop, plate, room_out, row_of, stacked

if TYPE_CHECKING:
    from checkapp.show.card import Card
    from checkapp.show.views import FindingRow

_WIDE: Final = 120.0
"""From this width on, in the one measure, a card stands in columns."""
_ROOMY: Final = 75.0
"""From this width on the ends of a cable stand side by side, and sockets in columns."""
_PLATE: Final = 0.75
"""Of the width, how far to the right the plate of a box may reach where words stand beside it."""
_LEAST_BESIDE: Final = 36.0
"""What must be left for those words, in the one measure."""
_LEAST_BEFORE: Final = 52.0
"""The least width beside the plate for what was before, likewise."""
RunHigh = Callable[[float, float], float]
"""The height of the run in a width, with its codes in a size; 0 where it would need too many rows."""


def scales(kind: Type) -> tuple[Scale, ...]:
    """The scales that a card is tried in, largest first; none of its type is smaller than the body's."""
    between = (kind.code_px + kind.body_px) / 2
    return (
        Scale(min(1.25 * kind.name_px, kind.line_px), kind.name_px, kind.unit),
        Scale(kind.name_px, kind.code_px, 0.75 * kind.unit),
        Scale((kind.name_px + kind.code_px) / 2, between, 0.5 * kind.unit),
        Scale((kind.name_px + kind.code_px) / 2, kind.body_px, 0.25 * kind.unit),
    )


@dataclass(frozen=True)
class Page:
    """A card and the width for its body; ``led`` tells that the head says where it goes."""

    card: Card
    width: float
    kind: Type
    run_high: RunHigh
    led: bool = False

    def laid(self, room: float) -> Block:
        """The card, without scrolling in the height ``room`` if that can be; on a narrow screen in one column."""
        if self.width < _WIDE * self.kind.unit:
            return self._column()
        least: Block | None = None
        for scale, run_px, wraps in self._tries():
            block = self._wide(scale, self._run(run_px), wraps=wraps)
            if block is not None and block.height <= room:
                return block
            if block is not None and (least is None or block.height < least.height):
                least = block
        return least or Block((), 0.0)

    @property
    def _apart(self) -> float:
        return 1.5 * self.kind.unit

    def _tries(self) -> tuple[tuple[Scale, float, bool], ...]:
        """What is tried one after the other: the scale, the size of the run's codes (0: no run), whether words wrap."""
        huge, large, middle, small = scales(self.kind)
        code, body = self.kind.code_px, self.kind.body_px
        return (
            (huge, code, False),
            (large, code, False),
            (large, body, False),
            (middle, body, False),
            (large, 0.0, False),
            (middle, 0.0, False),
            (small, body, False),
            (small, 0.0, False),
            (middle, body, True),
            (small, body, True),
            (small, 0.0, True),
        )

    def _run(self, size_px: float) -> Block:
        """The place of the run; nothing where it needs too much."""
        high = self.run_high(self.width, size_px) if size_px and self.card.run else 0.0
        return Block((), high, (Shape("run", 0.0, 0.0, self.width, high),)) if high else Block((), 0.0)

    def _lead(self, *, what: bool = False) -> Block:
        if self.led:
            return Block((), 0.0)
        return lead(self.card, self.width, self.kind, what=what)

    def _wide(self, scale: Scale, run: Block, *, wraps: bool) -> Block | None:
        """Everything in columns: sockets at the left, words at the right; None where words would have to wrap.

        The run stands over the sockets of a box, and below the ends of a cable, which show where to plug.
        """
        if any(part.form == "sockets" for part in self.card.sections):
            body = self._beside_plate(scale, wraps=wraps)
            if body is not None or not wraps:
                return None if body is None else one_column([self._lead(), run, body], self._apart)
        plates = self._plates(scale, wraps=wraps)
        if plates is None:
            return None
        return one_column([self._lead(), *plates, run, self._said], self._apart)

    @cached_property
    def _said(self) -> Block:
        """Everything said in words, in two columns."""
        return two_columns(lambda wide: list(self._words(wide)), self.width, 4 * self.kind.unit, self._apart)

    def _column(self) -> Block:
        """Everything in one column, to be scrolled if need be; first what it is and where it goes."""
        scale, roomy = scales(self.kind)[1], self.width >= _ROOMY * self.kind.unit
        run = max((self._run(size) for size in (self.kind.code_px, self.kind.body_px)), key=lambda block: block.height)
        blocks = [
            self._lead(what=not roomy),
            *([run] if roomy else []),
            *(self._plates(scale) or ()),
            *self._words(self.width),
        ]
        return one_column([*blocks, *([] if roomy else [run])], self._apart)

    # -- sockets

    def _rows(self, scale: Scale, *, hops: bool | None = None) -> list[Row]:
        """The rows of all sockets, or of those of hops, or of all others."""
        these = [one for part in self.card.sections if part.form == "sockets" for one in part.connectors]
        chosen = [one for one in these if hops in (None, is_hop(one))]
        return [row_of(one, scale, self.kind, taped=not self.card.name) for one in chosen]

    def _beside_plate(self, scale: Scale, *, wraps: bool) -> Block | None:
        """The plate with its sockets, and the words beside it, the last of them below it where that is lower."""
        kind = self.kind
        rows = self._rows(scale)
        at = columns(rows, _PLATE * self.width, kind, out=True, wraps=wraps)
        if at is None or self.width - at.end < _LEAST_BESIDE * kind.unit:
            return None
        at = replace(at, out=self.width - at.end)
        sockets, taken = plate(rows, at, scale, kind)
        below = [sockets, *self._under(at.end)]
        from_left = at.end + 3 * kind.unit
        near, far = (list(self._words(wide)) for wide in (at.end, self.width - from_left))
        most = len(near) - bool(self.card.history and self.width - from_left < _LEAST_BEFORE * kind.unit)
        best: Block | None = None
        for count in range(most, -1, -1):
            left = one_column([*below, *near[count:]], self._apart)
            right = one_column(far[:count], self._apart)
            both = beside(left, right.moved(0.0, taken + self._apart if taken and right.height else 0.0), from_left)
            if best is None or both.height < best.height - 1:
                best = both
        return best

    def _under(self, width: float) -> Iterator[Block]:
        """What belongs below sockets: which are free, and what to mind."""
        for part in self.card.sections:
            if part.form == "sockets":
                yield words(part.note, width, self.kind.body_px, self.kind, "quiet")
                yield marked(part.caution, width, self.kind.body_px, self.kind, "look")

    def _plates(self, scale: Scale, *, wraps: bool = True) -> list[Block] | None:
        """Sockets and ends of cables where no words stand beside them; None where words would have to wrap."""
        ends = [part for part in self.card.sections if part.form == "end"]
        roomy, blocks = self.width >= _ROOMY * self.kind.unit, []
        if ends and roomy:
            both = both_ends(ends, self.card.end, self.width, scale, self.kind, wraps=wraps)
            if both is None:
                return None
            blocks.append(both)
        elif ends:
            blocks.append(one_below_other(ends, self.card.end, self.width, scale, self.kind))
        for hops in (True, False):
            whole = self._whole_width(hops=hops) if roomy else None
            blocks.append(whole or stacked(self._rows(scale, hops=hops), self.width, scale, self.kind))
        return [*blocks, *self._under(self.width)]

    def _whole_width(self, *, hops: bool) -> Block | None:
        """A plate that has the whole width, as large as goes in; None where its words have no room side by side."""
        tries = [(one, False) for one in scales(self.kind)[1:]]
        for scale, wraps in tries if hops else [*tries, (scales(self.kind)[-1], True)]:
            rows = self._rows(scale, hops=hops)
            out = room_out(rows, self.kind)
            at = columns(rows, self.width - out, self.kind, out=out > 0, wraps=wraps) if rows else None
            if at is not None:
                return plate(rows, replace(at, out=self.width - at.end if out else 0.0), scale, self.kind)[0]
        return None

    # -- words

    def _words(self, width: float) -> Iterator[Block]:
        """What is said in words: how it stands, what to set, power, findings, what was before."""
        kind = self.kind
        if self.led:
            yield one_column(list(standing(self.card, width, kind)), 0.25 * kind.unit)
        for part in self.card.sections:
            if part.form == "words":
                body = section(part.title, part.rows, width, kind, part.status)
                yield one_column([body, marked(part.caution, width, kind.body_px, kind, "look")], 0.0)
        said = {part.caution for part in self.card.sections if part.form in ("words", "sockets")}
        for caution in self.card.cautions:
            if caution not in said:
                yield marked(caution, width, kind.body_px, kind, "look")
        if self.card.findings:
            head = words(tr("findings"), width, kind.code_px, kind, bold=True)
            yield one_column([head, *(self._finding(row, width) for row in self.card.findings)], 0.5 * kind.unit)
        if self.card.history:
            yield section(tr("before"), self.card.history, width, kind)

    def _finding(self, row: FindingRow, width: float) -> Block:
        """A finding: its mark, level and place, what is so; what to do about it where that is to be done here."""
        kind, card = self.kind, self.card
        own = row.where == card.item or any(row.where in (one.line, one.port) for one in card.connectors)
        left = 1.3 * kind.body_px
        said = [
            marked(f"{shown_word(row.level)}  {shown_names(row.where)}", width, kind.body_px, kind, row.level),
            words(row.message, width - left, kind.body_px, kind).moved(left, 0.0),
        ]
        if own and row.level != "note":
            said.append(words(row.remedy, width - left, kind.body_px, kind, "quiet").moved(left, 0.0))
        return one_column(said, 0.0)
