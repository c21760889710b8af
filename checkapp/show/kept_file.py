"""What could not be written to the journal, kept in a file in another place meanwhile: the lines of an export.

It comes in again by itself at the next start, or by hand with ``journal import``; whatever is in the journal by then is
passed over, for an entry keeps its id.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from checkapp.journal.clock import next_clock
from checkapp.journal.entry import NO_ENTRY, Entry
from checkapp.journal.importing import read_lines
from checkapp.journal.lines import line_of
from checkapp.rig.errors import Fault, FileRefused
from checkapp.show.unsaved import Waiting

_NAME = "checkapp-unsaved"


class KeptFile:
    """The file of one journal and one run of the program; ``device`` is a name that no device has.

    ``folders`` are where it may lie: in the first that can be written. Nothing here raises.
    """

    def __init__(self, folders: Sequence[Path], journal: Path, device: str) -> None:
        self._folders, self._device = folders, device
        self._stem = f"{_NAME}-{_digest(journal)}"
        self._found: list[Path] = []
        self.path: Path | None = None

    def take_up(self) -> tuple[Waiting, ...]:
        """What earlier runs kept, in its order. Their files go when that is saved, or kept once more."""
        found: list[Entry] = []
        for path in sorted(path for folder in self._folders for path in _files(folder, self._stem)):
            faults: list[Fault] = []
            with suppress(OSError, FileRefused), path.open("rb") as file:
                found += read_lines(file, str(path), faults)
                if not faults:
                    self._found.append(path)
        found.sort(key=lambda entry: entry.order)
        return tuple(Waiting(entry, _ms_of(entry.at)) for entry in {entry.id: entry for entry in found}.values())

    def keep(self, waiting: Sequence[Waiting], clock: str) -> None:
        """Have the file hold just this, whole or as it was; ``clock`` is the highest that is known."""
        old = [*self._found, *([self.path] if self.path else [])]
        new = self._write(_chained(waiting, self._device, clock)) if waiting else None
        if waiting and new is None:
            return
        self._found, self.path = [], new
        for path in old:
            if path != new:
                with suppress(OSError):
                    path.unlink()

    def _write(self, entries: Sequence[Entry]) -> Path | None:
        content = "".join(f"{line_of(entry)}\n" for entry in entries).encode()
        for folder in self._folders:
            path = folder / f"{self._stem}-{self._device}.jsonl"
            part = path.with_suffix(".part")
            try:
                folder.mkdir(parents=True, exist_ok=True)
                with part.open("wb") as file:
                    file.write(content)
                    file.flush()
                    os.fsync(file.fileno())
                part.replace(path)
            except OSError:
                with suppress(OSError):
                    part.unlink(missing_ok=True)
            else:
                return path
        return None


def _chained(waiting: Sequence[Waiting], device: str, clock: str) -> list[Entry]:
    """The entries as a device of their own would have written them, so that an import takes them for sound."""
    chain: list[Entry] = []
    for number, one in enumerate(waiting, 1):
        clock = next_clock(clock, one.now_ms)
        chain.append(one.entry.chained(device, number, clock, chain[-1].digest if chain else NO_ENTRY))
    return chain


def _files(folder: Path, stem: str) -> list[Path]:
    """The files of that name which are ours: in a folder that all may write to, another's are not taken."""
    try:
        found = list(folder.glob(f"{stem}-*.jsonl"))
        return [path for path in found if not hasattr(os, "getuid") or path.stat().st_uid == os.getuid()]
    except OSError:
        return []


def _digest(journal: Path) -> str:
    return hashlib.sha256(os.path.realpath(journal).encode(errors="replace")).hexdigest()[:12]


def _ms_of(at: str) -> int:
    try:
        return round(datetime.fromisoformat(at).timestamp() * 1000)
    except (ValueError, OverflowError):
        return 0
