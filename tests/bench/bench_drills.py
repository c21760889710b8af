"""Drills on rigs of 16 to 512 lines: is the first suspect right, do chances come true, how soon is a fault found.

Run: python tests/bench/bench_drills.py [--seed N] [--rigs N]

``--rigs``: how many rigs of 16 lines in each part; fewer of the large ones. Every rig has a seed of its own, printed as
the base seed, the part, the lines and its number; the same seed gives the same rig, faults and marks.
"""

import argparse
import random
import sys
from collections import Counter
from pathlib import Path
from statistics import fmean
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1] / "diagnose"))

from drill_figures import Calibration, entropy_of_one_fault, least_tests, most_bits_of_a_test
from simulator import (
    Drill,
    Played,
    Truth,
    advice,
    drawn_faults,
    drawn_rig,
    in_list_order,
    so_many_faults,
    whole_check,
)

from checkapp.diagnose.chances import Chances

CHANCES = Chances()
SHARE = {16: 1.0, 64: 0.8, 256: 0.5, 512: 0.3}
"""How many rigs of each size, as a share of those of 16 lines."""


def calibration(seed: int, lines: int, rigs: int) -> Calibration:
    """Faults by the priors alone; a fifth or more of the lines marked, at least one of them faulty."""
    found = Calibration()
    for number in range(rigs):
        rng = random.Random(f"{seed} prior {lines} {number}")
        while True:
            rig = drawn_rig(lines, rng)
            drill = Drill(rig, Truth(drawn_faults(rig.items, CHANCES, rng), CHANCES, rng))
            marked = rng.uniform(0.2, 1.0)
            if drill.listen([line for line in rig.paths if rng.random() < marked]):
                break
        found.take(drill, rng)
    return found


def report_calibration(seed: int, rigs: int) -> None:
    print("Do chances come true? Faults by the priors, part of the lines marked; one item of a rig at most in a bin.")
    print("off: how likely it is to be so far off, or farther, if every chance is right (exact, two-sided)")
    print(f"{'lines':>5} {'rigs':>5}  {'':<14} {'count':>5} {'expected':>9} {'observed':>8} {'off':>6}")
    for lines in SHARE:
        many = number_of(lines, 15 * rigs)
        for name, count, expected, observed, off in calibration(seed, lines, many).rows():
            print(f"{lines:5} {many:5}  {name:<14} {count:5} {expected:9.1f} {observed:8} {off:6.2f}")


def with_faults(seed: int, lines: int, faults: int, number: int) -> Drill:
    """So many faults, by the priors; no line is marked yet."""
    rng = random.Random(f"{seed} {faults} {lines} {number}")
    rig = drawn_rig(lines, rng)
    return Drill(rig, Truth(so_many_faults(rig.items, faults, CHANCES, rng), CHANCES, rng))


def report_first_suspect(seed: int, rigs: int) -> None:
    print("\nThe first suspect, with so many faults planted: right, and what the posterior itself says of it")
    print("(the priors expect 12 faults on 512 lines: with one a first faulty mark is a false alarm more often)")
    print(f"{'lines':>5} {'faults':>6} {'rigs':>5} {'at the first faulty mark':>25} {'with all lines marked':>22}")
    for lines in SHARE:
        for faults in (1, 2, 3):
            early, late = first_suspects(seed, lines, faults, number_of(lines, 2 * rigs))
            print(f"{lines:5} {faults:6} {len(early):5} {right_and_said(early):>25} {right_and_said(late):>22}")


Named = list[tuple[bool, float]]


def first_suspects(seed: int, lines: int, faults: int, rigs: int) -> tuple[Named, Named]:
    """Whether it was right, and its probability; rigs on which nothing was heard are left out."""
    early: Named = []
    late: Named = []
    for number in range(rigs):
        drill = with_faults(seed, lines, faults, number)
        if drill.walk():
            early.append(first_of(drill))
            drill.walk(stop=False)
            late.append(first_of(drill))
    return early, late


def first_of(drill: Drill) -> tuple[bool, float]:
    first = drill.diagnosis.suspects[0]
    return first.item in drill.truth.faulty, first.probability


def right_and_said(named: Named) -> str:
    return f"{fmean(right for right, _ in named):.3f} / {fmean(said for _, said in named):.3f}"


def report_isolation(seed: int, rigs: int) -> None:
    most_bits = most_bits_of_a_test(CHANCES)
    print(f"\nOne fault, from the first faulty mark on. A test tells at most {most_bits:.3f} bits (channel capacity).")
    print("group: tests until an item, or a group that no mark can tell apart, is above 0.95")
    print("bits: what it takes to say which item it is, at the start and at the end, given that it is one")
    print("least: no method that leaves as little doubt can do with fewer tests in the mean")
    print(
        f"{'lines':>5} {'rigs':>5} {'player':<10} {'tests':>6} {'group':>6} {'minutes':>7} {'right':>6} "
        f"{'bits':>11} {'least':>5}  endings"
    )
    for lines in SHARE:
        for name, player in (("advice", advice), ("list order", in_list_order)):
            played: list[Played] = []
            before: list[float] = []
            after: list[float] = []
            for number in range(number_of(lines, rigs)):
                drill = with_faults(seed, lines, 1, number)
                if drill.walk():
                    before.append(entropy_of_one_fault(drill, drill.rig.items))
                    played.append(drill.play(player))
                    after.append(entropy_of_one_fault(drill, drill.rig.items))
            least = least_tests(fmean(before), fmean(after), most_bits)
            bits = f"{fmean(before):5.2f} {fmean(after):5.2f}"
            endings = Counter(one.ending for one in played).most_common()
            ended = ", ".join(f"{ending} {count}" for ending, count in endings)
            print(f"{lines:5} {len(played):5} {name:<10} {figures(played)} {bits} {least:5.2f}  {ended}")


def figures(played: list[Played]) -> str:
    group = [one.to_group for one in played if one.to_group is not None]
    return (
        f"{fmean(one.tests for one in played):6.2f} {fmean(group):6.2f} {fmean(one.minutes for one in played):7.2f} "
        f"{fmean(one.right for one in played):6.3f}"
    )


def report_whole_checks(seed: int, rigs: int) -> None:
    print("\nWhole checks: in list order to the first faulty line, the advice until it is repaired, and on.")
    print("left: planted faults that were not heard; needless: good items swapped; means of a check")
    print(
        f"{'lines':>5} {'faults':>6} {'rigs':>5} {'found':>6} {'left':>6} {'needless':>8} {'tests':>6} "
        f"{'minutes':>7}  ends"
    )
    for lines in SHARE:
        for faults in (1, 2, 3):
            many = max(4, number_of(lines, rigs) // 4)
            done = [whole_check(with_faults(seed, lines, faults, number)) for number in range(many)]
            means = (
                f"{fmean(one.found for one in done):6.2f} {fmean(one.left for one in done):6.2f} "
                f"{fmean(one.needless for one in done):8.2f} {fmean(one.tests for one in done):6.2f} "
                f"{fmean(one.minutes for one in done):7.2f}"
            )
            ends = ", ".join(f"{end} {count}" for end, count in Counter(one.end for one in done).most_common())
            print(f"{lines:5} {faults:6} {many:5} {means}  {ends}")


def number_of(lines: int, rigs: int) -> int:
    return max(4, round(rigs * SHARE[lines]))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--rigs", type=int, default=100)
    asked = parser.parse_args()
    start = perf_counter()
    print(f"seed {asked.seed}, {asked.rigs} rigs of 16 lines in each part")
    for part in (report_calibration, report_first_suspect, report_isolation, report_whole_checks):
        before = perf_counter()
        part(asked.seed, asked.rigs)
        print(f"({perf_counter() - before:.0f} s)", flush=True)
    print(f"{perf_counter() - start:.0f} s in all")


if __name__ == "__main__":
    main()
