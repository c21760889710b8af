"""What a history comes to, in words: what to retire, to test, to carry, and what was never found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from checkapp.history.carried import carried, not_told
from checkapp.history.tables import seconds_per_line
from checkapp.history.trend import FEWEST, LEVEL
from checkapp.history.worsening import worsening
from checkapp.review.summary import counted
from checkapp.review.wording import sentence
from checkapp.rig.errors import printable
from checkapp.tongue import later, shown_names, shown_word, tr, trn
from checkapp.tongue.numbers import fixed, paper_day, with_sign

if TYPE_CHECKING:
    from checkapp.history.analysis import Advice, History, ItemRow
    from checkapp.history.lives import Tally

NAMED = 6
"""So many are named under a heading; of the others only how many there are."""
NOTHING = later("There is nothing to tell yet: no line was marked in a check, and nothing was repaired or pulled.")
WHAT_TO_DO = later(
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
    exposed = sum(1 for life in tally.lives if life.exposures)
    days = sorted(check.date for check in tally.checks if check.date)
    told = {
        "checks": counted(len(tally.checks), "check"),
        "shows": counted(shows, "show"),
        "items": trn("{count} item in use", "{count} items in use", exposed),
        "faults": trn("{count} fault confirmed", "{count} faults confirmed", len(tally.faults)),
        "never": tr("{count} never confirmed", count=len(tally.unconfirmed)),
    }
    if not days:
        return tr("{checks} of {shows}, {items}: {faults}, {never}.", **told)
    first, last = (paper_day(printable(day, 20)) for day in (days[0], days[-1]))
    if first == last:
        return tr("{checks} of {shows} on {day}, {items}: {faults}, {never}.", day=first, **told)
    return tr("{checks} of {shows} from {first} to {last}, {items}: {faults}, {never}.", first=first, last=last, **told)


def conclusions(history: History, most: int = NAMED) -> tuple[Conclusion, ...]:
    """All conclusions, what is to be done first; under each at most so many are named."""
    return (
        Conclusion(tr("Retire"), _advised(history, "retire", most)),
        Conclusion(tr("Test on the bench"), _advised(history, "bench-test", most)),
        Conclusion(tr("Gets worse"), _worse(history, most)),
        Conclusion(_spares_heading(history), _spares(history)),
        Conclusion(tr("Pulled and not yet back"), _pulled(history, most)),
        Conclusion(tr("Failed again after a repair"), _again(history.tally, most)),
        Conclusion(tr("Never confirmed"), _unconfirmed(history.tally, most)),
        Conclusion(tr("Time"), _time(history.tally)),
    )


def _named(rows: Sequence[str], most: int, none: str = "") -> tuple[str, ...]:
    """The first rows, how many more there are, or that there is none."""
    if not rows:
        return (none or tr("None."),)
    more = len(rows) - most
    if more <= 0:
        return tuple(rows)
    return (*rows[:most], tr("And {count} more, in the workbook and the CSV files.", count=more))


def _advised(history: History, advice: Advice, most: int) -> tuple[str, ...]:
    rows = [f"{_name(row)}: {printable(row.reason)}." for row in history.items if row.advice == advice]
    return _named(rows, most, tr("Nothing."))


def _name(row: ItemRow) -> str:
    return _item_name(row.life.item, row.life.kind)


def _item_name(item: str, kind: str) -> str:
    return f"{shown_names(printable(item, _LONGEST))} ({shown_word(kind)})"


def _worse(history: History, most: int) -> tuple[str, ...]:
    found = worsening(history)
    rows = [
        tr(
            "All of kind {kind}: faults come more often as the tour goes on (p {p}).",
            kind=shown_word(one.row.kind),
            p=_p(one.p),
        )
        for one in found.kinds
    ]
    rows += [
        tr(
            "{item}: its faults came later than evenly over its {checks} checks (p {p}).",
            item=_name(one.row),
            checks=one.row.life.exposures,
            p=_p(one.p),
        )
        for one in found.items
    ]
    lines = _named(rows, most, tr("No item and no kind that could be told."))
    others = found.alone - len(found.items)
    if not others:
        return lines
    told = {
        "asked": trn(
            "{count} item with faults in {fewest} checks or more",
            "{count} items with faults in {fewest} checks or more",
            found.asked,
            fewest=FEWEST,
        ),
        "chance": fixed(found.asked * LEVEL / 2, 1),
    }
    if rows:
        return (*lines, _more_look(others, told))
    return (
        *lines,
        trn(
            "Of {asked} {count} looks so taken alone; by chance about {chance} would.",
            "Of {asked} {count} look so taken alone; by chance about {chance} would.",
            others,
            **told,
        ),
    )


def _more_look(others: int, told: dict[str, str]) -> str:
    return trn(
        "Of {asked} {count} more looks so taken alone; by chance about {chance} would.",
        "Of {asked} {count} more look so taken alone; by chance about {chance} would.",
        others,
        **told,
    )


def _p(value: float) -> str:
    return fixed(value, 3) if value >= LEAST_P else tr("below {value}", value=with_sign(f"{LEAST_P}"))


def _spares_heading(history: History) -> str:
    shows = next((row.shows for row in history.spares), None)
    if shows is None:
        return tr("Spares to carry")
    return trn("Spares to carry for the next {count} show", "Spares to carry for the next {count} shows", shows)


def _spares(history: History) -> tuple[str, ...]:
    rows = carried(history)
    if not rows:
        return (f"{sentence(not_told(history))}.",)
    told = ", ".join(f"{shown_word(row.kind)} {row.count}" for row in rows if row.count)
    none = ", ".join(shown_word(row.kind) for row in rows if row.count == 0)
    unknown = ", ".join(shown_word(row.kind) for row in rows if row.count is None)
    level = with_sign(f"{100 * rows[0].level:g}")
    lines = [tr("Enough with {level} %: {kinds}.", level=level, kinds=told)] if told else []
    if none and told:
        lines.append(tr("None needed: {kinds}.", kinds=none))
    elif none:
        lines.append(tr("None needed, with {level} %: {kinds}.", level=level, kinds=none))
    if unknown:
        lines.append(tr("Not to be told, for want of checks: {kinds}.", kinds=unknown))
    return tuple(lines)


def _pulled(history: History, most: int) -> tuple[str, ...]:
    rows = [row for row in history.items if row.life.pulled_at is not None]
    since = [(_name(row), paper_day(printable(row.life.pulled_at or "", 60)[:10])) for row in rows]
    return _named([tr("{item}, since {day}.", item=item, day=day) for item, day in since], most)


def _again(tally: Tally, most: int) -> tuple[str, ...]:
    counts = Counter((fault.item, fault.kind) for fault in tally.faults if fault.again)
    ranked = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
    rows = [
        trn("{item}: {count} time.", "{item}: {count} times.", count, item=_item_name(*named))
        for named, count in ranked
    ]
    return _named(rows, most)


def _unconfirmed(tally: Tally, most: int) -> tuple[str, ...]:
    if not tally.unconfirmed:
        return (tr("None: each faulty line was cleared by a repair."),)
    first = trn(
        "{count} faulty line that no repair cleared.",
        "{count} faulty lines that no repair cleared.",
        len(tally.unconfirmed),
    )
    lines = Counter((one.rig, one.line) for one in tally.unconfirmed)
    often = [(rig, line, count) for (rig, line), count in lines.most_common(most) if count > 1]
    if not often:
        return (first,)
    one_rig = len({rig for rig, _, _ in often}) == 1
    told = ", ".join(
        tr("{line} ({count} times)", line=_line(line, "" if one_rig else rig), count=count)
        for rig, line, count in often
    )
    if one_rig:
        return (first, tr("Most often in {rig}: {lines}.", rig=printable(often[0][0], _LONGEST), lines=told))
    return (first, tr("Most often: {lines}.", lines=told))


def _line(line: str, rig: str) -> str:
    return printable(tr("{line} of {rig}", line=line, rig=rig) if rig else line, 60)


def _time(tally: Tally) -> tuple[str, ...]:
    took = _middle(check.minutes for check in tally.checks if check.lines > 1)
    each = _middle(seconds_per_line(check) for check in tally.checks)
    stayed = _middle(fault.open_minutes for fault in tally.faults)
    lines = []
    if took is not None and each is not None:
        told = {"minutes": f"{took:.0f}", "seconds": f"{each:.0f}"}
        lines.append(tr("A check took {minutes} minutes, a line {seconds} seconds (middle values).", **told))
    if stayed is not None:
        lines.append(tr("A fault stayed open {long} (middle value).", long=_long(stayed)))
    return tuple(lines) or (tr("Not known."),)


def _middle(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return median(known) if known else None


def _long(minutes: float) -> str:
    if minutes < _SHORT:
        return tr("{seconds} seconds", seconds=f"{60 * minutes:.0f}")
    if minutes < _HOUR_AND_HALF:
        return tr("{minutes} minutes", minutes=f"{minutes:.0f}")
    if minutes < _TWO_DAYS:
        return tr("{hours} hours", hours=fixed(minutes / 60, 1))
    return tr("{days} days", days=fixed(minutes / 1440, 1))
