"""The figures of a history: where the faults were, how sure the rates are, when faults came, the lives of the worst.

Each is a Matplotlib figure with a title that says what it shows; the same in the app and in the report. What is told by
colour is told by shape as well, so that they can be read in grey.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from checkapp.history.figure_parts import (
    LIGHT,
    Inks,
    Plot,
    bars,
    beside,
    diamonds,
    empty,
    lines_beside,
    name_rows,
    name_x,
    plot,
    right_for,
    stroke,
    upright,
    whole_ticks,
)
from checkapp.tongue import shown_names, shown_word, tr, trn
from checkapp.tongue.numbers import paper_day, with_sign

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from checkapp.history.analysis import History, ItemRow
    from checkapp.history.lives import CheckDone, Tally

WORST = 20
"""Items in the figure of rates."""
_PARETO = 12
_LIVES = 12
_ROW = 5.0
"""Height of a row in mm."""
_ROW_OF_TWO = 8.0
"""The same where words beside it take two lines."""
_WIDE = 12.0
"""From this ratio of the highest bound to the lowest rate on the axis of rates is logarithmic."""
_TICKS = 120
"""Up to so many exposures each is a tick of its own."""
_HALF = 0.5
_SUMS_AT = 15.6
"""So many mm right of the axes stand the sums."""
_DATE = 24.0
"""Room for a date in mm."""
_BAR = 0.36
_LEAST_BAR = 1.8
"""Room in mm for a bar that can be seen to be filled or hollow, with the gap beside it."""
_SHOWS_LEFT, _SHOWS_RIGHT = 12.0, 2.0
"""Room beside the bars of shows in mm."""
_STEPS = (1.0, 2.0, 5.0)


def pareto_by_kind(history: History, inks: Inks = LIGHT) -> Figure:
    """Confirmed faults by kind of item, most first, and what part of all they add up to."""
    counts = [(row.kind, row.faults) for row in history.kinds if row.faults]
    return _pareto("kind", sorted(counts, key=lambda pair: -pair[1]), sum(row.faults for row in history.kinds), inks)


def pareto_by_item(history: History, inks: Inks = LIGHT) -> Figure:
    """Confirmed faults of the items that had most, and what part of all they add up to."""
    counts = [(row.life.item, len(row.life.faults)) for row in history.items if row.life.faults]
    ranked = sorted(counts, key=lambda pair: (-pair[1], pair[0]))
    return _pareto("item", ranked, sum(count for _, count in counts), inks)


def _pareto(by: str, ranked: Sequence[tuple[str, int]], total: int, inks: Inks) -> Figure:
    items = by == "item"
    title = tr("Faults by item, most first") if items else tr("Faults by kind, most first")
    if not ranked:
        return empty(title, tr("No fault was found and repaired."), inks)
    sums = list(accumulate(count for _, count in ranked))
    half = next(number for number, so_far in enumerate(sums, 1) if 2 * so_far >= total)
    shown = ranked[:_PARETO]
    if items:
        holds = trn(
            "{count} item has at least half of the {total} faults",
            "{count} items have at least half of the {total} faults",
            half,
            total=total,
        )
    else:
        holds = trn(
            "{count} kind has at least half of the {total} faults",
            "{count} kinds have at least half of the {total} faults",
            half,
            total=total,
        )
    if len(ranked) > len(shown):
        rest = total - sums[len(shown) - 1]
        holds += "; " + tr("{count} more have {faults}", count=len(ranked) - len(shown), faults=rest)
    under = f"{holds}. {tr('Right: faults, and the part of all down to that row.')}"
    drawn = plot(title, _ROW * len(shown), inks, under=under)
    name_rows(drawn, [shown_names(name) if items else shown_word(name) for name, _ in shown])
    bars(drawn, [count for _, count in shown])
    for row, (_, count) in enumerate(shown):
        beside(drawn, row, f"{count}", quiet=False)
        beside(drawn, row, _part(sums[row], total), _SUMS_AT)
    _count_axis(drawn, shown[0][1])
    name_x(drawn, tr("confirmed faults"))
    return drawn.finished()


def _part(count: int, total: int) -> str:
    return f"{100 * count / total:.0f} %" if 200 * count >= total else tr("under 1 %")


def _count_axis(drawn: Plot, most: float) -> None:
    drawn.axes.set_xlim(0, most)
    ticks = whole_ticks(most, drawn.parts)
    drawn.axes.set_xticks(ticks, [with_sign(f"{tick:g}") for tick in ticks])


def rates(history: History, inks: Inks = LIGHT, most: int = WORST) -> Figure:
    """The rates of the worst items as dots, their central 90 % as strokes, the rate of the kind as a tick."""
    rows = [row for row in history.items if row.rate is not None][:most]
    many = len(rows)
    title = tr("How often the worst {count} items fail", count=many) if many > 1 else tr("How often an item fails")
    if not rows:
        return empty(tr("How often items fail"), tr("No item was in a check."), inks)
    under = tr(
        "Dot: rate of the item. Stroke: its central 90 %. Upright tick: rate of its kind. Right: faults in checks."
    )
    said = [
        tr(
            "{faults} in {checks}, {advice}",
            faults=len(row.life.faults),
            checks=row.life.exposures,
            advice=shown_word(row.advice),
        )
        for row in rows
    ]
    right = right_for(inks, said)
    drawn = plot(title, _row_for(said, right, _ROW) * len(rows), inks, under=under, right=right)
    kinds = {row.kind: row.rate for row in history.kinds}
    name_rows(drawn, [shown_names(row.life.item) for row in rows])
    least = _rate_axis(drawn, rows, [kinds.get(row.life.kind) for row in rows])
    for number, row in enumerate(rows):
        low, high, rate = (max(value or 0.0, least) for value in (row.low, row.high, row.rate))
        upright(drawn, drawn.axes.get_xlim()[0], (number, number), inks.faint)
        stroke(drawn, (low, high), (number, number), inks.text, 1.2)
        if (kind := kinds.get(row.life.kind)) is not None:
            stroke(drawn, (kind, kind), (number - 0.36, number + 0.36), inks.quiet, 1.6)
        _dot(drawn, rate, number)
        beside(drawn, number, said[number])
    name_x(drawn, tr("faults per check") if least == 0 else tr("faults per check, logarithmic"))
    return drawn.finished()


def _row_for(said: Sequence[str], right: float, least: float) -> float:
    """Height of the rows in mm with these words beside them."""
    return least if all(len(lines_beside(words, right)) == 1 for words in said) else _ROW_OF_TWO


def _dot(drawn: Plot, x: float, y: float) -> None:
    drawn.axes.plot([x], [y], "o", markersize=4.6, color=drawn.inks.text, clip_on=False, zorder=4)


def _rate_axis(drawn: Plot, rows: Sequence[ItemRow], kinds: Sequence[float | None]) -> float:
    """Level for rates near each other, else logarithmic; its least value, below which strokes are cut."""
    means = [rate for rate in (*(row.rate for row in rows), *kinds) if rate]
    highest = max(row.high or 0.0 for row in rows)
    highest = max(highest, *means)
    if highest <= _WIDE * min(means):
        ticks = _parted(highest, drawn.parts)
        drawn.axes.set_xlim(0.0, max(highest, ticks[-1]))
        least = 0.0
    else:
        drawn.axes.set_xscale("log")
        least = min(means) / 3
        steps = _STEPS if highest < 300 * least and not drawn.inks.narrow else (1.0,)
        drawn.axes.set_xlim(least, highest)
        powers = [step * 10.0**power for power in range(-12, 4) for step in steps]
        ticks = [tick for tick in powers if least <= tick <= highest]
    drawn.axes.set_xticks(ticks, [with_sign(f"{tick:.6g}") for tick in ticks])
    for tick in ticks:
        upright(drawn, tick, (-0.5, len(rows) - 0.5), drawn.inks.faint)
    return least


def _parted(highest: float, parts: int) -> list[float]:
    """Round values from 0 that part an axis, at most one more than ``parts``."""
    step = next(one * 10.0**power for power in range(-9, 9) for one in _STEPS if highest / (one * 10.0**power) <= parts)
    return [step * number for number in range(int(highest / step) + 1)]


@dataclass(slots=True)
class ShowCount:
    """A show: when it was, the faults that were repaired in it, the faulty lines that no repair cleared."""

    show: str
    date: str
    confirmed: int = 0
    unconfirmed: int = 0


def shows_of(tally: Tally) -> list[ShowCount]:
    """The shows by date with their faults; a fault at a show without a check has one of its own."""
    starts: dict[tuple[str, str], list[CheckDone]] = {}
    for check in sorted(tally.checks, key=lambda one: one.at):
        starts.setdefault((check.rig, check.show), []).append(check)
    found: dict[tuple[str, str, str], ShowCount] = {}
    for check in tally.checks:
        found.setdefault((check.rig, check.show, check.date), ShowCount(check.show, check.date))

    def counted(rig: str, show: str, at: str) -> ShowCount:
        checks = starts.get((rig, show), [])
        before = bisect_right(checks, at, key=lambda check: check.at)
        date = checks[max(before - 1, 0)].date if checks else at[:10]
        return found.setdefault((rig, show, date), ShowCount(show, date))

    for fault in tally.faults:
        counted(fault.rig, fault.show, fault.at).confirmed += 1
    for line in tally.unconfirmed:
        counted(line.rig, line.show, line.at).unconfirmed += 1
    return sorted(found.values(), key=lambda one: one.date)


def by_show(history: History, inks: Inks = LIGHT) -> Figure:
    """Faults of each show in the order of the tour: filled bars confirmed, hollow ones above never confirmed.

    Where there are more shows than bars that can be told apart, a bar is of several.
    """
    shows = shows_of(history.tally)
    if not shows:
        return empty(tr("Faults in each show, in the order of the tour"), tr("There was no show."), inks)
    each = -(-len(shows) // int((inks.width - _SHOWS_LEFT - _SHOWS_RIGHT) / _LEAST_BAR))
    if each == 1:
        title = tr("Faults in each show, in the order of the tour")
        along = tr("date of the show; upward: faults per show")
    else:
        title = tr("Faults in every {count} shows, in the order of the tour", count=each)
        along = tr("date of the first show; upward: faults per {count} shows", count=each)
    under = tr("Filled: confirmed by a repair that cleared them. Hollow, above: faulty lines that no repair cleared.")
    under += _last_bar(len(shows), each)
    drawn = plot(title, 46.0, inks, under=under, left=_SHOWS_LEFT, right=_SHOWS_RIGHT)
    _bars_of(drawn, _together(shows, each))
    name_x(drawn, along)
    return drawn.finished()


def _last_bar(shows: int, each: int) -> str:
    last = shows % each
    return " " + tr("The last bar is of {count} only.", count=last) if last else ""


def _together(shows: Sequence[ShowCount], each: int) -> list[ShowCount]:
    """So many at a time as one, with the name and date of the first of them."""
    groups = [shows[first : first + each] for first in range(0, len(shows), each)]
    return [
        ShowCount(
            group[0].show,
            group[0].date,
            sum(one.confirmed for one in group),
            sum(one.unconfirmed for one in group),
        )
        for group in groups
    ]


def _bars_of(drawn: Plot, shows: Sequence[ShowCount]) -> None:
    most = max(one.confirmed + one.unconfirmed for one in shows)
    drawn.axes.set_xlim(-_HALF, max(len(shows), 8) - _HALF)
    drawn.axes.set_ylim(0, max(most, 1))
    ticks = whole_ticks(max(most, 1))
    drawn.axes.set_yticks(ticks, [with_sign(f"{tick:g}") for tick in ticks])
    for tick in ticks[1:]:
        drawn.axes.axhline(tick, color=drawn.inks.faint, linewidth=0.5, zorder=0)
    _show_bars(drawn, shows)
    step = -(-len(shows) // max(1, int(drawn.wide / _DATE)))
    drawn.axes.set_xticks(range(0, len(shows), step), [paper_day(one.date) for one in shows[::step]])


def _show_bars(drawn: Plot, shows: Sequence[ShowCount]) -> None:
    from matplotlib.patches import Rectangle

    for x, one in enumerate(shows):
        inks = drawn.inks
        for low, count, fill in ((0, one.confirmed, inks.quiet), (one.confirmed, one.unconfirmed, inks.ground)):
            if count:
                where = (x - _BAR, low)
                patch = Rectangle(where, 2 * _BAR, count, facecolor=fill, edgecolor=inks.quiet, linewidth=0.6)
                patch.set_clip_on(False)
                drawn.axes.add_patch(patch)


def lives(history: History, inks: Inks = LIGHT, most: int = _LIVES) -> Figure:
    """The lives of the worst items: each check a tick, each fault a diamond."""
    rows = [row for row in history.items if row.life.faults and row.life.exposures][:most]
    if not rows:
        return empty(tr("The lives of the worst items"), tr("No item failed."), inks)
    longest = max(row.life.exposures for row in rows)
    single, many = longest <= _TICKS, len(rows)
    ticks = tr("Tick: a check that the item was in.") if single else tr("Stroke: the checks that the item was in.")
    title = (
        tr("The lives of the worst {count} items", count=many) if many > 1 else tr("The life of the item that failed")
    )
    under = f"{ticks} {tr('Diamond: a fault. Right: its trend, if it can be told.')}"
    said = [_trend_words(row) for row in rows]
    right = right_for(inks, said)
    drawn = plot(title, _row_for(said, right, 1.2 * _ROW) * len(rows), inks, under=under, right=right)
    name_rows(drawn, [shown_names(row.life.item) for row in rows])
    drawn.axes.set_xlim(0, longest)
    for number, row in enumerate(rows):
        _life(drawn, number, row, single=longest <= _TICKS)
        beside(drawn, number, said[number])
    at = whole_ticks(longest, drawn.parts)
    drawn.axes.set_xticks(at, [with_sign(f"{tick:g}") for tick in at])
    name_x(drawn, tr("checks of the item since its first"))
    return drawn.finished()


def _life(drawn: Plot, number: int, row: ItemRow, *, single: bool) -> None:
    life = row.life
    stroke(drawn, (0, life.exposures), (number, number), drawn.inks.quiet, 0.8)
    if single:
        middles = [k - _HALF for k in range(1, life.exposures + 1)]
        drawn.axes.vlines(middles, number - 0.16, number + 0.16, color=drawn.inks.quiet, linewidth=0.6, clip_on=False)
    for exposure, many in sorted(Counter(life.faults).items()):
        diamonds(drawn, [exposure - _HALF], [number], 8.0 if single else 5.0)
        if many > 1:
            drawn.axes.annotate(
                f"{many}", (exposure - _HALF, number), (4, 2.5), textcoords="offset points", fontsize=6.5
            )


def _trend_words(row: ItemRow) -> str:
    """Its trend, if it can be told, and whether it is out."""
    words = [] if row.trend.p is None else [shown_word(row.trend.word)]
    return ", ".join(words + [tr("pulled")] * (row.life.pulled_at is not None))


def all_figures(history: History, inks: Inks = LIGHT) -> tuple[Figure, ...]:
    """All figures in the order of the report."""
    return tuple(one(history, inks) for one in (pareto_by_kind, pareto_by_item, lives, rates, by_show))
