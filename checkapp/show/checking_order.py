"""The order in which the lines of a check are walked: by list, by place, backwards, the likeliest faulty or
what changed first.

It can be chosen at any moment: what was marked stays marked.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Final, Literal, get_args

from checkapp.rig.errors import CheckappError
from checkapp.show.stage_walk import stage_walk
from checkapp.tongue import later, tr

if TYPE_CHECKING:
    from checkapp.journal.state import ShowState
    from checkapp.rig.rig import Rig
    from checkapp.show.recording import Recorder

Order = Literal["list", "walk", "reverse", "likely", "changed"]
ORDERS: Final[tuple[Order, ...]] = get_args(Order)
WORDS: Final[Mapping[Order, str]] = {
    "list": later("by list"),
    "walk": later("by place, on a short walk"),
    "reverse": later("backwards"),
    "likely": later("likeliest faulty first"),
    "changed": later("changed lines first"),
}
"""The orders in words."""
_DIGITS = 12
"""Chances that differ by less than the last of so many digits are taken as the same."""


class MinutesRefused(CheckappError):
    """A time to check in that is none."""


def lines_in_order(
    rig: Rig,
    order: Order,
    marked: Collection[str] = (),
    chances: Mapping[str, float] | None = None,
    at: str | None = None,
    later: Collection[str] = (),
    first: Collection[str] = (),
) -> tuple[str, ...]:
    """The names of all lines of the rig in the order in which they are walked.

    By list and backwards all of them, marked or not; what changed first: those of ``first`` as in the list, then the
    others, marked or not. By place and by chance the ``marked`` ones come first, as in the
    list, and then the open ones: a walk that starts where the line ``at`` is (None: at the desk), or by falling chance
    of being faulty as ``chances`` has it, those alike as in the list. Open lines left for ``later`` come last.
    """
    names = tuple(rig.lines_by_name)
    if order == "list":
        return names
    if order == "reverse":
        return names[::-1]
    if order == "changed":
        return tuple(sorted(names, key=lambda name: name not in first))
    done, left = [name for name in names if name in marked], [name for name in names if name not in marked]
    if order == "walk":
        walked = stage_walk(rig, [name for name in left if name not in later], at)
        return (*done, *walked, *stage_walk(rig, [name for name in left if name in later], at))
    known = chances or {}
    return (*done, *sorted(left, key=lambda name: (name in later, -round(known.get(name, 0.0), _DIGITS))))


def order_now(
    recorder: Recorder,
    state: ShowState,
    order: Order,
    at: str | None = None,
    later: Collection[str] = (),
    first: Collection[str] = (),
) -> tuple[str, ...]:
    """The names of all lines of a check in the order in which they are walked now; arguments as in `lines_in_order`.

    What changed are those of ``first`` and those that are open again because of a change.

    `ImpossibleEvidence`, with the likeliest first: the marks cannot all be true with the plan's chances.
    """
    chances = None
    if order == "likely":
        from checkapp.show.likely_lines import likely_lines

        chances = likely_lines(recorder, state)
    return lines_in_order(recorder.running(), order, state.lines, chances, at, later, {*first, *state.again})


def in_time(lines: Sequence[str], minutes: float | None, line_minutes: float) -> tuple[str, ...]:
    """The first of the lines that can be checked in so many minutes, each taking ``line_minutes``; None: all.

    `MinutesRefused`: not above 0, without end, or no number.
    """
    if minutes is None:
        return tuple(lines)
    if not 0 < minutes < math.inf:
        raise MinutesRefused(tr("minutes are {minutes}; give a time above 0, as 10 or 2.5", minutes=f"{minutes:g}"))
    count = minutes / line_minutes + 1e-9
    return tuple(lines) if count >= len(lines) else tuple(lines[: math.floor(count)])
