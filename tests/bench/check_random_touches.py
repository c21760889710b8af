"""Touches by chance on the loaded app: nothing goes wrong, no mark is lost, memory stays flat.

Run by hand, with OpenGL through EGL (Mesa)::

    python tests/bench/check_random_touches.py --seed 1 --count 20000

The app runs without a display in a folder of its own with a set-up and a check of 60 lines under way. After so many
taps, drags, keys, scans, turns and settings every entry that the session made is in the journal, once, and that is
whole. Every 1,000 touches the memory that the process holds is read, each time in the same state of the app: the same
window and settings, the same screens built. It is warm after 5,000. What counts is how much more it holds at the end,
told in two ways that both hold: from the reading then to the last one, each of which lies some MB off, and from the
median of the first third of the readings since then to that of the last third, reckoned up to the whole way. The status
is 1 when anything is not as it should be.
"""

import argparse
import ctypes
import gc
import os
import statistics
import sys
import tempfile
import time
import tracemalloc
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
WARM = 5000
MOST_MB = 5.0
FRAMES = 20
TOLD_EVERY = 1000
_HEAP = ("arena", "ordblks", "smblks", "hblks", "hblkhd", "usmblks", "fsmblks", "uordblks", "fordblks", "keepcost")

os.environ["SDL_VIDEODRIVER"] = "offscreen"
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "touch")]


def main() -> int:
    """Touch, and tell what came of it; the exit status."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--count", type=int, default=20000)
    asked.add_argument("--what-grows", action="store_true", help="tell which objects are more at the end; slow")
    words = asked.parse_args()
    with tempfile.TemporaryDirectory() as base:
        return touch(Path(base), words)


def touch(base: Path, asked: argparse.Namespace) -> int:
    """One run in a folder."""
    from random_touches import show

    from checkapp.show.verifying import verify_journal
    from checkapp.touch.start import prepare
    from conftest import Hand, Ticks  # before the toolkit, which it sets up

    prepare(Path(os.environ["KIVY_HOME"]))
    from kivy.core.window import Window

    seed, count, what_grows = asked.seed, asked.count, asked.what_grows
    warm, held_mb, known = min(WARM, count // 2), [], None
    began_s = time.monotonic()
    with show(Hand(Window, Ticks()), base, seed) as touched:
        touched.look_round()
        for done in range(0, count, step := min(TOLD_EVERY, warm)):
            touched.run(min(step, count - done))
            now_mb, took_s, many = settled_mb(touched), time.monotonic() - began_s, len(touched.made)
            held_mb += [now_mb] if touched.count >= warm else []
            print(f"{touched.count} in {took_s:.0f} s, {many} entries, {now_mb:.1f} MB; {heap_words()}", flush=True)
            known = known or (what_there_is(what_grows) if held_mb else None)
        grown_mb = growth_mb(held_mb)
        if what_grows:
            tell_growth(known)
        wrong = touched.end()
    lines, sound = verify_journal(base / "data" / "journal.db", base / "data")
    wrong += [] if sound else lines
    for way, more_mb in (("from the first reading to the last", held_mb[-1] - held_mb[0]), ("by medians", grown_mb)):
        wrong += [f"memory grew by {more_mb:.1f} MB {way}"] if more_mb > MOST_MB else []
    print(*lines, sep="\n")
    print(f"touches by screen: {dict(touched.screens.most_common())}")
    print(
        f"seed {seed}: {count} touches, {len(touched.made)} entries made, {touched.marks_made()} of them marks, "
        f"{touched.marks_found()} in the journal; {held_mb[0]:.1f} MB after {warm}, {held_mb[-1]:.1f} MB at the end, "
        f"grown by {grown_mb:.1f} MB by medians"
    )
    if wrong:
        print(*wrong, sep="\n")
    return int(bool(wrong))


def growth_mb(held_mb: list[float]) -> float:
    """How much memory grew over readings as far apart as one another, from their first third to their last."""
    third = max(1, len(held_mb) // 3)
    between = statistics.median(held_mb[-third:]) - statistics.median(held_mb[:third])
    return between * (len(held_mb) - 1) / max(1, len(held_mb) - third)


def settled_mb(touched) -> float:
    """Memory once the app is in its known state, all answers are there and what nobody needs is let go of.

    The way home builds all screens anew, and what it lets go of itself is gone only after the next. OpenGL lets go of
    deleted pictures only after some frames, and the C library keeps what was freed: without that the figure would tell
    when it was last tidied up.
    """
    for _ in range(2):
        touched.come_home()
        gc.collect()
        for _ in range(FRAMES):
            touched.draw()
        gc.collect()
        ctypes.CDLL("libc.so.6").malloc_trim(0)
    return memory_mb()


def memory_mb() -> float:
    """What the process holds in memory, in MB (Linux: the second figure of statm, in pages)."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


class Heap(ctypes.Structure):
    """What the C library says of its heap (mallinfo2, from glibc 2.33 on), all in bytes but for three counts."""

    _fields_ = [(name, ctypes.c_size_t) for name in _HEAP]


def heap_words() -> str:
    """How much of C's heap is in use, how much lies free in it, and what was taken in large pieces."""
    ask = ctypes.CDLL("libc.so.6").mallinfo2
    ask.restype = Heap
    heap = ask()
    return f"heap {heap.uordblks / 1e6:.1f} MB in use, {heap.fordblks / 1e6:.1f} free, {heap.hblkhd / 1e6:.1f} in large"


def what_there_is(wanted: bool):
    """Objects by type, and where memory was taken."""
    if not wanted:
        return None
    tracemalloc.start()
    return Counter(type(one).__name__ for one in gc.get_objects())


def tell_growth(known: Counter) -> None:
    """Which objects there are more of, and where what was taken since is held."""
    more = Counter(type(one).__name__ for one in gc.get_objects())
    more.subtract(known)
    print("more objects:", more.most_common(25))
    for one in tracemalloc.take_snapshot().statistics("lineno")[:25]:
        print(f"  {one}")


if __name__ == "__main__":
    sys.exit(main())
