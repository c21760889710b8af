"""Garbled bursts of a hand scanner, a hundred thousand on each of two rigs: how many are taken, and that none is wrong.

python tests/bench/bench_bursts.py [COUNT]
"""

import random
import sys
import time
from pathlib import Path

from checkapp.rig.planfile import load_plan
from checkapp.scan.burst import BurstReader

TESTS = Path(__file__).parents[1]
sys.path.insert(0, str(TESTS / "scan"))
import garbling  # noqa: E402


def main(count):
    demo = load_plan(TESTS.parent / "plans" / "demo.toml")
    wrong = 0
    for name, tags, mark in (("demo", demo.tags, demo.mark), ("nasty", garbling.NASTY, "0A1B")):
        began_s = time.perf_counter()
        tally = garbling.try_bursts(tags, mark, count, random.Random(2031))
        each_ms = 1e3 * (time.perf_counter() - began_s) / count
        began_s = time.perf_counter()
        BurstReader(tags, mark)
        ready_ms = 1e3 * (time.perf_counter() - began_s)
        print(
            f"{name}, {len(tags)} tags: {count} bursts, {tally.taken} taken, {tally.asked_again} asked again, "
            f"{tally.foreign} not of the rig, {tally.spell_another} spelt another tag, {len(tally.wrong)} wrong; "
            f"{each_ms:.2f} ms a burst, {ready_ms:.1f} ms to know the rig"
        )
        print(*tally.wrong[:10], sep="\n")
        wrong += len(tally.wrong)
    return wrong


if __name__ == "__main__":
    sys.exit(bool(main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)))
