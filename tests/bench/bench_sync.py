"""What syncing with a hub costs against COPY of the same rows into the same table; run by hand.

Both write to the same server, by turns, into hubs of their own that are set up alike. COPY has its rows ready in memory
and does nothing else. The sync reads them from the journal, checks every digest, asks the hub what it has, and sends
what it lacks in parts, each a transaction; the same into an empty journal is measured besides.
"""

import argparse
import importlib.util
import statistics
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from time import perf_counter

from checkapp.journal import kinds
from checkapp.journal.clock import at_text
from checkapp.journal.entry import COLUMNS, NO_ENTRY, Entry, detail_text
from checkapp.journal.hub import open_hub
from checkapp.journal.hub_address import read_address
from checkapp.journal.journal import Journal
from checkapp.journal.sync import own_sums, sync
from checkapp.journal.taking_in import take_in

GOAL = 3
ONE_SYNC = """
import re, sys
from pathlib import Path
from checkapp.journal.hub import open_hub
from checkapp.journal.hub_address import read_address
from checkapp.journal.journal import Journal
from checkapp.journal.sync import own_sums, sync
def peak_mb():
    return int(re.search(r"VmHWM:\\s*([0-9]+)", Path("/proc/self/status").read_text())[1]) / 1000
with Journal.open(Path(sys.argv[1]), new_device="bench-3", create=True) as journal:
    with open_hub(read_address(sys.argv[2])) as hub:
        hub.sums()
        before = peak_mb()
        sync(journal, hub, own_sums())
        print(f"{peak_mb():.0f} MB, of which {peak_mb() - before:.0f} for the entries")
"""


def made(count: int) -> list[Entry]:
    """Marks as one tablet makes them."""
    entries: list[Entry] = []
    previous = NO_ENTRY
    for number in range(1, count + 1):
        draft = kinds.mark(f"in {number % 60}", "faulty", symptom="hum", plan="5b" * 32, check="0" * 16)
        now_ms = 1_900_000_000_000 + number
        entry = Entry(
            id=f"{number * 2654435761 % 2**32:08x}-bench-{number:08d}",
            device="bench-1",
            seq=number,
            at=at_text(now_ms),
            clock=f"{now_ms:012x}-0000",
            kind=draft.kind,
            rig="Saltmarsh Weekender, Barn Stage",
            show="Night 1",
            subject=draft.subject,
            by="JD",
            detail=detail_text(draft.detail),
            previous=previous,
        )
        entry = replace(entry, digest=entry.computed_digest())
        previous = entry.digest
        entries.append(entry)
    return entries


def copy(database: object, entries: list[Entry]) -> float:
    names = ", ".join(f'"{name}"' for name in COLUMNS)
    with database.connect("left_tablet") as connection:
        begin = perf_counter()
        with connection.cursor().copy(f"COPY entry ({names}) FROM STDIN") as copying:
            for entry in entries:
                copying.write_row(entry.values)
        return perf_counter() - begin


def synced(journal: Journal, database: object, expected: tuple[int, int]) -> float:
    begin = perf_counter()
    with open_hub(read_address(database.url())) as hub:
        found = sync(journal, hub, own_sums())
    taken_s = perf_counter() - begin
    assert (found.sent, found.came) == expected
    return taken_s


def compare(server: object, folder: Path, count: int, runs: int) -> None:
    entries = made(count)
    copying: list[float] = []
    sending: list[float] = []
    coming: list[float] = []
    again: list[float] = []
    with Journal.open(folder / "full.db", new_device="bench-2", create=True) as full:
        take_in(full, entries)
        for run in range(runs):
            copying.append(copy(server.new(), entries))
            hub = server.new()
            sending.append(synced(full, hub, (count, 0)))
            again.append(synced(full, hub, (0, 0)))
            with Journal.open(folder / f"empty-{run}.db", new_device="bench-3", create=True) as empty:
                coming.append(synced(empty, hub, (0, count)))
    copy_s, send_s, come_s, again_s = map(statistics.median, (copying, sending, coming, again))
    print(f"{count} entries, medians of {runs}: COPY {copy_s:.2f} s, sent {send_s:.2f} s, came {come_s:.2f} s,")
    print(f"  nothing to do {again_s:.2f} s")
    print(f"sync to the hub against COPY: {send_s / copy_s:.2f} times as long (goal: at most {GOAL})")
    child = [sys.executable, "-c", ONE_SYNC, str(folder / "memory.db"), hub.url()]
    peak = subprocess.run(child, check=True, capture_output=True, text=True).stdout.strip()
    print(f"highest memory of a process that takes all of them: {peak}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=100_000)
    parser.add_argument("--runs", type=int, default=3)
    options = parser.parse_args()
    spec = importlib.util.spec_from_file_location("hub_server", Path(__file__).parents[1] / "hub_server.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    server = module.HubServer()
    try:
        with tempfile.TemporaryDirectory() as folder:
            compare(server, Path(folder), options.entries, options.runs)
    finally:
        server.end()


if __name__ == "__main__":
    main()
