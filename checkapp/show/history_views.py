"""The history on screen: the worst items first with what is advised and why, and an item's whole life."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from checkapp.history.carried import carried
from checkapp.review.summary import counted
from checkapp.show.clock import local_time
from checkapp.tongue import later, shown_names, shown_word, tr
from checkapp.tongue.numbers import day, number, with_sign

if TYPE_CHECKING:
    from checkapp.history.analysis import History, ItemRow, KindRow, SparesRow
    from checkapp.history.lives import BenchDone, CheckDone, FaultMade

ALL: Final = later("all")
"""The filter that lets every kind through."""
ALL_TIME: Final = later("all time")
PERIODS: Final[dict[str, int | None]] = {ALL_TIME: None, later("1 year"): 365, later("30 days"): 30}
"""The periods that can be chosen, in days up to today."""
MOST_ROWS: Final = 300
"""So many items are listed, the worst ones; all of them are in the reports."""
_ADVICE: Final = {"retire": "faulty", "bench-test": "look", "keep": "ok"}


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is looked at: a kind of item or all, and either one show, by name, or a period."""

    kind: str = ALL
    show: str = ""
    period: str = ALL_TIME


@dataclass(frozen=True, slots=True)
class ShowChoice:
    """A show that can be chosen: when it was, where, its checks and faults in words."""

    show: str
    detail: str


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """An item: its faults of its checks, how surely it is worse than its kind, what is advised and why."""

    item: str
    title: str
    faults: str
    bad: float
    advice: str
    status: str
    reason: str
    trend: str


@dataclass(frozen=True, slots=True)
class HistoryView:
    """The history screen: a summary, the kinds and periods that can be chosen, the items of what is, worst first."""

    summary: str
    kinds: tuple[str, ...]
    chosen: Chosen
    rows: tuple[HistoryRow, ...]
    totals: tuple[str, ...]
    left_out: int
    periods: tuple[str, ...] = tuple(PERIODS)


@dataclass(frozen=True, slots=True)
class LifeView:
    """An item's whole life: what it comes to in words, and what happened, latest first, as time and words."""

    item: str
    title: str
    status: str
    lines: tuple[str, ...]
    events: tuple[tuple[str, str], ...]


def history_view(found: History, chosen: Chosen = Chosen()) -> HistoryView:
    """The worst items first, of the kind that is chosen or of all; ``found`` is of the show or period."""
    kind = chosen.kind
    kinds = tuple(dict.fromkeys((ALL, *(row.kind for row in found.kinds), kind)))
    items = [row for row in found.items if kind in (ALL, row.life.kind) and (row.life.exposures or row.life.faults)]
    totals = [_kind_words(row) for row in found.kinds if kind in (ALL, row.kind)]
    totals += [_spares_words(row) for row in carried(found) if row.count and kind in (ALL, row.kind)]
    rows = tuple(_row(row) for row in items[:MOST_ROWS])
    return HistoryView(_summary(found, chosen), kinds, chosen, rows, tuple(totals), max(0, len(items) - MOST_ROWS))


def shows_of(found: History) -> tuple[ShowChoice, ...]:
    """The shows that were checked or repaired at, latest first, each name once."""
    checks: dict[str, list[CheckDone]] = {}
    for check in reversed(found.tally.checks):
        checks.setdefault(check.show, []).append(check)
    faults = Counter(fault.show for fault in found.tally.faults)
    return tuple(ShowChoice(show, _show_words(done, faults[show])) for show, done in checks.items() if show)


def _show_words(checks: list[CheckDone], faults: int) -> str:
    latest = checks[0]
    counts = f"{counted(len(checks), 'check')}, {counted(faults, 'confirmed fault')}"
    return ", ".join(filter(None, (day(latest.date or ""), latest.venue, counts)))


def _summary(found: History, chosen: Chosen) -> str:
    tally = found.tally
    if not tally.checks and chosen.period != ALL_TIME:
        year = PERIODS.get(chosen.period) == 365
        return tr("Nothing was checked in the last year.") if year else tr("Nothing was checked in the last 30 days.")
    if not tally.checks:
        return tr("Nothing was checked yet: marks and repairs make the history.")
    shows = len({(check.rig, check.show) for check in tally.checks})
    faults = counted(len(tally.faults), "confirmed fault")
    checks = counted(len(tally.checks), "check")
    words = tr("{checks} of {shows}, {faults}", checks=checks, shows=counted(shows, "show"), faults=faults)
    never = len(tally.unconfirmed)
    return f"{words}, {tr('{count} never confirmed', count=never)}" if never else words


def _row(row: ItemRow) -> HistoryRow:
    life = row.life
    return HistoryRow(
        item=life.item,
        title=_titled(life.item, row.advice),
        faults=tr("{value} of {limit}", value=len(life.faults), limit=life.exposures),
        bad=row.bad,
        advice=row.advice,
        status=_ADVICE[row.advice],
        reason=row.reason,
        trend=_trend_words(row),
    )


def _titled(item: str, advice: str) -> str:
    name = shown_names(item)
    return name if advice == "keep" else f"{name}, {shown_word(advice)}"


def _trend_words(row: ItemRow) -> str:
    words = {"worse": tr("getting worse"), "better": tr("getting better")}.get(row.trend.word, "")
    out = tr("pulled, not back") if row.life.pulled_at is not None else ""
    return ", ".join(filter(None, (words, out)))


def _kind_words(row: KindRow) -> str:
    told = {"kind": shown_word(row.kind), "items": counted(row.items, "item"), "faults": counted(row.faults, "fault")}
    if row.rate is None:
        return tr("{kind}: {items}, {faults}, not known of one", **told)
    return tr("{kind}: {items}, {faults}, {rate} faults in 100 checks of one", **told, rate=_figure(100 * row.rate))


def _figure(value: float) -> str:
    return with_sign(f"{value:.2g}")


def _spares_words(row: SparesRow) -> str:
    return tr(
        "spares, {kind}: {count} for {shows} shows are enough with {level} %",
        kind=shown_word(row.kind),
        count=row.count,
        shows=row.shows,
        level=f"{100 * row.level:.0f}",
    )


def life_view(found: History, item: str) -> LifeView:
    """An item's whole life. KeyError: the history has no such item."""
    row = next((one for one in found.items if one.life.item == item), None)
    if row is None:
        raise KeyError(item)
    return LifeView(
        item,
        f"{shown_names(item)}, {shown_word(row.life.kind)}",
        _ADVICE[row.advice],
        tuple(_life_lines(row)),
        tuple(_events(found, row)),
    )


def _life_lines(row: ItemRow) -> list[str]:
    life = row.life
    lines = [f"{shown_word(row.advice)}: {row.reason}"]
    if row.rate is not None and row.low is not None and row.high is not None:
        rate, low, high = (_figure(100 * value) for value in (row.rate, row.low, row.high))
        known = {"rate": rate, "low": low, "high": high}
        lines.append(tr("about {rate} faults in 100 checks; nine times in ten it is {low} to {high}", **known))
    if row.trend.p is not None:
        lines.append(tr("trend: {trend}", trend=shown_word(row.trend.word)))
    if life.bench is not None:
        lines.append(_bench(life.bench))
    if life.first_at:
        lines.append(
            tr("first checked {first}, last {last}", first=local_time(life.first_at), last=local_time(life.last_at))
        )
    return lines


def _events(found: History, row: ItemRow) -> list[tuple[str, str]]:
    events = [(fault.at, _fault_words(fault)) for fault in found.tally.faults if fault.item == row.life.item]
    events += [(test.at, _bench_words(test)) for test in found.tally.benched if test.item == row.life.item]
    if row.life.pulled_at is not None:
        events.append((row.life.pulled_at, tr("tagged and pulled")))
    return [(local_time(at), words) for at, words in sorted(events, reverse=True)]


def _bench_words(test: BenchDone) -> str:
    ohms = "" if test.ohms is None else f"{number(test.ohms, 6)} ohm"
    return ", ".join(filter(None, (_bench(test.passed), ohms, test.by)))


def _bench(passed: bool) -> str:
    return tr("on the bench: passed") if passed else tr("on the bench: failed")


def _fault_words(fault: FaultMade) -> str:
    heard = ", ".join(shown_word(word) for word in dict.fromkeys(fault.symptoms)) or shown_word("faulty")
    done = shown_word(fault.action)
    if fault.put_in:
        done = tr("{action} for {item}", action=done, item=fault.put_in)
    again = tr("again") if fault.again else ""
    return ", ".join(filter(None, (again, heard, ", ".join(fault.lines[:3]), done, fault.show, fault.by)))
