"""What a merge of a large journal into an empty one costs, against a bare ``executemany`` of the same rows; by hand.

The bare side is what one would write with nothing but the standard library: one table with the id as its key,
write-ahead log, synchronous=FULL, one transaction, rows that are in memory already. Ours opens and looks at the other
journal, reads it, hashes every entry, sees what is there already, keeps five indices. Both write to one disk, one after
the other, each a few times. Memory is the peak of a process that does nothing but the merge.
"""

import argparse
import json
import sqlite3
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from checkapp.journal.entry import COLUMN_NAMES, COLUMNS, NO_ENTRY, digest_of_texts
from checkapp.journal.journal import INSERT, Journal
from checkapp.journal.merging import merge
from checkapp.journal.verify import verify

PLAN, RIG = "5b" * 32, "Saltmarsh Weekender, Barn Stage"
DEVICES, LINES = 8, 512
MERGE = """
import json, sys
from pathlib import Path
from time import perf_counter
from checkapp.journal.journal import Journal
from checkapp.journal.merging import merge
begin = perf_counter()
with Journal.open(Path(sys.argv[1]), new_device="bench", create=True) as journal:
    merged = merge(journal, [Path(sys.argv[2])])
status = Path("/proc/self/status").read_text()  # what getrusage says counts the parent of before the exec
peak_kb = int(status.split("VmHWM:")[1].split()[0])
print(json.dumps([perf_counter() - begin, peak_kb / 1000, merged.taken.new, len(merged.taken.faults)]))
"""


def rows(entries: int) -> Iterator[tuple[str | int | None, ...]]:
    """Marks of several devices, each with a sound chain, by turns."""
    ends = [NO_ENTRY] * DEVICES
    for number in range(entries):
        device = number % DEVICES
        show, line = divmod(number, LINES)
        detail = json.dumps(
            {"check": f"{show:024x}", "note": None, "plan": PLAN, "scope": "line", "symptom": None, "verdict": "ok"},
            separators=(",", ":"),
        )
        values = (
            f"{number * 2654435761 % 2**32:08x}{number:016x}",
            f"tablet-{device}",
            number // DEVICES + 1,
            "2031-05-02T14:03:11.120Z",
            f"{1_900_000_000_000 + number:012x}-0000",
            "mark",
            RIG,
            f"Night {show}",
            f"in {line + 1}",
            "JD",
            detail,
            ends[device],
        )
        ends[device] = digest_of_texts(values)
        yield (*values, ends[device])


def make_other(path: Path, entries: int) -> None:
    with Journal.open(path, new_device="tablet-0", create=True) as journal, journal.writing() as bare:
        bare.executemany(INSERT, rows(entries))
        last = bare.execute("SELECT seq, digest FROM entry WHERE device = 'tablet-0' ORDER BY seq DESC").fetchone()
        bare.execute("UPDATE fact SET value = ? WHERE key = 'last'", (f"{last[0]} {last[1]}",))


def bare_seconds(path: Path, every: list[tuple[str | int | None, ...]]) -> float:
    bare = sqlite3.connect(path, isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    columns = ", ".join(f'"{name}" {"INTEGER" if name == "seq" else "TEXT"}' for name in COLUMNS)
    bare.execute(f"CREATE TABLE entry ({columns}, PRIMARY KEY (id))")
    begin = perf_counter()
    bare.execute("BEGIN IMMEDIATE")
    bare.executemany(f"INSERT INTO entry ({COLUMN_NAMES}) VALUES ({','.join('?' * len(COLUMNS))})", every)
    bare.execute("COMMIT")
    spent = perf_counter() - begin
    bare.close()
    return spent


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=1_000_000)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--folder", type=Path, help="where to write; decides which disk is measured")
    options = parser.parse_args()
    ours, theirs, peaks = [], [], []
    with tempfile.TemporaryDirectory(dir=options.folder) as folder:
        other = Path(folder) / "other.db"
        make_other(other, options.entries)
        every = list(rows(options.entries))
        for run in range(options.runs):
            theirs.append(bare_seconds(Path(folder) / f"bare-{run}.db", every))
            target = Path(folder) / f"journal-{run}.db"
            done = subprocess.run(
                [sys.executable, "-c", MERGE, target, other], capture_output=True, text=True, check=True
            )
            spent, peak_mb, new, faults = json.loads(done.stdout)
            assert (new, faults) == (options.entries, 0), done.stdout
            ours.append(spent)
            peaks.append(peak_mb)
            print(f"run {run + 1}: merge {spent:.1f} s, bare {theirs[-1]:.1f} s, peak {peak_mb:.0f} MB", flush=True)
        again = again_seconds(target, other)
        begin = perf_counter()
        with Journal.read(target) as journal:
            assert verify(journal) == []
        verified = perf_counter() - begin
    merge_s, bare_s = statistics.median(ours), statistics.median(theirs)
    print(f"merge of {options.entries} entries {merge_s:.1f} s, bare executemany {bare_s:.1f} s (medians)")
    print(f"speed of the merge against bare executemany: {bare_s / merge_s:.2f} (goal: at least 0.5)")
    print(f"peak memory {max(peaks):.0f} MB (goal: under 300)")
    print(f"the same merge again, all known: {again:.1f} s; verification of the whole: {verified:.1f} s")


def again_seconds(target: Path, other: Path) -> float:
    begin = perf_counter()
    with Journal.open(target, new_device="bench") as journal:
        assert merge(journal, [other]).taken.new == 0
    return perf_counter() - begin


if __name__ == "__main__":
    main()
