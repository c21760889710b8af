"""Kills the real program at random moments while it marks at full speed, and looks at what is left.

    python crashing.py WORK TIMES SEED WAY FOLDER

FOLDER is where the journals are made. One process, warmed up, forks a child for each round; the child runs the real
`mark` command again and again (WORK ``command``), or a session of the app without its window (``session``), and says
what the program said to be saved; it is killed at a random moment. ``full`` is a session whose disk has no room left:
WAY says how that is brought about, ``tmpfs`` (FOLDER lies on a small file system that ballast fills) or ``limit``
(no file of the child's can grow beyond a few kB). ``liar`` says "saved" before it writes: what finds nothing wrong
with that proves nothing. What was found is printed as JSON.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import random
import resource
import select
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROUNDS_A_JOURNAL = 25
LONGEST_S = 0.06
LONGEST_WAIT_S = 10.0
SHOW = "Night 1"
BROKEN = "broken: "
WAITS = "waits: "
ROUND = 100_000
"""The numbers of a round's marks begin at this times its own."""
PLANS = Path(__file__).parents[1] / "plans"
ROOM = 8192
"""Bytes that no file grows beyond where room is short: what is kept fits in, a commit does not."""


def run(work: str, times: int, seed: int, folder: Path, way: str = "limit") -> dict[str, object]:
    """Run it in a process of its own; for ``tmpfs`` on a small file system of its own, mounted without being root."""
    folder.mkdir(parents=True, exist_ok=True)
    words = [sys.executable, __file__, work, str(times), str(seed), way, str(folder)]
    if way == "tmpfs":
        mount = 'mount -t tmpfs -o size=1200k none "$1" && shift && exec "$@"'
        words = ["unshare", "-Urm", "sh", "-c", mount, "sh", str(folder), *words]
    found = subprocess.run(words, capture_output=True, text=True, check=False, timeout=7200)
    if found.returncode:
        raise RuntimeError(found.stderr)
    result: dict[str, object] = json.loads(found.stdout)
    return result


def can_mount(folder: Path) -> bool:
    """Whether this machine lets anybody mount a file system of their own."""
    folder.mkdir(parents=True, exist_ok=True)
    words = ["unshare", "-Urm", "mount", "-t", "tmpfs", "-o", "size=1m", "none", str(folder)]
    try:
        return subprocess.run(words, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


# -- what the children do; each says a line for what is saved


def mark_by_command(journal: Path, first: int, say: Callable[[str], None]) -> None:
    """The real command, once after the other, its own words going to the parent."""
    for number in range(first, first + 10_000):
        status = _command(journal, number)
        if status:
            say(f"{BROKEN}mark left with status {status}")


def mark_in_app(journal: Path, first: int, say: Callable[[str], None]) -> None:
    """What the walk screen does, and the notes of the marks that it shows as saved."""
    session = _session(journal)
    lines = [row.line for row in session.lines()]
    for number in range(first, first + 10_000):
        line = lines[number % len(lines)]
        session.faulty(line, "hum", f"note {number}")
        shown = next(row for row in session.lines() if row.line == line)
        if shown.status == "faulty":
            say(f"note {number}")


def mark_and_lie(journal: Path, first: int, say: Callable[[str], None]) -> None:
    """A program that is not to be trusted."""
    session = _session(journal)
    for number in range(first, first + 10_000):
        say(f"note {number}")
        time.sleep(0.002)
        session.faulty("in 1", "hum", f"note {number}")


def mark_while_full(journal: Path, first: int, say: Callable[[str], None]) -> None:
    """As `mark_in_app`, with room for the first few marks only, and every other time room again at the end."""
    session = _session(journal)
    room = resource.getrlimit(resource.RLIMIT_FSIZE)
    for number in range(first, first + 12):
        if number == first + 4:
            _fill(journal.parent)
        session.faulty(f"in {number % 5 + 1}", "hum", f"note {number}")
        for row in session.lines():
            if row.status == "faulty":
                say(row.said.split(", ")[1])
        _command(journal, number)  # refused where there is no room; what it prints is there
        if session.saving().trouble:
            say(f"{WAITS}{session.saving().trouble.partition(': ')[2].partition(';')[0]}")
    if first // ROUND % 2:
        resource.setrlimit(resource.RLIMIT_FSIZE, room)
        _make_room(journal.parent)
        session.undo()
        until = time.monotonic() + 10
        while session.saving().waiting and time.monotonic() < until:  # a busy machine takes its time
            time.sleep(0.02)
        if session.saving().waiting:
            say(f"{BROKEN}there is room, and {session.saving().waiting} still wait")
    say("closed" if session.close() else "closed, all saved")


def _command(journal: Path, number: int) -> object:
    """One `mark`, which prints the id of what it saved; its exit status."""
    from checkapp.cli import main

    words = ["mark", str(PLANS / "small.toml"), f"in {number % 5 + 1}", "ok", "--note", str(number)]
    try:
        main([*words, "--by", "JD", "--show", SHOW, "--journal", str(journal)])
    except SystemExit as end:
        return end.code
    return None


WORK = {"command": mark_by_command, "session": mark_in_app, "liar": mark_and_lie, "full": mark_while_full}
WAY = "limit"


def _session(journal: Path):
    from checkapp.show.session import Session

    home = journal.parent / "home"
    session = Session(journal, home=home, wait_s=0.05, refuges=[_refuge(journal)])
    session.open_rig(str(PLANS / "small.toml"))
    session.start_check(SHOW, "", "2031-05-02", "JD")
    return session


def _refuge(journal: Path) -> Path:
    """Where there is room: beside the small file system."""
    return journal.parents[1].with_name(f"{journal.parents[1].name}-refuge") / journal.parent.name


def _fill(folder: Path) -> None:
    """Leave no room where the journal is."""
    if WAY == "limit":
        resource.setrlimit(resource.RLIMIT_FSIZE, (ROOM, resource.getrlimit(resource.RLIMIT_FSIZE)[1]))
        return
    with (folder / "ballast").open("wb", buffering=0) as file, contextlib.suppress(OSError):
        while file.write(b"x" * 4096):
            pass


def _make_room(folder: Path) -> None:
    (folder / "ballast").unlink(missing_ok=True)


# -- the parent


def _say(words: str) -> None:
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


def _round(work: str, journal: Path, first: int, longest_s: float, chance: random.Random) -> list[str]:
    """One child's life, to its own end where ``longest_s`` is 0; the whole lines that it said."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            os.dup2(writing, 1)
            sys.stdout = io.TextIOWrapper(os.fdopen(1, "wb", 0), write_through=True)
            os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
            WORK[work](journal, first, _say)
        except Exception as error:  # noqa: BLE001 - whatever it is, it is what is looked for
            _say(f"{BROKEN}{type(error).__name__}: {error}")
        finally:
            os._exit(0)
    os.close(writing)
    if longest_s:
        if chance.random() < 0.5:  # the other half is killed at its very beginning, too, however slow the machine is
            select.select([reading], [], [], LONGEST_WAIT_S)
        time.sleep(chance.uniform(0.0, longest_s))
        os.kill(child, signal.SIGKILL)
    with os.fdopen(reading, "rb") as told:
        said = told.read().decode()
    os.waitpid(child, 0)
    return [line for line in said[: said.rfind("\n") + 1].splitlines() if line]


def _stored(journal: Path) -> set[str]:
    """Ids and notes of what is in a journal, read without our library."""
    opened = sqlite3.connect(journal)
    try:
        rows = opened.execute("SELECT id, json_extract(detail, '$.note') FROM entry").fetchall()
    finally:
        opened.close()
    return {str(value) for row in rows for value in row if value is not None}


def _faults(journal: Path, said: set[str], number: int) -> list[str]:
    """What is wrong with what a killed program left: something it called saved is missing, the chain, the next mark."""
    from checkapp.show.marking import Where, mark
    from checkapp.show.verifying import verify_journal

    if not journal.exists():
        return [f"no journal, though these were saved: {sorted(said)}"] if said else []
    begun = _is_begun(journal)
    found = [f"lost: {one}" for one in sorted(said - (_stored(journal) if begun else set()))]
    if not begun:
        return found
    lines, sound = verify_journal(journal)
    found += [] if sound else lines
    said.add(mark(Where(PLANS / "small.toml", SHOW, "JD", journal), "in 1", "ok", note=f"after {number}"))
    return found


def _is_begun(journal: Path) -> bool:
    """Whether the file holds a journal: killed while it was made, it is still empty, and the next mark makes it."""
    opened = sqlite3.connect(journal)
    try:
        return bool(opened.execute("SELECT count(*) FROM sqlite_master").fetchone()[0])
    finally:
        opened.close()


def _warm_up(journal: Path) -> None:
    """Do once what the children do, so that all of it is loaded before they are forked."""
    journal.parent.mkdir()
    session = _session(journal)
    session.faulty("in 1", "hum", "")
    session.lines()
    session.close()
    with contextlib.redirect_stdout(io.StringIO()):
        _command(journal, 0)
    _faults(journal, set(), 0)


def crash(work: str, times: int, seed: int, folder: Path) -> dict[str, object]:
    """Kill it so many times; what was found."""
    os.environ["CHECKAPP_HOME"] = str(folder / "machine")
    _warm_up(folder / "warm" / "journal.db")
    chance = random.Random(seed)
    faults: list[str] = []
    said: set[str] = set()
    journal = folder / "journal-0.db"
    why: set[str] = set()
    saved = killed_at_work = left = 0
    for number in range(times):
        if number % ROUNDS_A_JOURNAL == 0:
            if work == "full" and number:
                shutil.rmtree(journal.parent)  # there is room for one
            journal = folder / f"{number // ROUNDS_A_JOURNAL}" / "journal.db"
            journal.parent.mkdir()
            said = set()
        longest_s = 4 * LONGEST_S * (number % 4 < 2) if work == "full" else LONGEST_S
        lines = _round(work, journal, number * ROUND, longest_s, chance)
        why |= {line for line in lines if line.startswith(WAITS)}
        killed_at_work += not any(line.startswith("closed") for line in lines)
        faults += [f"round {number}: {line}" for line in lines if line.startswith(BROKEN)]
        fresh = {line for line in lines if not line.startswith((BROKEN, WAITS, "closed"))}
        saved += len(fresh)
        said |= fresh
        _make_room(journal.parent)
        try:
            if work == "full":
                left += _come_in(journal)
            faults += [f"round {number}: {words}" for words in _faults(journal, said, number)]
        except Exception as error:  # noqa: BLE001 - whatever it is, it is what is looked for
            faults.append(f"round {number}: {type(error).__name__}: {error}")
    found = {"rounds": times, "killed": killed_at_work, "saved": saved, "why": sorted(why), "came in": left}
    return found | {"faults": faults[:20]}


def _come_in(journal: Path) -> int:
    """The next start: what was kept is in the journal then, with none of it left over; how much that was."""
    refuge = _refuge(journal)
    kept = [path.read_text().splitlines() for path in refuge.glob("*.jsonl")]
    lines = [json.loads(line) for some in kept for line in some]
    session = _session(journal)
    session.close()
    missing = {line["id"] for line in lines} - _stored(journal)
    if missing or list(refuge.glob("*.jsonl")):
        raise RuntimeError(f"kept and not in: {sorted(missing)}")
    return len(lines)


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))
    WAY = sys.argv[4]
    _say(json.dumps(crash(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), Path(sys.argv[5]))))
