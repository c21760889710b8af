"""What a journal holds, told in few numbers: so that two sides see at once where they differ.

The entries of a device fall into buckets by their number. Of each bucket the count is kept and the exclusive-or of the
beginnings of all digests: two buckets with the same sum hold the same entries (but for a chance of 1 in 2**64).
Nothing is remembered of earlier syncs, so nothing can be missed, however late and in whichever order entries come.
"""

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field

from checkapp.journal.entry import COLUMN_NAMES, COLUMNS, digest_of_texts, is_readable
from checkapp.journal.journal import Journal
from checkapp.journal.taking_in import Row

BUCKET = 1000
"""How many numbers of a device fall into one bucket."""
DIGITS = 16
"""How many hex digits of a digest go into a sum."""

Key = tuple[str, int]
"""A device and the number of a bucket: entry 1234 is in bucket 1."""
Sum = tuple[int, int]
"""How many entries a bucket has, and the exclusive-or of the beginnings of their digests."""

_SEQ = COLUMNS.index("seq")
_DEVICE = COLUMNS.index("device")
_DIGEST = COLUMNS.index("digest")
_SINCE = f"SELECT rowid, {COLUMN_NAMES} FROM entry WHERE rowid > ? ORDER BY rowid"
_IN_BUCKET = (
    f"SELECT rowid, {COLUMN_NAMES} FROM entry WHERE device = ? AND seq BETWEEN ? AND ? ORDER BY seq, id, digest"
)


@dataclass(slots=True)
class Sums:
    """The sums of a journal's entries; rows that are no sound entries do not count, `unsound` says how many there are.

    Rows are never changed, so each is looked at once: `update` goes on from where it was. ``most_seq``: entries with a
    higher number do not count.
    """

    most_seq: int
    of: dict[Key, Sum] = field(default_factory=dict)
    _last: int = 0
    _unsound: set[int] = field(default_factory=set)

    @property
    def unsound(self) -> int:
        """How many rows were changed after they were written, or cannot be read."""
        return len(self._unsound)

    def update(self, journal: Journal) -> None:
        """Count what came since. Errors: those of reading the journal."""
        with journal.reading() as bare:
            for rowid, *values in bare.execute(_SINCE, (self._last,)):
                self._last = rowid
                row = tuple(values)
                if (
                    is_readable(row)
                    and 1 <= row[_SEQ] <= self.most_seq
                    and digest_of_texts(row[:_DIGEST]) == row[_DIGEST]
                ):
                    key = (row[_DEVICE], row[_SEQ] // BUCKET)
                    count, mixed = self.of.get(key, (0, 0))
                    self.of[key] = (count + 1, mixed ^ int(row[_DIGEST][:DIGITS], 16))
                else:
                    self._unsound.add(rowid)

    def rows(self, bare: sqlite3.Connection, key: Key) -> Iterator[Row]:
        """The sound rows of a bucket by rising number, on a connection of `Journal.reading`."""
        device, bucket = key
        for rowid, *values in bare.execute(_IN_BUCKET, (device, bucket * BUCKET, bucket * BUCKET + BUCKET - 1)):
            if rowid not in self._unsound and rowid <= self._last:
                yield tuple(values)
