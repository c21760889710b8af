"""What a durable mark costs against a bare insert of the same row with the same settings; run by hand.

All write to the same disk, by turns, so that what else the machine does meets them alike. The bare insert is what one
would write with nothing but the standard library: one table with the id as its key, write-ahead log, synchronous=FULL,
one transaction a row; once with the indices that the questions need, once without. The journal also reads the end of
its chain, hashes, keeps its own record and watches that its file is still there.
"""

import argparse
import sqlite3
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateIndex

from checkapp.journal import kinds, schema
from checkapp.journal.entry import COLUMNS, Entry
from checkapp.journal.journal import Journal

PLAN = "5b" * 32
ONE_MARK = """
import sys
from pathlib import Path
from checkapp.journal import kinds
from checkapp.journal.journal import Journal
with Journal.open(Path(sys.argv[1]), new_device="bench", create=True) as journal:
    kind, subject, detail = kinds.mark("in 1", "ok", plan="5b" * 32, check="0" * 16)
    journal.append(kind, now_ms=1, new_id="bench-process-0001", subject=subject, detail=detail)
"""


def seconds(work: Callable[[], object]) -> float:
    begin = perf_counter()
    work()
    return perf_counter() - begin


def bare_database(path: Path) -> sqlite3.Connection:
    bare = sqlite3.connect(path, isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    columns = ", ".join(f'"{name}" {"INTEGER" if name == "seq" else "TEXT"}' for name in COLUMNS)
    bare.execute(f"CREATE TABLE entry ({columns}, PRIMARY KEY (id))")
    return bare


def bare_insert(bare: sqlite3.Connection, entry: Entry) -> None:
    bare.execute("BEGIN IMMEDIATE")
    bare.execute(f"INSERT INTO entry VALUES ({', '.join('?' * len(COLUMNS))})", entry.values)
    bare.execute("COMMIT")


def one_mark(journal: Journal, number: int) -> Entry:
    kind, subject, detail = kinds.mark(f"in {number % 60}", "faulty", symptom="hum", plan=PLAN, check="0" * 16)
    return journal.append(
        kind,
        now_ms=1_900_000_000_000 + number,
        new_id=f"{number * 2654435761 % 2**32:08x}-bench-{number:08d}",
        rig="Saltmarsh Weekender, Barn Stage",
        show="Night 1",
        subject=subject,
        by="JD",
        detail=detail,
    )


def compare_inserts(folder: Path, marks: int) -> None:
    bare = bare_database(folder / "bare.db")
    alike = bare_database(folder / "alike.db")
    for index in sorted(schema.entry.indexes, key=str):
        if index.name != "entry_by_id":  # that is the key here
            alike.execute(str(CreateIndex(index).compile(dialect=sqlite.dialect())))
    ours: list[float] = []
    theirs: list[float] = []
    same: list[float] = []
    with Journal.open(folder / "journal.db", new_device="bench", create=True) as journal:
        written = [one_mark(journal, 0)]
        for number in range(1, marks + 1):
            ours.append(seconds(lambda number=number: written.append(one_mark(journal, number))))
            theirs.append(seconds(lambda: bare_insert(bare, written[-1])))
            same.append(seconds(lambda: bare_insert(alike, written[-1])))
    bare.close()
    alike.close()
    mark_us, bare_us = (statistics.median(times) * 1e6 for times in (ours, theirs))
    same_us = statistics.median(same) * 1e6
    print(f"durable mark {mark_us:.0f} us; bare insert with the same indices {same_us:.0f} us, with none but the key")
    print(f"  {bare_us:.0f} us (medians of {marks})")
    print(f"durable mark against bare insert with the same indices: {mark_us / same_us:.2f} (goal: at most 1.6)")
    print(f"  and with none but the key: {mark_us / bare_us:.2f}")


def compare_processes(folder: Path, runs: int) -> None:
    def run(code: str, *arguments: str) -> float:
        return seconds(lambda: subprocess.run([sys.executable, "-c", code, *arguments], check=True))

    whole: list[float] = []
    library: list[float] = []
    empty: list[float] = []
    for number in range(runs):
        whole.append(run(ONE_MARK, str(folder / f"first-{number}.db")))
        library.append(run("import sqlalchemy"))
        empty.append(run("pass"))
    whole_ms, library_ms, empty_ms = (statistics.median(times) * 1e3 for times in (whole, library, empty))
    print(f"process: make a journal and mark once {whole_ms:.0f} ms, import SQLAlchemy {library_ms:.0f} ms, ")
    print(f"         nothing {empty_ms:.0f} ms; of the first, ours is {(whole_ms - library_ms) / whole_ms:.0%}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--marks", type=int, default=2000)
    parser.add_argument("--runs", type=int, default=7)
    parser.add_argument("--folder", type=Path, help="where to write; decides which disk is measured")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=options.folder) as folder:
        compare_inserts(Path(folder), options.marks)
        compare_processes(Path(folder), options.runs)


if __name__ == "__main__":
    main()
