"""What the tests of the journal share: a journal on disk, a story told in memory, work in other processes."""

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from checkapp.journal.clock import ZERO, at_text, next_clock
from checkapp.journal.entry import NO_ENTRY, Entry, detail_text
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import Draft
from checkapp.journal.views import TRIGGERS

ROOT = Path(__file__).parents[2]
RIG = "Barn Stage"
SHOW = "Night 1"


@contextmanager
def unguarded(path: Path) -> Iterator[sqlite3.Connection]:
    """The file at ``path`` with what guards the log taken away, and put back at the end."""
    with closing(sqlite3.connect(path)) as plain, plain:
        for name in TRIGGERS:
            plain.execute(f"DROP TRIGGER {name}")
        yield plain
        for statement in TRIGGERS.values():
            plain.execute(statement)


class Story:
    """Entries as journals that see each other at once would write them, without a file."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        self._ends: dict[str, Entry] = {}
        self._clock = ZERO

    def tell(
        self,
        draft: Draft,
        device: str = "left",
        *,
        show: str | None = SHOW,
        rig: str | None = RIG,
        by: str | None = "JD",
        now_ms: int | None = None,
    ) -> Entry:
        number = len(self.entries) + 1
        now_ms = 1_900_000_000_000 + number * 1000 if now_ms is None else now_ms
        end = self._ends.get(device)
        entry = Entry(
            id=f"told-{device}-{number:012d}",
            device=device,
            seq=end.seq + 1 if end else 1,
            at=at_text(now_ms),
            clock=next_clock(self._clock, now_ms),
            kind=draft.kind,
            rig=rig,
            show=None if draft.kind == "rig" else show,
            subject=draft.subject,
            by=by,
            detail=detail_text(draft.detail),
            previous=end.digest if end else NO_ENTRY,
        )
        entry = replace(entry, digest=entry.computed_digest())
        self._ends[device] = entry
        self._clock = entry.clock
        self.entries.append(entry)
        return entry


class Children:
    """Other processes that run a few lines of Python; what is still alive at the end is killed."""

    def __init__(self) -> None:
        self._running: list[subprocess.Popen[str]] = []

    def start(self, code: str, *arguments: object) -> "subprocess.Popen[str]":
        child = subprocess.Popen(
            [sys.executable, "-c", code, *map(str, arguments)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            cwd=ROOT,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )
        self._running.append(child)
        return child

    def run(self, code: str, *arguments: object) -> str:
        child = self.start(code, *arguments)
        out, err = child.communicate(timeout=60)
        assert child.returncode == 0, err
        return out

    def end(self) -> None:
        for child in self._running:
            child.kill()
            child.wait()
            for stream in (child.stdin, child.stdout, child.stderr):
                stream.close()


@pytest.fixture
def children() -> Iterator[Children]:
    family = Children()
    yield family
    family.end()


Behind = Callable[[Path], AbstractContextManager[sqlite3.Connection]]


@pytest.fixture(scope="session")
def behind_its_back() -> Behind:
    """Changes to a log that the database would refuse."""
    return unguarded


@pytest.fixture(scope="session")
def new_story() -> type[Story]:
    return Story


@pytest.fixture
def story() -> Story:
    return Story()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


@pytest.fixture
def journal(path: Path) -> Iterator[Journal]:
    with Journal.open(path, new_device="left", create=True) as opened:
        yield opened
