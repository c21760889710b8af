"""What the app begins with, before anything heavy is loaded: on a machine that is new the demo rig, else the rigs as
they were when they were last read.

The rigs are kept in a file of the user's folder, with how each plan file stood; they are shown at once only where all
stand as they did. They are read again behind that, and shown anew where that comes to something else.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Final, NamedTuple

import checkapp
from checkapp.show import places
from checkapp.tongue import language

_NAME: Final = "rigs.json"
_LONG: Final = 1_000_000
"""More characters than a file of ours ever has."""


class RigRow(NamedTuple):
    """One rig that can be opened."""

    title: str
    detail: str
    plan: str


class FirstView(NamedTuple):
    """What a machine begins with that has neither a plan of its own nor a journal: the plan to try things with."""

    demo: str


def begin_with(home: Path, journal: Path | None = None) -> tuple[str, FirstView | tuple[RigRow, ...]] | None:
    """The name and the view of the screen to begin with; None where it must be read what was left at work, or which
    rigs there are.

    ``home`` is the user's folder, ``journal`` the journal file, None for the one in there.
    """
    with suppress(OSError):
        first = first_view(home, places.journal_path(journal, home))
        if first is not None:
            return "first", first
    rigs = _kept(home)
    return None if rigs is None else ("rigs", rigs)


def first_view(home: Path, journal: Path) -> FirstView | None:
    """What to begin with; None on a machine that was worked on before, and where the demo is missing."""
    demo = places.shipped("plans") / "demo.toml"
    is_new = demo.is_file() and not journal.exists() and not any((home / "plans").glob("*.toml"))
    return FirstView(str(demo)) if is_new else None


def plan_files(home: Path) -> list[Path]:
    """The plan files that there are: in the user's own folder, then those that came with the program."""
    return [path for folder in (home / "plans", places.shipped("plans")) for path in sorted(folder.glob("*.toml"))]


def keep(home: Path, rigs: Sequence[RigRow]) -> None:
    """Keep the rigs that this start came to, with nothing left at work, for the next one.

    It is a help, no record: where they cannot be kept they are read again.
    """
    from checkapp.rig.writing import FileNotWritten, replace_file  # the first frame does without

    with suppress(OSError, FileNotWritten):
        said = json.dumps([*_stand(home), rigs])
        if not _reads(home / _NAME, said):
            home.mkdir(parents=True, exist_ok=True)
            replace_file(home / _NAME, said.encode())


def _reads(file: Path, said: str) -> bool:
    with suppress(OSError, ValueError):
        return file.read_text(encoding="utf-8") == said
    return False


def _kept(home: Path) -> tuple[RigRow, ...] | None:
    """The rigs as they were kept; None where none are, where a plan file is another by now, or the language is."""
    with suppress(OSError, ValueError, TypeError, RecursionError), (home / _NAME).open(encoding="utf-8") as file:
        *stood, rows = json.loads(file.read(_LONG))
        if stood == _stand(home):
            return tuple(RigRow(*map(str, row)) for row in rows)
    return None


def _stand(home: Path) -> list[object]:
    """What the rows hang on: the program, the language, what was left at work, and each plan file.

    `OSError`: one went away meanwhile.
    """
    left = places.bookmark(home)
    files = [left, *plan_files(home)] if left.exists() else plan_files(home)
    stand = [[str(path), one.st_size, one.st_mtime_ns] for path, one in zip(files, map(Path.stat, files), strict=True)]
    return [checkapp.__version__, language(), stand]
