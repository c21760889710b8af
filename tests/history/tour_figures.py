"""What the advice after many simulated tours comes to, against their truth: coverage, and who was named."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from statistics import fmean, stdev

from tours import Tour, likelihood_ratio, toured

from checkapp.history.analysis import analysed


@dataclass
class Figures:
    """Counts over tours of a kind, or of all.

    ``covered`` and ``shares``: intervals that hold the true rate, and that part of them tour by tour; ``good_named``
    and ``bad_named``: items named retire or bench-test, ``retired`` those of them that are retired (good, bad).
    ``expected``: faults to be expected of an item as the mean of its kind, over all items. ``ratios``: of good and of
    bad items, how much likelier its faults are for a bad one than for a good one, all rates of the kind known.
    """

    items: int = 0
    covered: int = 0
    shares: list[float] = field(default_factory=list)
    good: int = 0
    good_named: int = 0
    bad: int = 0
    bad_named: int = 0
    retired: list[int] = field(default_factory=lambda: [0, 0])
    exposures: int = 0
    expected: float = 0.0
    ratios: tuple[list[float], list[float]] = field(default_factory=lambda: ([], []))

    @property
    def coverage(self) -> float:
        return self.covered / self.items

    @property
    def good_share(self) -> float:
        return self.good_named / self.good

    def best(self, share: float) -> float:
        """How many of the bad ones the best test there is names that names that share of the good ones.

        It knows all rates of the kind and looks at the likelihood ratio alone (the lemma of Neyman and Pearson); where
        that is the same for several it names some of them by lot.
        """
        good, bad = sorted(self.ratios[False], reverse=True), self.ratios[True]
        limit = good[min(len(good) - 1, int(share * len(good)))]
        above, level = sum(one > limit for one in good), sum(one == limit for one in good)
        by_lot = min(1.0, (share * len(good) - above) / level)
        return (sum(one > limit for one in bad) + by_lot * sum(one == limit for one in bad)) / len(bad)

    @property
    def coverage_error(self) -> float:
        """The binomial standard error of the coverage, were all intervals independent and right."""
        return math.sqrt(0.9 * 0.1 / self.items)

    @property
    def tour_error(self) -> float:
        """Its standard error from tour to tour: the intervals of a tour share what is known of the kind."""
        return stdev(self.shares) / math.sqrt(len(self.shares)) if len(self.shares) > 1 else math.nan


def figures(tour: Tour, seeds: Iterable[int]) -> dict[str, Figures]:
    """The figures by kind, and under ``all``; one tour a seed."""
    found: dict[str, Figures] = {kind: Figures() for kind in (*tour.kinds, "all")}
    for seed in seeds:
        true = toured(tour, seed)
        covered: dict[str, list[bool]] = {kind: [] for kind in found}
        for row in analysed(true.tally).items:
            held = row.low is not None and row.low <= true.rates[row.life.item] <= (row.high or 0.0)
            bad, named = row.life.item in true.bad, row.advice != "keep"
            for kind in (row.life.kind, "all"):
                covered[kind].append(held)
                _count(found[kind], bad, named, row.advice == "retire", row.life.exposures)
                found[kind].expected += tour.kinds[row.life.kind].rate * row.life.exposures
                found[kind].ratios[bad].append(likelihood_ratio(row.life, tour.kinds[row.life.kind]))
        for kind, each in covered.items():
            found[kind].items += len(each)
            found[kind].covered += sum(each)
            found[kind].shares.append(fmean(each))
    return found


def _count(to: Figures, bad: bool, named: bool, retired: bool, exposures: int) -> None:
    to.exposures += exposures
    to.retired[bad] += retired
    if bad:
        to.bad, to.bad_named = to.bad + 1, to.bad_named + named
    else:
        to.good, to.good_named = to.good + 1, to.good_named + named
