"""Where the line check of a rig stands."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from checkapp.journal.errors import NoJournal
from checkapp.journal.state import LineMark, ShowState
from checkapp.review.summary import counted
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.recording import Recorder, UnknownShow, find_show, open_journal
from checkapp.show.running import words_of
from checkapp.show.walk import said_of

if TYPE_CHECKING:
    from checkapp.show.checking_order import Order
    from checkapp.show.first_lines import Asked, First

_MOST_CHANGES = 4


@dataclass(frozen=True, slots=True)
class Standing:
    """A rig as it runs, the show's name (None when none was made), how many of its checks are over, each line's mark.

    ``again`` are marks that count no more: their lines are to be marked again. ``changes`` are the swaps and moves
    since the plan, ``left_out`` those that do not fit it, in words. ``first`` are the lines to check first, where
    somebody asked for them.
    """

    rig: Rig
    show: str | None
    signed_off: bool
    earlier: int
    marks: dict[str, LineMark]
    again: dict[str, LineMark] = field(default_factory=dict)
    changes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    first: First | None = None

    def count(self, verdict: str | None) -> int:
        """How many lines are marked so; with None, how many are not marked."""
        verdicts = [mark.verdict if (mark := self.marks.get(line.line)) else None for line in self.rig.lines]
        return verdicts.count(verdict)  # type: ignore[arg-type]


def state_of(plan: Path, show: str | None, journal: Path | None, asked: Asked | None = None) -> Standing:
    """Where the check of a show stands, the latest without a name. Nothing is written, and no journal is made.

    With ``asked`` also the lines to check first; `MinutesRefused`, `ImpossibleEvidence`: there are none such.
    """
    rig = load_plan(plan)
    try:
        opened = open_journal(journal, create=False)
    except NoJournal:
        if show is not None:
            raise UnknownShow(f'no show "{show}"; nothing was marked yet in this journal') from None
        return _with_first(Standing(rig, None, False, 0, {}), asked, None, None)
    with opened:
        recorder = Recorder(opened, rig)
        run = recorder.run()
        changes = tuple(map(words_of, run.made))
        found = find_show(recorder.shows(), show)
        if found is None:
            none = Standing(run.rig, None, False, 0, {}, {}, changes, run.left_out)
            return _with_first(none, asked, recorder, None)
        state = recorder.state(found.name)
        earlier = max(0, len(state.checks) - 1)
        standing = Standing(
            run.rig, found.name, state.signed_off, earlier, state.lines, state.again, changes, run.left_out
        )
        return _with_first(standing, asked, recorder, state)


def asked_of(minutes: float | None, order: str | None) -> Asked | None:
    """What is asked for by minutes, one of the orders, or both; None by neither."""
    if minutes is None and order is None:
        return None
    from checkapp.show.first_lines import Asked

    return Asked(cast("Order", order or "likely"), minutes)


def _with_first(found: Standing, asked: Asked | None, recorder: Recorder | None, state: ShowState | None) -> Standing:
    if asked is None:
        return found
    from checkapp.show.first_lines import first_lines
    from checkapp.show.likely_lines import as_new, likely_lines

    chances = likely_lines(recorder, state) if recorder is not None else as_new(found.rig)
    return replace(found, first=first_lines(found.rig, chances, asked, found.again))


def document(found: Standing) -> dict[str, object]:
    """The JSON document of the state."""
    rows: list[dict[str, object]] = []
    for line in found.rig.lines:
        mark = found.marks.get(line.line)
        row: dict[str, object] = {"line": line.line, "name": line.name}
        for key in ("verdict", "symptom", "note", "by", "at"):
            row[key] = getattr(mark, key) if mark else None
        rows.append(row)
    counts = {"ok": found.count("ok"), "faulty": found.count("faulty"), "unmarked": found.count(None)}
    told: dict[str, object] = {"rig": found.rig.name, "show": found.show, "lines": rows, **counts}
    if found.first is None:
        return told
    from checkapp.show import first_lines

    return {**told, **first_lines.document(found.first)}


def text_of(found: Standing) -> list[str]:
    """The state in words: counts, then the lines that are faulty or open."""
    show = f", {found.show}" if found.show else ", no show yet"
    done = ", signed off" if found.signed_off else ""
    counts = f"{found.count('ok')} ok, {found.count('faulty')} faulty, {found.count(None)} open"
    lines = [f"{found.rig.name}{show}{done}: {counts}"]
    if found.earlier:
        lines.append(f"  before this: {counted(found.earlier, 'check')} of the same show, signed off")
    if found.changes:
        latest = (*found.changes[-_MOST_CHANGES:], *_and_more(len(found.changes) - _MOST_CHANGES))
        lines.append(f"  not as planned: {'; '.join(latest)}")
    lines += [f"  left out, {words}" for words in found.left_out]
    for line in found.rig.lines:
        mark = found.marks.get(line.line)
        if mark.verdict == "faulty" if mark else found.first is None:
            word = "open  " if mark is None else "faulty"
            lines.append(f"  {word}  {line.line:<7} {line.name}  {said_of(mark) or _before(found, line.line)}".rstrip())
    if found.first is not None:
        from checkapp.show import first_lines

        lines += first_lines.text_of(found.rig, found.first, signed_off=found.signed_off)
    return lines


def _and_more(count: int) -> list[str]:
    return [f"{count} more before"] if count > 0 else []


def _before(found: Standing, line: str) -> str:
    """What a line was marked before something on its way was repaired, swapped or moved."""
    mark = found.again.get(line)
    return f"again: was {' '.join((mark.verdict, said_of(mark)))}" if mark else ""
