"""Entries found by what is asked most: a rig, a show, kinds, and what undoes them. The table's indices serve it."""

import json
from collections.abc import Collection, Iterable, Iterator
from sqlite3 import Connection

from checkapp.journal.entry import COLUMN_NAMES, Entry, is_readable
from checkapp.journal.kinds import VOID
from checkapp.journal.schema import MAY_CHANGE

_SELECT = f"SELECT {COLUMN_NAMES} FROM entry"
_VOIDS = f"{_SELECT} WHERE kind = '{VOID}' AND subject IN (SELECT value FROM json_each(?))"
"""One statement for any number of ids: each other one would be compiled, and kept, by itself."""


def find(bare: Connection, rig: str | None, show: str | None, kinds: Collection[str] | None) -> list[Entry]:
    """The readable entries of that rig, show and those kinds, in the order of the story; None: of any."""
    asked = [(f"{column} = ?", [value]) for column, value in (("rig", rig), ("show", show)) if value is not None]
    if kinds is not None:
        asked.append((f"kind IN ({_places(kinds)})", list(kinds)))
    where = f" WHERE {' AND '.join(condition for condition, _ in asked)}" if asked else ""
    return _in_order(bare.execute(_SELECT + where, [value for _, values in asked for value in values]))


def find_changes(bare: Connection, rig: str) -> list[Entry]:
    """The readable entries that may tell of a change of a rig: swaps, moves, repairs that put something in."""
    return _in_order(bare.execute(f"{_SELECT} WHERE rig = ? AND {MAY_CHANGE}", (rig,)))


def undoing(bare: Connection, ids: Iterable[str]) -> list[Entry]:
    """The voids of the entries with those ids, the voids of these, and so on."""
    found: dict[str, Entry] = {}
    wanted = list(dict.fromkeys(ids))
    while wanted:
        voids = list(_entries(bare.execute(_VOIDS, (json.dumps(wanted),))))
        wanted = [void.id for void in voids if void.id not in found]
        found.update((void.id, void) for void in voids)
    return list(found.values())


def _places(values: Collection[str]) -> str:
    return ",".join("?" * len(values))


def _in_order(rows: Iterable[tuple[object, ...]]) -> list[Entry]:
    return sorted(_entries(rows), key=lambda entry: entry.order)


def _entries(rows: Iterable[tuple[object, ...]]) -> Iterator[Entry]:
    return (Entry(*row) for row in rows if is_readable(row))  # type: ignore[arg-type]
