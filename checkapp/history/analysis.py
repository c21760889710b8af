"""What a tally comes to: rates and trends of items, advice with its reason, kinds, spares for the next leg."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from checkapp.diagnose.chances import PRIOR
from checkapp.history.few_bad import FewBad
from checkapp.history.growth import Growth, growth
from checkapp.history.many import above_of, rates_of
from checkapp.history.rates import Count, Pool, near
from checkapp.history.spares import spares
from checkapp.history.trend import Trend, trend
from checkapp.rig.words import ITEM_KINDS
from checkapp.tongue import tr, trn
from checkapp.tongue.numbers import fixed

if TYPE_CHECKING:
    from checkapp.history.lives import Life, Tally
    from checkapp.rig.words import ItemKind

Advice = Literal["retire", "bench-test", "keep"]
LEG_SHOWS = 20
"""Shows of the next leg that spares are reckoned for."""
LEVEL = 0.95
"""The probability with which spares are to be enough."""
ODD = 0.025
"""An item stands out when one of its kind that is not bad has as many faults with at most this probability.

What is not known of the kind makes such a tail longer than it is, and faults come in whole numbers: so it is that
fewer than 2 in 100 good items stand out. A choice, no source.
"""
ODD_AND_WORSE = 0.1
"""The same for one that fails more often of late. A choice, no source."""
FAR_ABOVE = 2.0
"""An item is bad when its rate is so many times that of its kind. A choice, no source."""
RETIRE = 0.8
"""One that stands out is retired from this probability of being bad on. A choice, no source."""
_TWICE = 2
_AS_OFTEN, _ROUND = 1.05, 10.0
"""Below the one an item fails about as often as its kind; from the other on no decimals are said."""


@dataclass(frozen=True, slots=True)
class ItemRow:
    """An item's rate (faults per exposure) with its central 90 % interval, its trend, and what is advised.

    ``bad`` is the probability that its rate is more than `FAR_ABOVE` times that of its kind. ``rate``, ``low`` and
    ``high`` are None where no item of its kind was ever exposed. ``times`` is by how much it fails more often than its
    kind, where that is why something is advised, else None.
    """

    life: Life
    rate: float | None
    low: float | None
    high: float | None
    bad: float
    trend: Trend
    advice: Advice
    times: float | None = None

    @property
    def reason(self) -> str:
        """Why that is advised, in the language spoken now."""
        faults = _counts_words(self.life)
        if self.rate is None:
            return tr("it was in no check")
        if self.life.bench is False:
            return tr("{faults}; it failed on the bench", faults=faults)
        if self.times is not None:
            often = f"{faults}, {_often(self.times)}"
            worse = self.trend.word == "worse" and self.advice == "bench-test"
            return tr("{often}, and more often of late", often=often) if worse else often
        if self.advice == "bench-test":
            return tr("{faults}; it was pulled and not tested since", faults=faults)
        return faults

    @property
    def why(self) -> str:
        """The reason without the counts that it begins with; empty where it says no more than these."""
        return self.reason.removeprefix(_counts_words(self.life)).lstrip(",; ")


@dataclass(frozen=True, slots=True)
class KindRow:
    """A kind: its items, exposures and faults, the rate of one of which nothing is known, its growth over the tour."""

    kind: ItemKind
    items: int
    exposures: int
    faults: int
    rate: float | None
    growth: Growth | None


@dataclass(frozen=True, slots=True)
class SparesRow:
    """So many spares of a kind are enough for ``shows`` more shows with probability ``level``; None: not to be told."""

    kind: ItemKind
    shows: int
    level: float
    count: int | None


@dataclass(frozen=True, slots=True)
class History:
    """A tally and what it comes to; items worst first, kinds and spares in the order of `ITEM_KINDS`.

    Worst first: by advice, what failed at all before what did not, then the highest rate, of whatever kind.
    """

    tally: Tally
    items: tuple[ItemRow, ...]
    kinds: tuple[KindRow, ...]
    spares: tuple[SparesRow, ...]
    pools: Mapping[ItemKind, Pool] = field(default_factory=dict)


def analysed(tally: Tally, shows: int = LEG_SHOWS, level: float = LEVEL) -> History:
    """What a tally comes to; ``shows`` and ``level`` are for the spares."""
    by_kind = _by_kind(tally.lives)
    pools = pools_of(tally.lives)
    items = sorted((row for kind, lives in by_kind.items() for row in _item_rows(lives, pools.get(kind))), key=_worst)
    kinds = [kind for kind in ITEM_KINDS if kind in by_kind]
    return History(
        tally,
        tuple(items),
        tuple(_kind_row(kind, by_kind[kind], pools.get(kind), tally) for kind in kinds),
        tuple(_spares_row(kind, by_kind[kind], pools.get(kind), shows, level) for kind in kinds),
        pools,
    )


def pools_of(lives: Iterable[Life]) -> dict[ItemKind, Pool]:
    """The rates of each kind of which an item was exposed at all; a kind's mean is near its default chance."""
    return {
        kind: Pool(counts, near(PRIOR[kind])) for kind, each in _by_kind(lives).items() if (counts := _counts(each))
    }


def _by_kind(lives: Iterable[Life]) -> dict[ItemKind, list[Life]]:
    found: dict[ItemKind, list[Life]] = {}
    for life in lives:
        found.setdefault(life.kind, []).append(life)
    return found


def _counts(lives: Iterable[Life]) -> list[Count]:
    """The histories of those that were exposed at all; nothing where none was."""
    return [count_of(life) for life in lives if life.exposures > 0]


def count_of(life: Life) -> Count:
    """An item's faults in its exposures."""
    return Count(len(life.faults), float(max(life.exposures, 0)))


def _worst(row: ItemRow) -> tuple[int, bool, float, int, str]:
    """What is to be done first, then what failed at all, then what is likeliest to fail in the next check."""
    order = ("retire", "bench-test", "keep").index(row.advice)
    return order, not row.life.faults, -(row.rate or 0.0), -len(row.life.faults), row.life.item


def _item_rows(lives: list[Life], pool: Pool | None) -> Iterator[ItemRow]:
    """The items of one kind."""
    ways = (trend(life.faults, life.exposures, pulled_at_last=life.pulled_at_last) for life in lives)
    if pool is None:
        for life, way in zip(lives, ways, strict=True):
            yield ItemRow(life, None, None, None, 0.0, way, "keep")
        return
    counts, mean = [count_of(life) for life in lives], pool.mean
    bads = above_of(pool, counts, FAR_ABOVE * mean)
    odds = _odds(counts)
    for life, way, rate, bad, odd in zip(lives, ways, rates_of(pool, counts), bads, odds, strict=True):
        stands_out = _stands_out(life, way, odd)
        advice = _advice(life, stands_out, bad >= RETIRE and odd <= ODD)
        times = rate.mean / mean if stands_out and life.bench is not False else None
        yield ItemRow(life, rate.mean, rate.low, rate.high, bad, way, advice, times)


def _odds(counts: list[Count]) -> list[float]:
    """By how good a chance an item that is not bad has so many faults; 1 for those that are too few to be asked of."""
    asked = sorted({count for count in counts if count.faults >= _TWICE and count.exposures > 0})
    told = dict(zip(asked, FewBad(counts).odds(asked), strict=True)) if asked else {}
    return [told.get(count, 1.0) for count in counts]


def _stands_out(life: Life, way: Trend, odd: float) -> bool:
    """Whether an item has more faults than one that is not bad would have."""
    return len(life.faults) >= _TWICE and odd <= (ODD_AND_WORSE if way.word == "worse" else ODD)


def _advice(life: Life, stands_out: bool, is_bad: bool) -> Advice:
    """What to do with an item."""
    if life.bench is False or (stands_out and is_bad):
        return "retire"
    return "bench-test" if stands_out or (life.pulled_at is not None and life.bench is None) else "keep"


def _counts_words(life: Life) -> str:
    checks = trn("{count} check", "{count} checks", life.exposures)
    return trn("{count} fault in {checks}", "{count} faults in {checks}", len(life.faults), checks=checks)


def _often(times: float) -> str:
    """So many times as often as its kind; where bad ones lift what is expected of the kind, than a good one."""
    if times <= _AS_OFTEN:
        return tr("more often than a good one of its kind")
    return tr("about {times} times as often as its kind", times=fixed(times, 1 if times < _ROUND else 0))


def _kind_row(kind: ItemKind, lives: list[Life], pool: Pool | None, tally: Tally) -> KindRow:
    exposures, faults = sum(life.exposures for life in lives), sum(len(life.faults) for life in lives)
    return KindRow(kind, len(lives), exposures, faults, pool.mean if pool else None, _growth(kind, tally))


def _growth(kind: ItemKind, tally: Tally) -> Growth | None:
    """How faults of a kind came over all checks: one in the k-th check counts as the time k - 0.5."""
    starts = sorted(check.at for check in tally.checks)
    times = [max(1, bisect_right(starts, fault.at)) - 0.5 for fault in tally.faults if fault.kind == kind]
    if len(times) < _TWICE or not starts:
        return None
    return growth(times, float(len(starts)))


def _spares_row(kind: ItemKind, lives: list[Life], pool: Pool | None, shows: int, level: float) -> SparesRow:
    if pool is None:
        return SparesRow(kind, shows, level, None)
    in_use = [count_of(life) for life in lives if life.pulled_at is None]
    return SparesRow(kind, shows, level, spares(pool, in_use, float(shows), level) if in_use else 0)
