"""Gaps and forks in the numbers of a device, asked of the database: few rows come back, however long the log is."""

from collections.abc import Iterator
from sqlite3 import Connection
from typing import NamedTuple

from checkapp.journal.faults import JournalFault, fork, gap, shown

_SOUND = "device IS ? AND typeof(seq) = 'integer' AND seq > 0"
_COUNTED = f"SELECT count(*), count(DISTINCT seq), coalesce(max(seq), 0) FROM entry WHERE {_SOUND}"
_GAPS = f"""
    SELECT before + 1, seq - 1
    FROM (SELECT seq, lag(seq, 1, 0) OVER (ORDER BY seq) AS before FROM entry WHERE {_SOUND})
    WHERE seq > before + 1 ORDER BY seq"""
_FORKS = f"""
    SELECT seq, id FROM entry WHERE {_SOUND} AND seq IN
        (SELECT seq FROM entry WHERE {_SOUND} GROUP BY seq HAVING count(DISTINCT id) > 1)
    GROUP BY seq, id ORDER BY seq, id"""


class Numbers(NamedTuple):
    """What a device's numbers look like: the last one, and what is wrong with them."""

    last: int
    faults: Iterator[JournalFault]


def numbers(bare: Connection, device: object, written: int = 0) -> Numbers:
    """The numbers of ``device``, the value as it is stored, on a connection that gives texts as text.

    ``written`` is how many entries the device is known to have written: missing last ones are a gap, too.
    """
    count, different, last = bare.execute(_COUNTED, (device,)).fetchone()
    return Numbers(last, _faults(bare, device, (count, different, last), written))


def _faults(bare: Connection, device: object, found: tuple[int, int, int], written: int) -> Iterator[JournalFault]:
    count, different, last = found
    if different < last:
        for first, until in bare.execute(_GAPS, (device,)):
            yield gap(shown(device), first, until)
    if written > last:
        yield gap(shown(device), last + 1, written)
    if different < count:
        same: list[str] = []
        number = 0
        for seq, entry_id in bare.execute(_FORKS, (device, device)):
            if seq != number and same:
                yield fork(shown(device), number, same)
                same = []
            number = seq
            same.append(shown(entry_id))
        if same:
            yield fork(shown(device), number, same)
