"""Whole commands as processes, run by hand: ``python tests/bench/bench_commands.py``.

Goals: ``checkapp --version`` under 0.35 s, ``checkapp review`` of a rig of 512 lines, 16 chains and 100 boxes under
0.5 s. The bare interpreter is measured in the same run, so that a slow machine shows as one.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from big_rig import plan_text

from checkapp.review.report import review
from checkapp.rig.planfile import load_plan

RUNS = 11


def seconds(words: list[str]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def review_seconds(plan: Path) -> tuple[float, float]:
    """Reading the plan and reviewing it, in this process."""
    reading, reviewing = [], []
    for _ in range(RUNS):
        start = time.perf_counter()
        rig = load_plan(plan)
        read = time.perf_counter()
        review(rig)
        reading.append(read - start)
        reviewing.append(time.perf_counter() - read)
    return statistics.median(reading), statistics.median(reviewing)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder, "big.toml")
        plan.write_text(plan_text(16, 100, 512), encoding="utf-8")
        bare = seconds([sys.executable, "-c", "pass"])
        version = seconds([sys.executable, "-m", "checkapp", "--version"])
        whole = seconds([sys.executable, "-m", "checkapp", "review", str(plan), "--json"])
        reading, reviewing = review_seconds(plan)
        words = seconds([sys.executable, "-m", "checkapp", "review", str(plan)])
    print(f"median of {RUNS} runs each")
    print(f"bare interpreter            {bare:.3f} s")
    print(f"checkapp --version          {version:.3f} s   {version / bare:.1f} x bare   goal under 0.35 s")
    print(f"review --json of 512 lines  {whole:.3f} s   {whole / bare:.1f} x bare   goal under 0.5 s")
    print(f"  of that: reading {reading * 1000:.0f} ms, review {reviewing * 1000:.0f} ms   goal under 60 ms")
    print(f"review of 512 lines         {words:.3f} s   {words / bare:.1f} x bare   goal under 0.5 s")


if __name__ == "__main__":
    main()
