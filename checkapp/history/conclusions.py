"""What a history comes to, in words: what to retire, to test, to carry, and what was never found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from checkapp.history.carried import carried, not_told
from checkapp.history.printed import ELSEWHERE
from checkapp.history.tables import seconds_per_line
from checkapp.history.trend import FEWEST, LEVEL
from checkapp.history.worsening import worsening
from checkapp.review.summary import counted
from checkapp.rig.errors import printable

if TYPE_CHECKING:
    from checkapp.history.analysis import Advice, History, ItemRow
    from checkapp.history.lives import Tally

NAMED = 6
"""So many are named under a heading; of the others only how many there are."""
NOTHING = "There is nothing to tell yet: no line was marked in a check, and nothing was repaired or pulled."
WHAT_TO_DO = (
    "Mark lines in a check, or bring old records in with `checkapp journal import FILE`, and ask for the history again."
)
LEAST_P = 0.001
"""A smaller probability is not printed."""
_LONGEST = 40
_SHORT, _HOUR_AND_HALF, _TWO_DAYS = 2, 90, 2 * 1440


@dataclass(frozen=True, slots=True)
class Conclusion:
    """A heading and what there is to say under it, a line each."""

    heading: str
    lines: tuple[str, ...]


def is_empty(history: History) -> bool:
    """Whether nothing happened that could be told of."""
    tally = history.tally
    happened = (life.exposures or life.faults or life.pulled_at or life.bench is not None for life in tally.lives)
    return not (tally.faults or tally.unconfirmed or tally.checks or any(happened))


def headline(history: History) -> str:
    """How many shows, checks, items and faults there were, and from when to when."""
    tally = history.tally
    shows = len({(check.rig, check.show, check.date) for check in tally.checks})
    days = sorted(check.date for check in tally.checks if check.date)
    when = _from_to(printable(days[0], 20), printable(days[-1], 20)) if days else ""
    exposed = sum(1 for life in tally.lives if life.exposures)
    counts = (
        f"{counted(len(tally.checks), 'check')} of {counted(shows, 'show')}{when}, {counted(exposed, 'item')} in use"
    )
    return f"{counts}: {counted(len(tally.faults), 'fault')} confirmed, {len(tally.unconfirmed)} never confirmed."


def _from_to(first: str, last: str) -> str:
    return f" on {first}" if first == last else f" from {first} to {last}"


def conclusions(history: History, most: int = NAMED) -> tuple[Conclusion, ...]:
    """All conclusions, what is to be done first; under each at most so many are named."""
    return (
        Conclusion("Retire", _advised(history, "retire", most)),
        Conclusion("Test on the bench", _advised(history, "bench-test", most)),
        Conclusion("Gets worse", _worse(history, most)),
        Conclusion(f"Spares to carry{_leg(history)}", _spares(history)),
        Conclusion("Pulled and not yet back", _pulled(history, most)),
        Conclusion("Failed again after a repair", _again(history.tally, most)),
        Conclusion("Never confirmed", _unconfirmed(history.tally, most)),
        Conclusion("Time", _time(history.tally)),
    )


def _named(rows: Sequence[str], most: int, none: str = "None.") -> tuple[str, ...]:
    """The first rows, how many more there are, or that there is none."""
    if not rows:
        return (none,)
    more = len(rows) - most
    return (*rows[:most], f"And {more} more, {ELSEWHERE}.") if more > 0 else tuple(rows)


def _advised(history: History, advice: Advice, most: int) -> tuple[str, ...]:
    rows = [f"{_name(row)}: {printable(row.reason)}." for row in history.items if row.advice == advice]
    return _named(rows, most, "Nothing.")


def _name(row: ItemRow) -> str:
    return f"{printable(row.life.item, _LONGEST)} ({row.life.kind})"


def _worse(history: History, most: int) -> tuple[str, ...]:
    found = worsening(history)
    rows = [
        f"All of kind {one.row.kind}: faults come more often as the tour goes on (p {_p(one.p)})."
        for one in found.kinds
    ]
    rows += [
        f"{_name(one.row)}: its faults came later than evenly over its {one.row.life.exposures} checks (p {_p(one.p)})."
        for one in found.items
    ]
    lines = _named(rows, most, "No item and no kind that could be told.")
    others = found.alone - len(found.items)
    if not others:
        return lines
    asked = f"{counted(found.asked, 'item')} with faults in {FEWEST} checks or more"
    look = f"{others}{' more' if rows else ''} {'looks' if others == 1 else 'look'} so taken alone"
    return (*lines, f"Of {asked} {look}; by chance about {found.asked * LEVEL / 2:.1f} would.")


def _p(value: float) -> str:
    return f"{value:.3f}" if value >= LEAST_P else f"below {LEAST_P}"


def _leg(history: History) -> str:
    return next((f" for the next {counted(row.shows, 'show')}" for row in history.spares), "")


def _spares(history: History) -> tuple[str, ...]:
    rows = carried(history)
    if not rows:
        return (f"{not_told(history).capitalize()}.",)
    told = [f"{row.kind} {row.count}" for row in rows if row.count]
    none = [row.kind for row in rows if row.count == 0]
    unknown = [row.kind for row in rows if row.count is None]
    level = f"{100 * rows[0].level:g} %"
    lines = [f"Enough with {level}: {', '.join(told)}."] if told else []
    if none:
        lines.append(f"None needed{'' if told else f', with {level}'}: {', '.join(none)}.")
    if unknown:
        lines.append(f"Not to be told, for want of checks: {', '.join(unknown)}.")
    return tuple(lines)


def _pulled(history: History, most: int) -> tuple[str, ...]:
    rows = [row for row in history.items if row.life.pulled_at is not None]
    return _named([f"{_name(row)}, since {printable(row.life.pulled_at or '', 60)[:10]}." for row in rows], most)


def _again(tally: Tally, most: int) -> tuple[str, ...]:
    counts = Counter((fault.item, fault.kind) for fault in tally.faults if fault.again)
    ranked = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
    return _named([f"{printable(item, _LONGEST)} ({kind}): {counted(n, 'time')}." for (item, kind), n in ranked], most)


def _unconfirmed(tally: Tally, most: int) -> tuple[str, ...]:
    if not tally.unconfirmed:
        return ("None: each faulty line was cleared by a repair.",)
    first = f"{counted(len(tally.unconfirmed), 'faulty line')} that no repair cleared."
    lines = Counter((one.rig, one.line) for one in tally.unconfirmed)
    often = [(rig, line, count) for (rig, line), count in lines.most_common(most) if count > 1]
    if not often:
        return (first,)
    rigs = {rig for rig, _, _ in often}
    where = f" in {printable(often[0][0], _LONGEST)}" if len(rigs) == 1 else ""
    told = (f"{_line(line, '' if where else rig)} ({count} times)" for rig, line, count in often)
    return (first, f"Most often{where}: {', '.join(told)}.")


def _line(line: str, rig: str) -> str:
    return printable(f"{line} of {rig}" if rig else line, 60)


def _time(tally: Tally) -> tuple[str, ...]:
    took = _middle(check.minutes for check in tally.checks if check.lines > 1)
    each = _middle(seconds_per_line(check) for check in tally.checks)
    stayed = _middle(fault.open_minutes for fault in tally.faults)
    lines = []
    if took is not None and each is not None:
        lines.append(f"A check took {took:.0f} minutes, a line {each:.0f} seconds (middle values).")
    if stayed is not None:
        lines.append(f"A fault stayed open {_long(stayed)} (middle value).")
    return tuple(lines) or ("Not known.",)


def _middle(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return median(known) if known else None


def _long(minutes: float) -> str:
    if minutes < _SHORT:
        return f"{60 * minutes:.0f} seconds"
    if minutes < _HOUR_AND_HALF:
        return f"{minutes:.0f} minutes"
    return f"{minutes / 60:.1f} hours" if minutes < _TWO_DAYS else f"{minutes / 1440:.1f} days"
