"""What a history counts, over all rigs and shows: the marks of each show as columns, and all else that was done.

Marks are many and their details are few: those of one check that say the same have the very same detail. So SQLite
hands out a batch of them in one text, and whoever counts them reads each detail once.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.entry import COLUMNS, Entry, is_readable
from checkapp.journal.store import StoredText, lenient_text
from checkapp.journal.story import in_order, standing
from checkapp.journal.taken_out import PULLED, RETURNED

if TYPE_CHECKING:
    from sqlite3 import Connection

    from checkapp.journal.journal import Journal

_DONE = (
    kinds.RIG,
    kinds.SHOW,
    kinds.CHECK,
    kinds.REPAIR,
    kinds.BENCH,
    kinds.VOID,
    setup_kinds.SWAP,
    setup_kinds.MOVE,
    PULLED,
    RETURNED,
)
_BATCH = 20_000
_BETWEEN = "\x1f"
_COLUMNS = ("subject", "detail", "clock", "at", "by")
_STANDS = "AND id NOT IN (SELECT value FROM json_each(:undone))"
_RIGS = """
WITH RECURSIVE known(name) AS (
  SELECT min(rig) FROM entry
  UNION SELECT (SELECT min(rig) FROM entry WHERE rig > known.name) FROM known WHERE known.name IS NOT NULL
) SELECT name FROM known"""
_SHOWS = """
WITH RECURSIVE known(name) AS (
  SELECT min(show) FROM entry WHERE rig IS :rig AND kind = 'mark'
  UNION SELECT (SELECT min(show) FROM entry WHERE rig IS :rig AND kind = 'mark' AND show > known.name)
  FROM known WHERE known.name IS NOT NULL
) SELECT name FROM known"""
_MARKS = f"""
SELECT count(*), max(number), group_concat(said, '{_BETWEEN}') FROM (
  SELECT rowid AS number, concat_said AS said FROM entry
  WHERE rig IS :rig AND kind = 'mark' AND show IS :show AND rowid > :after {{stands}} ORDER BY rowid LIMIT {_BATCH}
)""".replace(
    "concat_said",
    f"""subject || '{_BETWEEN}' || detail || '{_BETWEEN}' || clock || '{_BETWEEN}' || at
    || '{_BETWEEN}' || coalesce("by", '')""",
)
_EACH = f"""
SELECT {", ".join(f'"{column}"' for column in COLUMNS)} FROM entry
WHERE rig IS :rig AND kind = 'mark' AND show IS :show AND rowid > :after AND rowid <= :last {{stands}} ORDER BY rowid"""


@dataclass(frozen=True, slots=True)
class Marks:
    """Marks of a show that stand, as columns of equal length: lines, details, clocks, times and initials (or none)."""

    rig: str | None
    show: str | None
    lines: Sequence[str]
    details: Sequence[str]
    clocks: Sequence[str]
    times: Sequence[str]
    by: Sequence[str]


@dataclass(frozen=True, slots=True)
class Done:
    """What was done on a rig and stands, besides the marks, in the order of the story; ``undone`` are ids."""

    rig: str | None
    entries: list[Entry]
    undone: frozenset[str]


def read_done(journal: Journal) -> list[Done]:
    """All that was done, by rig; what was told of no rig comes last."""
    with journal.reading() as bare:
        names = [str(name) for (name,) in bare.execute(_RIGS) if name is not None]
    return [_done(rig, journal.entries(rig=rig, kind=_DONE)) for rig in names] + [_done(None, _of_no_rig(journal))]


def read_marks(journal: Journal, done: Done, only: str | None = None) -> Iterator[Marks]:
    """The marks of a rig that stand, show by show; ``only``: of the show of that name."""
    for show in dict.fromkeys([*_shows(journal, done), None]) if only is None else (only,):
        columns = _of_show(journal, done, show)
        if columns[0]:
            yield Marks(done.rig, show, *columns)


def _done(rig: str | None, found: list[Entry]) -> Done:
    story = in_order(found)
    kept = standing(story)
    undone = {entry.subject for entry in kept if entry.kind == kinds.VOID and entry.subject is not None}
    return Done(rig, [entry for entry in kept if entry.kind != kinds.VOID], frozenset(undone))


def _of_no_rig(journal: Journal) -> list[Entry]:
    where = f"rig IS NULL AND kind IN ({', '.join('?' * len(_DONE))})"
    columns = ", ".join(f'"{column}"' for column in COLUMNS)
    with journal.reading() as bare:
        rows = bare.execute(f"SELECT {columns} FROM entry WHERE {where}", _DONE)
        return [Entry(*row) for row in rows if is_readable(row)]


def _shows(journal: Journal, done: Done) -> list[str]:
    with journal.reading() as bare:
        return [str(name) for (name,) in bare.execute(_SHOWS, {"rig": done.rig}) if name is not None]


def _of_show(journal: Journal, done: Done, show: str | None) -> list[list[str]]:
    asked: dict[str, object] = {"rig": done.rig, "show": show, "after": 0, "undone": json.dumps(sorted(done.undone))}
    stands = _STANDS if done.undone else ""
    found: list[list[str]] = [[] for _ in _COLUMNS]
    with journal.reading() as bare:
        while True:
            count, last, said = bare.execute(_MARKS.format(stands=stands), asked).fetchone()
            if not count:
                return found
            batch = _columns(count, said) or _one_by_one(bare, stands, asked | {"last": last})
            for column, more in zip(found, batch, strict=True):
                column += more
            asked["after"] = last


def _columns(count: int, said: object) -> list[list[str]] | None:
    """The columns of a batch; None where a row has another shape, so that each must be looked at."""
    parts = said.split(_BETWEEN) if type(said) is str else []
    width = len(_COLUMNS)
    return [parts[first::width] for first in range(width)] if len(parts) == width * count else None


def _one_by_one(bare: Connection, stands: str, asked: dict[str, object]) -> list[list[str]]:
    """The same of rows that hold what does not belong there, the unreadable ones left out."""
    rows = (map(_lenient, row) for row in bare.execute(_EACH.format(stands=stands), asked))
    entries = [Entry(*row) for row in map(tuple, rows) if is_readable(row)]  # type: ignore[arg-type]
    found = [(one.subject, one.detail or "", one.clock, one.at, one.by or "") for one in entries if one.subject]
    return [list(column) for column in zip(*found, strict=True)] or [[] for _ in _COLUMNS]


def _lenient(value: object) -> object:
    return lenient_text(value) if isinstance(value, StoredText) else value
