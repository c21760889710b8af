"""What this machine remembers of a journal apart from it: the last entry of each name that it was written under here.

One small file a name, in the folder ``devices`` of the user's data folder. It tells the machine, the journal's path,
the last number and its digest, and when it was written. It counts only where all of that is so: the same machine, the
same path, and a file that was written at that very time. One that was copied or put back together with the journal, as
a backup of the whole folder does it, was written (on Unix: changed) later than it says. What speaks against it costs
the journal no more than a new name, so doubt is cheap; see `checkapp.journal.identity`.

Limits: a disk that is put back block by block, with its machine's id, looks like what it was. On Windows, where a copy
keeps its times, a whole folder put back in place does, too.
"""

import hashlib
import json
import os
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import IO

from checkapp.journal.facts import End, read_end

FOLDER = "devices"
_CLOSE_ENOUGH_NS = 50_000_000  # file times follow a clock that ticks every few milliseconds
_MOST_TRIES = 4
_BLOCK = 256


class DeviceRecord:
    """The outside of one journal (`checkapp.journal.identity.Outside`); nothing here raises.

    ``folders`` are where records are kept: in the first that can be written. ``machine`` is the name of this machine.
    """

    def __init__(
        self, journal: Path, folders: Sequence[Path], machine: str, now_ns: Callable[[], int] = time.time_ns
    ) -> None:
        self._journal = os.path.realpath(journal)
        self._folders = folders
        self._machine = machine
        self._now_ns = now_ns
        self._device = ""
        self._file: IO[bytes] | None = None
        self._skew_ns = 0

    def last(self, device: str) -> End | None:
        """The last entry that was written here under the name; None when that is not known for certain."""
        found = [self._read(path, device) for path in self._paths(device) if path.exists()]
        ends = [end for end in found if end is not None]
        return max(ends, default=None) if len(ends) == len(found) else None

    def note(self, device: str, end: End) -> None:
        """Remember the last entry, which is on the disk."""
        if self._file is None or device != self._device:
            self._open(device)
        with suppress(OSError):
            for _ in range(_MOST_TRIES):
                if self._file is None or self._write(self._file, device, end):
                    break

    def close(self) -> None:
        """Let the record reach the disk."""
        file, self._file = self._file, None
        if file is not None:
            with suppress(OSError), file:
                os.fsync(file.fileno())

    def _read(self, path: Path, device: str) -> End | None:
        try:
            with path.open("rb") as file:
                told = json.loads(file.readline())
                found = os.fstat(file.fileno())
            place = (told["machine"], told["journal"], told["device"])
            written_ns = int(told["written_ns"]) + int(told["skew_ns"])
            end = read_end(told["last"])
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            return None
        ours = place == (self._machine, self._journal, device)
        return end if ours and _is_untouched(found, written_ns) else None

    def _open(self, device: str) -> None:
        self.close()
        self._device = device
        for path in self._paths(device):
            with suppress(OSError):
                path.parent.mkdir(parents=True, exist_ok=True)
                path.touch(mode=0o600)
                self._file = path.open("r+b", buffering=0)
                return

    def _write(self, file: IO[bytes], device: str, end: End) -> bool:
        """Write the record in place; whether its file then has the time that it says."""
        written_ns = self._now_ns()
        told = {
            "machine": self._machine,
            "journal": self._journal,
            "device": device,
            "last": str(end),
            "written_ns": written_ns,
            "skew_ns": self._skew_ns,
        }
        content = json.dumps(told).encode()
        file.seek(0)
        file.write(content.ljust(-(-len(content) // _BLOCK) * _BLOCK) + b"\n")
        found = os.fstat(file.fileno())
        if _is_untouched(found, written_ns + self._skew_ns):
            return True
        self._skew_ns = found.st_mtime_ns - written_ns  # the disk of a server goes by the server's clock
        return False

    def _paths(self, device: str) -> list[Path]:
        name = f"{hashlib.sha256(device.encode(errors='replace')).hexdigest()[:24]}.json"
        return [folder / name for folder in self._folders]


def _is_untouched(found: os.stat_result, written_ns: int) -> bool:
    """Whether a file was last written at that time and not copied or put back since."""
    late = abs(found.st_mtime_ns - written_ns) > _CLOSE_ENOUGH_NS
    changed = os.name == "posix" and found.st_ctime_ns - written_ns > _CLOSE_ENOUGH_NS
    return not late and not changed


def record_of(journal: Path, home: Path, machine: str) -> DeviceRecord:
    """The record of a journal: in the user's folder, or beside the journal where that cannot be written."""
    return DeviceRecord(journal, (home / FOLDER, journal.parent / f"{journal.stem}-{FOLDER}"), machine)
