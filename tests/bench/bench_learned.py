"""Drills after tours: how often the first suspect is right with the default chances, and with what the tour taught.

Run: python tests/bench/bench_learned.py [--seed N] [--rigs N]

Both are asked of the very same marks. The p beside is that of so uneven a split of the drills in which only one was
right, were both as good (exact binomial, two-sided).
"""

import argparse
import sys
from pathlib import Path
from time import perf_counter

from scipy.stats import binomtest

sys.path.insert(0, str(Path(__file__).parents[1] / "history"))

from learning_drill import World, drilled

UNLIKE = {"cable": 2.5, "hop": 3.0, "source": 0.5, "port": 0.5}
WORLDS = (
    ("none bad, 10 shows", World(bad=0, shows=10)),
    ("none bad, 30 shows", World(bad=0)),
    ("none bad, 100 shows", World(bad=0, shows=100)),
    ("none bad, kinds unlike the defaults, 30 shows", World(bad=0, times=UNLIKE)),
    ("1 bad, 30 shows", World(bad=1)),
    ("3 bad, 10 shows", World(shows=10)),
    ("3 bad, 30 shows", World()),
    ("3 bad, kinds unlike the defaults, 30 shows", World(times=UNLIKE)),
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rigs", type=int, default=100)
    args = parser.parse_args()
    print(f"{'world':47} drills  right plain  right taught  only plain  only taught       p    s")
    for number, (name, world) in enumerate(WORLDS):
        began, seed = perf_counter(), args.seed + 1_000_000 * number
        one = drilled(world, range(seed, seed + args.rigs))
        split = one.only_plain + one.only_taught
        p = binomtest(one.only_taught, split).pvalue if split else 1.0
        shares = f"{one.plain / one.drills:11.1%}  {one.taught / one.drills:12.1%}"
        took = perf_counter() - began
        print(f"{name:47} {one.drills:6}  {shares}  {one.only_plain:10}  {one.only_taught:11}  {p:6.4f}  {took:3.0f}")


if __name__ == "__main__":
    main()
