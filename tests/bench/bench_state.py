"""Where a check of 512 lines stands, rebuilt from a journal of a million entries; run by hand.

All entries are of one rig and eight tablets, over many shows. Besides marks there are, in every 100 entries, two that
undo another one, one repair (every fourth of them a swap, which all later shows are looked at through) and three
connections. Goal: under 100 ms, the middle of several runs, with a connection that was just opened.
"""

import argparse
import json
import statistics
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

from checkapp.journal.entry import NO_ENTRY, detail_text, digest_of_texts
from checkapp.journal.journal import INSERT, Journal
from checkapp.journal.kinds import Draft, check_opened, mark, repair, rig, void
from checkapp.journal.setup_kinds import connected
from checkapp.journal.setup_state import read_setup_state
from checkapp.journal.state import read_show_state

PLAN, RIG = "5b" * 32, "Saltmarsh Weekender, Barn Stage"
DEVICES, LINES = 8, 512


def path(line: int) -> list[tuple[str, str]]:
    """What a line runs through: 16 boxes of 32 lines on four chains."""
    box = line // 32 + 1
    chain = "ABCD"[box % 4]
    return [
        (f"source in {line}", "source"),
        (f"XL{line:03d}", "cable"),
        (f"SB{box} in {line % 32 + 1}", "port"),
        (f"SB{box}", "box"),
        (f"LK{box:02d}", "hop"),
        (f"chain {chain}", "chain"),
        (f"desk in {line}", "desk"),
    ]


def drafts(entries: int) -> Iterator[tuple[str, Draft, int]]:
    """Ids, what they say and the number of their show."""
    lines = {f"in {line}": path(line) for line in range(1, LINES + 1)}
    yield "the-rig-0000000000000000", rig(digest=PLAN, owner="SM", version=1, file="barn.toml", lines=lines), 0  # type: ignore[arg-type]
    last = ""
    for number in range(1, entries):
        show, line = divmod(number, LINES)
        entry_id = f"{number * 2654435761 % 2**32:08x}{number:016x}"
        name = f"in {line + 1}"
        if line == 0:
            yield entry_id, check_opened(), show
        elif number % 100 in (3, 57):
            yield entry_id, void(last), show
        elif number % 400 == 31:
            yield (
                entry_id,
                repair(f"XL{line:03d}", "swap", cleared=True, replacement=f"SP{number % 90}", lines=[name]),
                show,
            )
        elif number % 100 == 31:
            yield entry_id, repair(f"XL{line:03d}", "reseat", cleared=True), show
        elif number % 100 in (7, 8, 9):
            yield entry_id, connected(f"XL{line:03d} B", [f"SB1 in {line % 32 + 1}"], "right"), show
        else:
            verdict = "faulty" if number % 37 == 0 else "ok"
            yield (
                entry_id,
                mark(name, verdict, plan=PLAN, check="", symptom="hum" if verdict == "faulty" else None),
                show,
            )  # type: ignore[arg-type]
            last = entry_id


def rows(entries: int) -> Iterator[tuple[str | int | None, ...]]:
    """The same as rows, by several devices in turn, each with a sound chain."""
    ends = [NO_ENTRY] * DEVICES
    for number, (entry_id, draft, show) in enumerate(drafts(entries)):
        device = number % DEVICES
        values = (
            entry_id,
            f"tablet-{device}",
            number // DEVICES + 1,
            "2031-05-02T14:03:11.120Z",
            f"{1_900_000_000_000 + number:012x}-0000",
            draft.kind,
            RIG,
            None if draft.kind == "rig" else f"Night {show}",
            draft.subject,
            "JD",
            detail_text(draft.detail),
            ends[device],
        )
        ends[device] = digest_of_texts(values)
        yield (*values, ends[device])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=1_000_000)
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument("--file", type=Path, help="a journal to keep for another run; made when it is not there")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        file = options.file or Path(folder) / "journal.db"
        if not file.exists():
            with Journal.open(file, new_device="tablet-0", create=True) as journal, journal.writing() as bare:
                bare.executemany(INSERT, rows(options.entries))
        measure(file, f"Night {options.entries // LINES - 1}", options.runs)


def measure(file: Path, show: str, runs: int) -> None:
    times: dict[str, list[float]] = {"check": [], "set-up": [], "first": []}
    for _ in range(runs):
        with Journal.open(file, new_device="bench") as journal:
            for name in ("first", "check"):
                begin = perf_counter()
                state = read_show_state(journal, RIG, show)
                times[name].append(perf_counter() - begin)
            begin = perf_counter()
            setup = read_setup_state(journal, RIG, show)
            times["set-up"].append(perf_counter() - begin)
    print(json.dumps({"lines": len(state.lines), "again": len(state.again), "connected": len(setup.connected)}))
    first, check, set_up = (statistics.median(times[name]) * 1e3 for name in ("first", "check", "set-up"))
    print(f"state of a check of {LINES} lines: {check:.0f} ms, with a new connection {first:.0f} ms (goal: under 100)")
    print(f"its set-up: {set_up:.0f} ms")


if __name__ == "__main__":
    main()
