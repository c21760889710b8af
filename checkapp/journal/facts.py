"""What a journal file knows of itself, read and written by key."""

import re
from sqlite3 import Connection
from typing import NamedTuple

from checkapp.journal.entry import NO_ENTRY

_END = re.compile(r"([0-9]{1,18})(?: ([0-9a-f]{64}))?", re.ASCII)


class End(NamedTuple):
    """How many entries a device has written, and the digest of the last: `NO_ENTRY` when that is not known."""

    seq: int
    digest: str = NO_ENTRY

    def __str__(self) -> str:
        return f"{self.seq} {self.digest}"


NOTHING = End(0)


def read_end(text: object) -> End | None:
    """The end that a fact tells; None when it tells none."""
    found = _END.fullmatch(text) if isinstance(text, str) else None
    return End(int(found[1]), found[2] or NO_ENTRY) if found else None


def get(bare: Connection, key: str) -> str | None:
    """A fact; None when there is none or it is no text."""
    found = bare.execute("SELECT value FROM fact WHERE key = ?", (key,)).fetchone()
    return found[0] if found and isinstance(found[0], str) else None


def put(bare: Connection, key: str, value: object) -> None:
    """Write a fact in place of what was there."""
    bare.execute(
        "INSERT INTO fact VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value", (key, str(value))
    )


def drop(bare: Connection, key: str) -> None:
    """Take a fact away."""
    bare.execute("DELETE FROM fact WHERE key = ?", (key,))


def ends(bare: Connection, prefix: str) -> dict[str, End]:
    """The facts that begin with ``prefix``, by the name of the device that follows."""
    rows = bare.execute("SELECT key, value FROM fact WHERE substr(key, 1, ?) = ?", (len(prefix), prefix)).fetchall()
    found = ((key[len(prefix) :], read_end(value)) for key, value in rows if isinstance(key, str))
    return {device: end for device, end in found if end is not None}


def know_end(bare: Connection, key: str, end: End) -> None:
    """Keep that a device has written so many entries, unless more are known."""
    known = read_end(get(bare, key))
    if known is None or end.seq > known.seq:
        put(bare, key, end)
