"""What a history counts, over all rigs and shows: the marks of each show as columns, and all else that was done.

Marks are many and their details are few: those of one check that say the same have the very same detail. So SQLite
hands out the lines of each detail of a show in one text, and whoever counts them reads each detail once.

A plus before a column in a statement keeps SQLite from finding rows by that column, where another one finds far fewer.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.changes import change_of
from checkapp.journal.entry import COLUMN_NAMES, Entry, is_readable
from checkapp.journal.store import StoredText, lenient_text
from checkapp.journal.story import in_order, standing
from checkapp.journal.taken_out import PULLED, RETURNED

if TYPE_CHECKING:
    from checkapp.journal.changes import RigChange
    from checkapp.journal.journal import Journal
    from checkapp.journal.kinds import Repair, RigUsed

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
_BETWEEN = "\x1f"
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
_UNDONE = """
SELECT show, rowid FROM entry WHERE id IN (SELECT value FROM json_each(?)) AND +kind = 'mark' AND +rig IS ?"""
_OF_SHOW = "FROM entry WHERE rig IS :rig AND kind = 'mark' AND show IS :show"
_STANDS = " AND rowid NOT IN (SELECT value FROM json_each(:undone))"
_SAID = f"""count(*), detail, group_concat(subject, '{_BETWEEN}'), group_concat(rowid), min(at), max(at),
    json_group_array(DISTINCT iif(typeof("by") = 'blob', 0, "by"))"""
_CLOCKS = ", min(clock), max(clock)"
_EACH = f"SELECT rowid, {COLUMN_NAMES} "
_ROWS = 'SELECT subject, clock, at, "by" FROM entry JOIN json_each(?) ON entry.rowid = json_each.value ORDER BY key'


@dataclass(frozen=True, slots=True)
class Said:
    """Marks of a show that stand and say the same: the detail of each of them, and their lines in any order.

    ``places`` are the rows where they are, with commas between; ``first_at`` and ``last_at`` when the first and the
    last of them was made, ``by`` the initials of those who did. The clocks may be empty where nothing was ever
    changed on the rig.
    """

    detail: str
    lines: Sequence[str]
    places: str
    first_at: str
    last_at: str
    by: frozenset[str]
    first_clock: str = ""
    last_clock: str = ""

    @property
    def rows(self) -> list[str]:
        """The row of each of the marks, see `read_rows`; taken apart each time, for hardly any are asked for."""
        return self.places.split(",")


@dataclass(frozen=True, slots=True)
class Marks:
    """The marks of a show that stand, by what they say."""

    rig: str | None
    show: str | None
    said: Sequence[Said]


class Row(NamedTuple):
    """One mark: its line, when it was made by clock and by the device, and by whom (or nothing)."""

    line: str
    clock: str
    at: str
    by: str


@dataclass(frozen=True, slots=True)
class Deed:
    """Something that was done: its entry, and the plan, the repair and the change of the rig that it tells of."""

    entry: Entry
    used: RigUsed | None
    repair: Repair | None
    change: RigChange | None


@dataclass(frozen=True, slots=True)
class Done:
    """What was done on a rig and stands, besides the marks, in the order of the story.

    ``undone`` are the ids of what does not; ``changed``: something may have been swapped or moved.
    """

    rig: str | None
    deeds: list[Deed]
    undone: frozenset[str]
    changed: bool


def read_done(journal: Journal) -> list[Done]:
    """All that was done, by rig; what was told of no rig comes last."""
    with journal.reading() as bare:
        names = [str(name) for (name,) in bare.execute(_RIGS) if name is not None]
    return [_done(rig, journal.entries(rig=rig, kind=_DONE)) for rig in names] + [_done(None, _of_no_rig(journal))]


def read_marks(journal: Journal, done: Done, only: str | None = None) -> Iterator[Marks]:
    """The marks of a rig that stand, show by show; ``only``: of the show of that name."""
    undone: dict[object, list[int]] = {}
    with journal.reading() as bare:
        shows = [name for (name,) in bare.execute(_SHOWS, {"rig": done.rig}) if type(name) is str]
        for show, row in bare.execute(_UNDONE, (json.dumps(sorted(done.undone)), done.rig)):
            undone.setdefault(show, []).append(row)
    for show in (*shows, None) if only is None else (only,):
        said = _of_show(journal, done, show, undone.get(show, []))
        if said:
            yield Marks(done.rig, show, said)


def read_rows(journal: Journal, rows: Iterable[str]) -> list[Row]:
    """The marks that are there, in the same order."""
    wanted = list(map(int, rows))
    if not wanted:
        return []
    with journal.reading() as bare:
        found = bare.execute(_ROWS, (json.dumps(wanted),)).fetchall()
    return [Row(*(_lenient(value) or "" for value in row)) for row in found]  # type: ignore[arg-type]


def _done(rig: str | None, found: list[Entry]) -> Done:
    story = in_order(found)
    kept = standing(story)
    undone = {entry.subject for entry in kept if entry.kind == kinds.VOID and entry.subject is not None}
    told = [_deed(entry) for entry in kept if entry.kind != kinds.VOID]
    return Done(rig, told, frozenset(undone), any(deed.change for deed in told))


def _deed(entry: Entry) -> Deed:
    repair = kinds.read_repair(entry)
    return Deed(entry, kinds.read_rig(entry), repair, change_of(entry, repair))


def _of_no_rig(journal: Journal) -> list[Entry]:
    where = f"rig IS NULL AND kind IN ({', '.join('?' * len(_DONE))})"
    with journal.reading() as bare:
        rows = bare.execute(f"SELECT {COLUMN_NAMES} FROM entry WHERE {where}", _DONE)
        return [Entry(*row) for row in rows if is_readable(row)]


def _of_show(journal: Journal, done: Done, show: str | None, undone: list[int]) -> list[Said]:
    asked = {"rig": done.rig, "show": show, "undone": json.dumps(undone)}
    where = _OF_SHOW + (_STANDS if undone else "")
    columns = _SAID + (_CLOCKS if done.changed else "")
    with journal.reading() as bare:
        found = bare.execute(f"SELECT {columns} {where} GROUP BY detail", asked).fetchall()
        said = [_said(*row) for row in found]
        good = [one for one in said if one is not None]
        return good if len(good) == len(said) else _one_by_one(bare.execute(_EACH + where, asked))


def _said(
    count: int, detail: object, lines: object, rows: str, first_at: object, last_at: object, by: object, *clocks: object
) -> Said | None:
    """What marks of one detail say; None where one has another shape, so that each must be looked at."""
    if set(map(type, (detail, lines, first_at, last_at, by, *clocks))) != {str}:
        return None
    names, crew = str(lines).split(_BETWEEN), _crew(str(by))
    if len(names) != count or crew is None:
        return None
    return Said(str(detail), names, rows, str(first_at), str(last_at), crew, *map(str, clocks))


@lru_cache(maxsize=1000)
def _crew(by: str) -> frozenset[str] | None:
    """The initials of a JSON list, null for nobody; None where something else is in it. Of a tour few differ."""
    found = [one for one in json.loads(by) if one is not None]
    return frozenset(filter(None, found)) if all(isinstance(one, str) for one in found) else None


def _one_by_one(found: Iterable[tuple[object, ...]]) -> list[Said]:
    """The same of marks of which some hold what does not belong there: the unreadable ones are left out."""
    by_detail: dict[str, list[tuple[str, Entry]]] = {}
    for row, *values in found:
        lenient = tuple(map(_lenient, values))
        entry = Entry(*lenient) if is_readable(lenient) else None  # type: ignore[arg-type]
        if entry is not None and entry.subject is not None and entry.detail is not None:
            by_detail.setdefault(entry.detail, []).append((str(row), entry))
    return [_of_entries(detail, told) for detail, told in by_detail.items()]


def _of_entries(detail: str, told: list[tuple[str, Entry]]) -> Said:
    times, clocks = ([getattr(entry, name) for _, entry in told] for name in ("at", "clock"))
    return Said(
        detail,
        [entry.subject or "" for _, entry in told],
        ",".join(row for row, _ in told),
        min(times),
        max(times),
        frozenset(entry.by for _, entry in told if entry.by),
        min(clocks),
        max(clocks),
    )


def _lenient(value: object) -> object:
    return lenient_text(value) if isinstance(value, StoredText) else value
