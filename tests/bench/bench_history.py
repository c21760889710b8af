"""The history of a journal of a million marks, as a whole process, and the same counted by DuckDB; run by hand.

5 rigs of 250 lines and about 1,000 items each, 400 shows, ten checks a show, each line marked once a check, by eight
tablets. In every 1,000 marks 15 are faulty, 10 of them are repaired after, and 2 are undone. Goals: ``history --json``
under 3 s as a whole process, under 400 MB, and at most 3 times what DuckDB takes for the same counts.

DuckDB reads a SQLite file by an extension that it fetches from the network. Where that is not installed it gets the
rows from Python's own reader of SQLite, 100,000 at a time as columns of numpy, into a table of its own. So two ratios
are printed. With the loading DuckDB starts from the same file as the command does, by a way that is slower than its
extension would be: that one is kind to the command. Without it DuckDB starts from a table in its own memory and the
command still from the file: that one is kind to DuckDB, as is that only the command's time has the start of a process,
the rates and the writing of the document in it, which DuckDB is not asked for. With ``--swaps`` every fourth repair
puts another cable in; DuckDB does not follow that, and is left out.

A figure counts only with the load of the machine beside it, which is printed.
"""

import argparse
import json
import os
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from time import perf_counter

import duckdb
import numpy as np

from checkapp.journal.entry import NO_ENTRY, detail_text, digest_of_texts
from checkapp.journal.journal import INSERT, Journal
from checkapp.journal.kinds import Draft, check_opened, check_signed_off, mark, repair, rig, show, void

RIGS, LINES, CHECKS, DEVICES = 5, 250, 10, 8
BETWEEN_MS = 4000
FIRST_MS = 1_900_000_000_000
ROOT = Path(__file__).parents[2]
COLUMNS = ("id", "kind", "rig", "show", "subject", "detail")
KINDS = ("mark", "repair", "rig", "void")
AT_ONCE = 100_000
COUNTED = """
WITH undone AS (SELECT subject AS id FROM entry WHERE kind = 'void'),
told AS (SELECT * FROM entry WHERE id NOT IN (SELECT id FROM undone)),
paths AS (
  SELECT detail ->> '$.digest' AS plan, line.key AS line, detail ->> '$.owner' AS owner, step ->> 0 AS item
  FROM (SELECT detail FROM told WHERE kind = 'rig') AS used,
    unnest(map_entries(CAST(detail -> '$.lines' AS MAP(VARCHAR, JSON[])))) AS of_line(line),
    unnest(line.value) AS of_step(step)
),
marks AS (
  SELECT DISTINCT rig, "show", detail ->> '$.check' AS check_id, detail ->> '$.plan' AS plan, subject AS line
  FROM told WHERE kind = 'mark'
),
exposed AS (
  SELECT owner || '.' || item AS item, count(DISTINCT (rig, "show", check_id)) AS exposures
  FROM marks JOIN paths USING (plan, line) GROUP BY 1
),
owners AS (SELECT DISTINCT rig, detail ->> '$.owner' AS owner FROM told WHERE kind = 'rig'),
failed AS (
  SELECT owner || '.' || subject AS item, count(*) AS faults FROM told JOIN owners USING (rig)
  WHERE kind = 'repair' AND detail ->> '$.cleared' = 'true' GROUP BY 1
)
SELECT item, exposures, coalesce(faults, 0) FROM exposed LEFT JOIN failed USING (item)
"""


def path(line: int) -> list[tuple[str, str]]:
    """What a line runs through: boxes of 16 lines, two to a chain."""
    box = line // 16 + 1
    return [
        (f"MC{line:03d}", "source"),
        (f"XL{line:03d}", "cable"),
        (f"SB{box} in {line % 16 + 1}", "port"),
        (f"SB{box}", "box"),
        (f"LK{box:02d}", "hop"),
        (f"chain {'ABCDEFGH'[box // 2 % 8]}", "chain"),
        (f"desk in {line}", "desk"),
    ]


def drafts(marks: int, *, swaps: bool) -> Iterator[tuple[Draft, str, str | None]]:
    """What is told, of which rig and show; the ids of entries are their numbers, see `entry_id`."""
    lines = {f"in {line}": path(line) for line in range(LINES)}
    plans = [f"{number:064x}" for number in range(RIGS)]
    for number, plan in enumerate(plans):
        yield rig(digest=plan, owner=f"R{number}", version=1, file="rig.toml", lines=lines), f"Rig {number}", None  # type: ignore[arg-type]
    told, made = RIGS, 0
    while made < marks:
        of_show, check = divmod(made // LINES, CHECKS)
        where = (f"Rig {of_show % RIGS}", f"Night {of_show}")
        if check == 0:
            yield show(where[1], venue=f"Hall {of_show % 40}", date="2031-05-02"), *where
            told += 1
        opened = entry_id(told)
        yield check_opened(), *where
        told += 1
        for line in range(LINES):
            number = made + line
            bad = number * 7919 % 1000 < 15
            symptom = ("hum", "silent", "crackle")[number % 3] if bad else None
            name, plan = f"in {line}", plans[of_show % RIGS]
            yield mark(name, "faulty" if bad else "ok", plan=plan, check=opened, symptom=symptom), *where  # type: ignore[arg-type]
            told += 1
            more = _after(number, line, entry_id(told - 1), swaps=swaps)
            if more is not None:
                yield more, *where
                told += 1
        yield check_signed_off([opened], []), *where
        told += 1
        made += LINES


def _after(number: int, line: int, last: str, *, swaps: bool) -> Draft | None:
    """What follows a mark: a repair, an undoing, or nothing."""
    chance = number * 7919 % 1000
    item = f"XL{line:03d}" if chance % 2 else f"MC{line:03d}"
    if chance < 10:
        if swaps and number % 4 == 0:
            spare = f"SP{number}"
            return repair(item, "swap", cleared=True, replacement=spare, lines=[f"in {line}"])
        return repair(item, "reseat", cleared=True)
    return void(last) if chance in (500, 700) else None


def entry_id(number: int) -> str:
    """The id of the entry of that number: spread, as those of a real journal are."""
    return f"{number * 2654435761 % 2**32:08x}{number:016x}"


def rows(marks: int, *, swaps: bool) -> Iterator[tuple[str | int | None, ...]]:
    """The same as rows, by several devices in turn, each with a sound chain."""
    ends = [NO_ENTRY] * DEVICES
    for number, (draft, of_rig, of_show) in enumerate(drafts(marks, swaps=swaps)):
        device, ms = number % DEVICES, FIRST_MS + number * BETWEEN_MS
        at = f"{2000 + number // 250_000}-{number // 25_000 % 10 + 1:02d}-01T{number // 1200 % 20:02d}:"
        at += f"{number // 20 % 60:02d}:{number % 20 * 3:02d}.120Z"
        values = (
            entry_id(number),
            f"tablet-{device}",
            number // DEVICES + 1,
            at,
            f"{ms:012x}-0000",
            draft.kind,
            of_rig,
            of_show,
            draft.subject,
            "JD",
            detail_text(draft.detail),
            ends[device],
        )
        ends[device] = digest_of_texts(values)
        yield (*values, ends[device])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--marks", type=int, default=1_000_000)
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--swaps", action="store_true", help="every fourth repair puts another item in")
    parser.add_argument("--file", type=Path, help="a journal to keep for another run; made when it is not there")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        file = options.file or Path(folder) / "journal.db"
        if not file.exists():
            with Journal.open(file, new_device="tablet-0", create=True) as journal, journal.writing() as bare:
                bare.executemany(INSERT, rows(options.marks, swaps=options.swaps))
        print(f"load before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
        took, found = ours(file, options.runs)
        if options.swaps:
            return
        loading, counting, counts = duck(file, options.runs)
        same = counts == {item["item"]: (item["exposures"], item["faults"]) for item in found["items"]}
        print(f"DuckDB: exposures and faults in {counting:.2f} s after {loading:.2f} s of loading")
        print(f"its counts are {'the same' if same else 'OTHERS'}")
        with_loading, without = took / (loading + counting), took / counting
        print(f"ratio: {with_loading:.1f} with the loading, {without:.1f} without (goal: at most 3)")


def ours(file: Path, runs: int) -> tuple[float, dict[str, list[dict[str, object]]]]:
    """The command as a whole process: seconds (the middle of several), and what it says."""
    times = []
    for _ in range(runs):
        begin = perf_counter()
        done = subprocess.run(
            [sys.executable, "-m", "checkapp", "history", "--json", "--journal", str(file)],
            check=True,
            capture_output=True,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )
        times.append(perf_counter() - begin)
    found = json.loads(done.stdout)
    most_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    took = statistics.median(times)
    size = f"{file.stat().st_size / 1e6:.0f} MB, {len(found['items'])} items"
    print(f"history --json of {size}: {took:.2f} s (goal: under 3), {most_mb:.0f} MB (goal: under 400)")
    return took, found


def duck(file: Path, runs: int) -> tuple[float, float, dict[str, tuple[int, int]]]:
    """The same counts by DuckDB: seconds of loading and of counting (the middle of several), the counts by item."""
    times = []
    for _ in range(runs):
        with duckdb.connect(config={"autoinstall_known_extensions": False}) as base:
            begin = perf_counter()
            load(file, base)
            loaded = perf_counter()
            found = base.execute(COUNTED).fetchall()
            times.append((loaded - begin, perf_counter() - loaded))
    loading, counting = map(statistics.median, zip(*times, strict=True))
    return loading, counting, {item: (exposures, faults) for item, exposures, faults in found}


def load(file: Path, base: duckdb.DuckDBPyConnection) -> None:
    """Make the table of what is counted, of the columns that it needs."""
    names = [f'"{name}"' for name in COLUMNS]
    asked = f"SELECT {', '.join(names)} FROM {{}} WHERE kind IN {KINDS}"
    try:
        base.execute("LOAD sqlite_scanner")
    except duckdb.Error:
        base.execute(f"CREATE TABLE entry ({', '.join(f'{name} VARCHAR' for name in names)})")
    else:
        base.execute("CREATE TABLE entry AS " + asked.format(f"sqlite_scan('{file}', 'entry')"))
        return
    with closing(sqlite3.connect(file)) as plain:
        cursor = plain.execute(asked.format("entry"))
        while rows := cursor.fetchmany(AT_ONCE):
            columns = dict(zip(COLUMNS, (np.array(texts, object) for texts in zip(*rows, strict=True)), strict=True))
            base.register("columns", columns)
            base.execute("INSERT INTO entry SELECT * FROM columns")
            base.unregister("columns")


if __name__ == "__main__":
    main()
