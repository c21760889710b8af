"""The list of lines on screen: in which order they are walked, how likely each is faulty, how far the minutes go."""

from __future__ import annotations

from dataclasses import dataclass, replace
from operator import attrgetter
from typing import TYPE_CHECKING, Final

from checkapp.journal.state import undo_target
from checkapp.rig.errors import CheckappError
from checkapp.show.checking_order import ORDERS, Order, order_now
from checkapp.show.views import LineRow, LinesView
from checkapp.show.walk import Walk
from checkapp.show.walk_only import ALL, Only, Wanted, names_wanted, only_these, zone_rows, zone_title
from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from collections.abc import Mapping

    from checkapp.journal.state import ShowState
    from checkapp.show.pace import Pace
    from checkapp.show.recording import Recorder

MINUTES: Final = (5.0, 10.0, 15.0)
"""What is offered where time is short. A changeover takes that long (common practice, no source)."""
STARTS_ANEW: Final = frozenset(("likely", "changed"))
"""Orders that are chosen for the lines that they begin with: the walk goes to the first open one."""
_AT: Final = attrgetter("at")


@dataclass(frozen=True, slots=True)
class Going:
    """The order that was chosen, the minutes that there are (None: enough), and the lines in that order.

    ``later`` are the lines that were skipped, ``first`` those that a changeover brought: kept whatever the order.
    ``only`` are the lines that are gone through, None: all.
    """

    order: Order = "list"
    minutes: float | None = None
    names: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    only: Only | None = None

    @property
    def wanted(self) -> Wanted:
        """Which lines are gone through."""
        return ALL if self.only is None else self.only.wanted


def chosen(
    recorder: Recorder, state: ShowState, order: Order, minutes: float | None, at: str, first: tuple[str, ...] = ()
) -> Going:
    """An order, chosen while the walk is at that line. Errors as in `order_now`."""
    return Going(order, minutes, order_now(recorder, state, order, at, first=first), first=first)


def gone_on(recorder: Recorder, state: ShowState, going: Going, later: tuple[str, ...] = ()) -> Going:
    """The order after a mark or a skip: the likeliest faulty may be another line now; all else stays as it was."""
    if going.order != "likely":
        return going
    later = (*going.later, *later)
    try:
        return replace(going, later=later, names=order_now(recorder, state, "likely", later=later))
    except CheckappError:
        return going


def going_by(
    word: str,
    recorder: Recorder,
    state: ShowState,
    at: str,
    first: tuple[str, ...] = (),
    wanted: Wanted = ALL,
) -> Going:
    """The order of that name, as it was kept; by list where there is none of that name or it cannot be told.

    Of the lines those that are ``wanted``.
    """
    only = only_these(recorder.running(), state.lines, wanted)
    order: Order = next((one for one in ORDERS if one == word), "list")
    try:
        return replace(chosen(recorder, state, order, None, at, first), only=only)
    except CheckappError:
        return Going(first=first, only=only)


def walk_at(recorder: Recorder, state: ShowState, title: str, at: str, going: Going, pace: Pace) -> Walk:
    """The walk of a check at a line, or at the first open one where there is no such line."""
    names = going.names or tuple(recorder.rig.lines_by_name)
    line = at
    if line not in names:
        line = next((name for name in names if name not in state.lines), names[0] if names else "")
    undoable = undo_target(state, recorder.journal.device) is not None
    each_s = pace.line_s(tuple(map(_AT, state.marks)))
    return Walk(
        recorder.running(),
        title,
        state.lines,
        line,
        can_undo=undoable,
        order=going.names,
        only=going.only,
        each_s=each_s,
    )


def lines_view(
    recorder: Recorder,
    state: ShowState,
    rows: tuple[LineRow, ...],
    here: str,
    going: Going,
    wanted: Wanted = ALL,
) -> LinesView:
    """The list; ``rows`` are the lines as they are walked. Of the likeliest first only what there is time for.

    Of the rows those that are ``wanted``.
    """
    rig = recorder.running()
    view = _in_order(recorder, state, rows, here, going)
    names = names_wanted(rig, state.lines, wanted)
    listed = tuple(row for row in view.rows if row.line in names)
    words = "" if wanted.which == "all" else walk_words(wanted, len(listed))
    changed = bool(going.first or state.again)
    zones = zone_rows(rig, state.lines)
    return replace(view, rows=listed, wanted=wanted, zones=zones, walk_words=words, changed=changed)


def changed_words(count: int) -> str:
    """That so many lines come first because they changed; nothing for none."""
    if not count:
        return ""
    return trn(
        "{count} line runs otherwise than in the check before: it comes first",
        "{count} lines run otherwise than in the check before: they come first",
        count,
    )


def walk_words(wanted: Wanted, count: int) -> str:
    """That so many lines can be walked on their own, or that there are none."""
    if not count:
        return {"open": tr("No line is open."), "faulty": tr("No line is faulty.")}.get(wanted.which, tr("No lines."))
    if wanted.which == "zone":
        zone = zone_title(wanted.zone)
        return trn("{zone}: walk its {count} line only", "{zone}: walk its {count} lines only", count, zone=zone)
    if wanted.which == "faulty":
        return trn("Walk the {count} faulty line only", "Walk the {count} faulty lines only", count)
    return trn("Walk the {count} open line only", "Walk the {count} open lines only", count)


def _in_order(recorder: Recorder, state: ShowState, rows: tuple[LineRow, ...], here: str, going: Going) -> LinesView:
    if going.order != "likely":
        return LinesView(rows, here, going.order)
    from checkapp.show.first_lines import Asked, count_words, first_lines, unfound_words
    from checkapp.show.likely_lines import likely_lines

    chances = likely_lines(recorder, state)
    first = first_lines(recorder.running(), chances, Asked("likely", going.minutes))
    words = f"{count_words(first)}; {unfound_words(first)}" if first.open else tr("No line is open.")
    in_time = {name for name, _ in first.lines}
    return LinesView(_first_rows(rows, chances, in_time), here, going.order, going.minutes, words)


def _first_rows(rows: tuple[LineRow, ...], chances: Mapping[str, float], in_time: set[str]) -> tuple[LineRow, ...]:
    """The open lines that there is time for, each with its chance, then the marked ones."""
    from checkapp.show.suspects_text import percent

    first = {row.line: replace(row, said=percent(chances[row.line])) for row in rows if row.line in in_time}
    by_chance = sorted(first.values(), key=lambda row: -chances[row.line])
    return (*by_chance, *(row for row in rows if row.line not in chances))
