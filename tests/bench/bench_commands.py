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

RUNS = 11


def seconds(words: list[str]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder, "big.toml")
        plan.write_text(plan_text(16, 100, 512), encoding="utf-8")
        bare = seconds([sys.executable, "-c", "pass"])
        version = seconds([sys.executable, "-m", "checkapp", "--version"])
        review = seconds([sys.executable, "-m", "checkapp", "review", str(plan), "--json"])
        words = seconds([sys.executable, "-m", "checkapp", "review", str(plan)])
    print(f"median of {RUNS} runs each")
    print(f"bare interpreter            {bare:.3f} s")
    print(f"checkapp --version          {version:.3f} s   {version / bare:.1f} x bare   goal under 0.35 s")
    print(f"review --json of 512 lines  {review:.3f} s   {review / bare:.1f} x bare   goal under 0.5 s")
    print(f"review of 512 lines         {words:.3f} s   {words / bare:.1f} x bare   goal under 0.5 s")


if __name__ == "__main__":
    main()
