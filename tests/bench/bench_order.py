"""The order of fifteen boxes, run by hand: ``python tests/bench/bench_order.py``.

Goal: 15 boxes under 2 s. Trying all orders of eight boxes is measured in the same run, so that a slow machine shows as
one; of fifteen there are 1.3 million million.
"""

import math
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import permutations
from pathlib import Path

from checkapp.review.order import path_m, shortest_order

RUNS = 5
PLAN = """format = 1
[rig]
name = "Fifteen"
owner = "FB"
[link_kind.wire]
max_length_m = 900.0
[cable_kind.hop]
[box_kind.eight]
inputs = 8
outputs = 4
accepts = ["line"]
[[chain]]
code = "A"
link = "wire"
at = [0.0, -30.0]
"""


def scattered(count: int) -> list[tuple[float, float]]:
    chance = random.Random(count)
    return [(chance.uniform(-20, 20), chance.uniform(0, 15)) for _ in range(count)]


def seconds(work: Callable[[], object]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def tried(places: list[tuple[float, float]]) -> float:
    start = (0.0, -30.0)
    return min(sum(map(math.dist, (start, *order), order)) for order in permutations(places))


def plan_text(count: int) -> str:
    text = PLAN
    for number, at in enumerate(scattered(count), 1):
        feed = f"B{number - 1}" if number > 1 else "A"
        text += f'[[cable]]\ncode = "H{number}"\nkind = "hop"\nlength_m = 60.0\n'
        text += f'[[box]]\ncode = "B{number}"\nkind = "eight"\nfed_from = "{feed}"\ncable = "H{number}"\n'
        text += f"at = {list(at)}\n"
        text += f'[[cable]]\ncode = "P{number}"\nkind = "hop"\nlength_m = 25.0\nspare = true\n'
    return text


def main() -> None:
    eight, fifteen = scattered(8), scattered(15)
    order = shortest_order((0.0, -30.0), eight)
    assert math.isclose(path_m((0.0, -30.0), [eight[k] for k in order]), tried(eight))
    all_eight = seconds(lambda: tried(eight))
    work = seconds(lambda: shortest_order((0.0, -30.0), fifteen))
    with tempfile.TemporaryDirectory() as folder:
        plan, out = Path(folder, "plan.toml"), Path(folder, "out.toml")
        plan.write_text(plan_text(15), encoding="utf-8")
        words = [sys.executable, "-m", "checkapp", "plan", "order", str(plan), "--out", str(out)]
        command = seconds(lambda: subprocess.run(words, check=True, stdout=subprocess.DEVNULL))
        assert out.exists()
    print(f"median of {RUNS} runs each")
    print(f"8 boxes, all orders tried             {all_eight:.3f} s")
    print(f"15 boxes, exact order                 {work:.3f} s   {work / all_eight:.1f} x that   goal under 2 s")
    print(f"15 boxes, command, with --out         {command:.3f} s   goal under 2 s")


if __name__ == "__main__":
    main()
