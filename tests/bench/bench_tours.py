"""Simulated tours with known truth: do the intervals hold the true rates, who is named to be retired or bench-tested.

Run: python tests/bench/bench_tours.py [--seed N] [--tours N]

A planted bad item fails five times as often as its kind. Beside what the advice names stands what the best test there
is would name at 2 % of the good ones, were all rates known beforehand: where that is below 80 %, no program can do it.
"""

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1] / "history"))

from tour_figures import Figures, at_best, figures
from tours import KINDS, Tour, least_mean

NONE_BAD = {kind: replace(of, bad=0) for kind, of in KINDS.items()}
OFTEN = {kind: replace(of, rate=of.rate * 3) for kind, of in KINDS.items()}
PARTS = (
    ("none bad, 1 check a show", Tour(kinds=NONE_BAD)),
    ("none bad, 3 checks a show", Tour(kinds=NONE_BAD, checks=3)),
    ("5 bad, 1 check a show", Tour()),
    ("5 bad, 3 checks a show", Tour(checks=3)),
    ("5 bad, 1 check a show, three times the faults", Tour(kinds=OFTEN)),
    ("5 bad, 3 checks a show, three times the faults", Tour(kinds=OFTEN, checks=3)),
)


def table(name: str, tour: Tour, seeds: range) -> None:
    began = perf_counter()
    found = figures(tour, seeds)
    print(
        f"\n{name}: {len(seeds)} tours of {tour.shows} shows from seed {seeds.start} ({perf_counter() - began:.0f} s)"
    )
    print("kind    items  coverage of 90 % (binomial, by tour)  bad named       at best  good named  retired good, bad")
    for kind, one in found.items():
        best = f"{at_best(tour, kind, one):6.1%}" if kind != "all" and one.bad else "      "
        print(row(kind, one, best))


def row(kind: str, one: Figures, best: str) -> str:
    cover = f"{one.coverage:6.1%} (+- {1.96 * one.coverage_error:5.2%}, +- {1.96 * one.tour_error:5.2%})"
    bad = f"{one.bad_named:4} of {one.bad:4} {one.bad_named / one.bad:5.1%}" if one.bad else " " * 18
    good = f"{one.good_named / one.good:6.2%}"
    return f"{kind:7} {one.items:6}  {cover:>35}  {bad}  {best}  {good:>9}   {one.retired[0]:5} {one.retired[1]:5}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tours", type=int, default=200)
    args = parser.parse_args()
    for number, (name, tour) in enumerate(PARTS):
        table(name, tour, range(args.seed + 1_000_000 * number, args.seed + 1_000_000 * number + args.tours))
    print(
        "\nNaming 80 % of the bad at 2 % of the good takes, whatever the test, so many faults of a good item on average"
    )
    for shape, words in ((None, "rates of the good all alike"), (4.0, "gamma of shape 4"), (2.0, "gamma of shape 2")):
        least = least_mean(shape=shape)
        print(
            f"  {words}: {least:.2f}, which in 30 checks is a rate of {least / 30:.3f}, in 90 checks {least / 90:.3f}"
        )


if __name__ == "__main__":
    main()
