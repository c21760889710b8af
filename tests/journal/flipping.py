"""One byte of a journal file changed anywhere: it is harmless, or verification tells of it."""

import random
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.entry import Entry
from checkapp.journal.journal import Journal
from checkapp.journal.taking_in import take_in
from checkapp.journal.verify import verify
from checkapp.journal.views import VIEWS
from checkapp.rig.errors import CheckappError

PLAN = "5b" * 32


def make_journal(path: Path) -> None:
    """A closed journal as a crew has it: two tablets, marks, undoings, repairs, a long detail over several pages."""
    with Journal.open(path.with_name("other.db"), new_device="right", create=True) as other:
        _fill(other, "right", 40)
        entries = other.entries()
    with Journal.open(path, new_device="left", create=True) as journal:
        _fill(journal, "left", 60)
        take_in(journal, entries)


def _fill(journal: Journal, name: str, count: int) -> None:
    lines = {f"in {line}": [(f"SB{line % 8 + 1} in {line}", "port")] for line in range(1, 200)}
    last = ""
    for number in range(count):
        draft = {
            0: kinds.rig(digest=PLAN, owner="SM", version=1, file="barn.toml", lines=lines),  # type: ignore[arg-type]
            1: kinds.show("Night 1", venue="Zoë's Barn", date="2031-05-02"),
            2: kinds.check_opened(),
            3: setup_kinds.connected("HP01 A", ["DESK link out"], "right"),
            4: kinds.repair("XL07", "swap", cleared=True, replacement="XL09"),
        }.get(number) or (kinds.void(last) if number % 9 == 8 else _mark(number))
        last = f"entry-of-{name}-{number:08d}"
        journal.append(
            draft.kind,
            now_ms=1_900_000_000_000 + number * 1000,
            new_id=last,
            rig="Barn",
            show=None if number == 0 else "Night 1",
            subject=draft.subject,
            by="JD" if number % 5 else None,
            detail=draft.detail,
        )


def _mark(number: int) -> kinds.Draft:
    faulty = number % 3 == 0
    symptom, note = ("hum", "behind the riser, Zoë") if faulty else (None, None)
    return kinds.mark(f"in {number}", "faulty" if faulty else "ok", symptom=symptom, note=note, plan=PLAN, check="c")  # type: ignore[arg-type]


Held = tuple[list[Entry], list[list[Any]]]


def held(path: Path) -> Held:
    """What a journal says to the program and to people with a SQL tool."""
    with Journal.read(path) as journal:
        entries = journal.entries()
    with closing(sqlite3.connect(path)) as plain:
        views = [plain.execute(f"SELECT * FROM {view} ORDER BY 1, 2, 3, 4").fetchall() for view in VIEWS]
    return entries, views


def flip(sound: Path, path: Path, at: int, to: int) -> None:
    """A copy of the sound file at ``path`` with one byte changed, and nothing left beside it."""
    for leftover in path.parent.glob(f"{path.name}*"):
        leftover.unlink()
    shutil.copy(sound, path)
    with path.open("r+b") as file:
        file.seek(at)
        file.write(bytes([to]))


def places(sound: Path, count: int, chance: random.Random) -> list[tuple[int, int]]:
    """Random places and what stands there afterwards: any other byte, or one with a single bit changed."""
    content = sound.read_bytes()
    found = []
    for _ in range(count):
        at = chance.randrange(len(content))
        mask = 1 << chance.randrange(8) if chance.random() < 0.5 else chance.randrange(1, 256)
        found.append((at, content[at] ^ mask))
    return found


def told(path: Path) -> bool:
    """Whether verification, or already opening, tells that something is wrong, each in one line."""
    try:
        with Journal.read(path) as journal:
            said = [fault.said for fault in verify(journal)]
            if journal.notice:
                said.append(journal.notice)
    except CheckappError as error:
        said = list(error.lines)
    assert all(line and "\n" not in line for line in said)
    return bool(said)


def is_harmless(path: Path, expected: Held) -> bool:
    """Whether the journal says what it said, and goes on as if nothing had happened."""
    if held(path) != expected:
        return False
    with Journal.open(path, new_device="left") as journal:
        following = journal.append("note", now_ms=1, new_id="written-afterwards-0")
        return journal.entries() == [*expected[0], following] and verify(journal) == []
