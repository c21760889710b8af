"""Simulated tours with known truth: do the intervals hold the true rates, who is named to be retired or bench-tested.

Run: python tests/bench/bench_tours.py [--seed N] [--tours N]

A planted bad item fails five times as often as its kind. Beside what the advice names stands what the best test there
is names, all rates known beforehand: at as many good ones as the advice named ("so"), and at 2 % of them. Where that is
below 80 %, no program can do it.
"""

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1] / "history"))

from tour_figures import Figures, figures
from tours import KINDS, KindOf, Tour, least_mean

NONE_BAD = {kind: replace(of, bad=0) for kind, of in KINDS.items()}
PARTS = (
    (
        "kinds drawn as the program takes them for likely (none is good or bad), 1 check a show",
        Tour(kinds=NONE_BAD, drawn=True),
    ),
    ("the same, 3 checks a show", Tour(kinds=NONE_BAD, checks=3, drawn=True)),
    ("none bad, 1 check a show", Tour(kinds=NONE_BAD)),
    ("none bad, 3 checks a show", Tour(kinds=NONE_BAD, checks=3)),
    ("5 bad, 1 check a show", Tour()),
    ("5 bad, 3 checks a show", Tour(checks=3)),
    *(
        (
            f"rough: sources and cables fail in {rate:.0%} of checks, {checks} a show",
            Tour(kinds={"source": KindOf(30, rate, bad=1), "cable": KindOf(60, rate, bad=3)}, checks=checks),
        )
        for rate in (0.02, 0.04, 0.08)
        for checks in (1, 3)
    ),
)
"""Three checks a show: after the set-up, the line check, after a changeover."""


def table(name: str, tour: Tour, seeds: range) -> dict[str, Figures]:
    began = perf_counter()
    found = figures(tour, seeds)
    print(
        f"\n{name}: {len(seeds)} tours of {tour.shows} shows from seed {seeds.start} ({perf_counter() - began:.0f} s)"
    )
    print(f"kind    items  coverage of 90 % (binomial, by tour)  expected  {HEAD}  retired good, bad")
    for kind, one in found.items():
        cover = f"{one.coverage:6.1%} (+- {1.96 * one.coverage_error:5.2%}, +- {1.96 * one.tour_error:5.2%})"
        named = "" if tour.drawn else f"{row(one)}   {one.retired[0]:5} {one.retired[1]:5}"
        print(f"{kind:7} {one.items:6}  {cover:>35}  {named}")
    return found


HEAD = "        bad named  at best so  at best 2 %  good named"


def row(one: Figures) -> str:
    """Expected faults of a good item, bad ones named, beside the best test at our share of good ones and at 2 %."""
    bad, best = " " * 18, " " * 24
    if one.bad:
        bad = f"{one.bad_named:4} of {one.bad:4} {one.bad_named / one.bad:5.1%}"
        best = f"{one.best(one.good_share):10.1%}  {one.best(0.02):11.1%}"
    return f"{one.expected / one.items:8.2f}  {bad}  {best}  {one.good_share:10.2%}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tours", type=int, default=200)
    args = parser.parse_args()
    rows = []
    for number, (name, tour) in enumerate(PARTS):
        seed = args.seed + 1_000_000 * number
        for kind, one in table(name, tour, range(seed, seed + args.tours)).items():
            if kind != "all" and one.bad:
                rows.append((one.expected / one.items, f"{row(one)}  {kind}, {name}"))
    print(f"\nBy the faults to be expected of a good item:\nexpected  {HEAD}")
    for _, words in sorted(rows):
        print(words)
    print("\nNaming 80 % of the bad at 2 % of the good takes, whatever the test, so many faults of a good item")
    for shape, words in ((None, "rates of the good all alike"), (4.0, "gamma of shape 4"), (2.0, "gamma of shape 2")):
        least = least_mean(shape=shape)
        print(
            f"  {words}: {least:.2f}, which in 30 checks is a rate of {least / 30:.3f}, in 90 checks {least / 90:.3f}"
        )


if __name__ == "__main__":
    main()
