"""Looking for what must not be in a journal: gaps, edits, forks, broken links, values that cannot be read."""

from collections.abc import Callable, Generator, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from pathlib import Path
from sqlite3 import Connection

from checkapp.journal import facts, schema
from checkapp.journal.entry import COLUMN_NAMES, COLUMNS, NO_ENTRY, OPTIONAL, digest_of, digest_of_texts, is_readable
from checkapp.journal.errors import JournalDamaged, NotAJournal
from checkapp.journal.facts import NOTHING, End, read_end
from checkapp.journal.faults import FaultName, JournalFault, fork, gap, of_entry, of_file, shown
from checkapp.journal.journal import Journal
from checkapp.journal.layout import missing
from checkapp.journal.store import named_errors

_MOST_DAMAGES = 100
_WRITE_VERSION_AT = 18
"""Source: https://www.sqlite.org/fileformat2.html, 1.3.3."""
_WRITE_VERSIONS = (b"\1", b"\2")
_ID, _DEVICE, _SEQ = 0, 1, 2
_PREVIOUS, _DIGEST = len(COLUMNS) - 2, len(COLUMNS) - 1
_ROWS = f"SELECT {COLUMN_NAMES} FROM entry ORDER BY device, seq, id"
_REPEATED = "SELECT id, count(*) FROM entry GROUP BY id HAVING count(*) > 1"

_Row = tuple[object, ...]


def verify(journal: Journal, written: Mapping[str, int] | None = None) -> list[JournalFault]:
    """Everything that is wrong with ``journal``; empty when nothing is.

    ``written`` is how many entries tablets are known to have written, from outside the journal.

    Seen are: any changed value of any row, a missing, inserted, repeated or renumbered row, two contents for one
    number, values that are not text or number where these belong, damaged pages, guards, indices or views that were
    taken away, and missing last entries of the journal's own tablet and of all whose number it has heard of. Not seen:
    missing last entries of tablets of which it has not, and a whole chain written anew by somebody who computes its
    digests.

    Errors: `JournalLocked`, `JournalNotWritable`.
    """
    faults = list(_header(journal.path))
    for look in (_damages, _layout, _repeated_ids, lambda bare: _chains(bare, written or {})):
        faults.extend(_looked(journal.reading, look))
    return faults


def _looked(
    reading: Callable[[], AbstractContextManager[Connection]], look: Callable[[Connection], Iterator[JournalFault]]
) -> list[JournalFault]:
    """What one look finds; where it cannot go on, what was found so far and the damage that stopped it."""
    found: list[JournalFault] = []
    try:
        with reading() as bare:
            found.extend(look(bare))
    except (JournalDamaged, NotAJournal) as error:
        found.append(of_file("damaged file", str(error)))
    return found


def _header(path: Path) -> Iterator[JournalFault]:
    """What SQLite passes over without a word: that it can read the file but not write it."""
    with named_errors(path), path.open("rb") as file:
        file.seek(_WRITE_VERSION_AT)
        if file.read(1) not in _WRITE_VERSIONS:
            yield of_file("damaged file", "the file is damaged: its head says that it cannot be written")


def _damages(bare: Connection) -> Iterator[JournalFault]:
    """What SQLite itself finds wrong with the file."""
    for (said,) in bare.execute(f"PRAGMA integrity_check({_MOST_DAMAGES})"):
        if said != "ok":
            yield of_file("damaged file", f"the file is damaged: {shown(said)}")


def _layout(bare: Connection) -> Iterator[JournalFault]:
    """What is not laid out as it was made: above all the guards that keep entries from being changed."""
    if bare.execute("PRAGMA user_version").fetchone() == (schema.SCHEMA_VERSION,):
        for name in missing(bare):
            yield of_file("changed layout", f"{name} is missing or was changed: the file was laid out anew by hand")


def _repeated_ids(bare: Connection) -> Iterator[JournalFault]:
    """Ids with several contents, of which one was changed or damaged."""
    for entry_id, count in bare.execute(_REPEATED):
        said = f"{count} entries have the id {shown(entry_id) or 'that is missing'}"
        yield JournalFault("duplicate id", "", None, shown(entry_id), said)


@dataclass(frozen=True, slots=True)
class _End:
    """The last number of a chain, and the digests that its entry may be known by: several in a fork."""

    seq: int
    digests: frozenset[object]


_NO_END = _End(0, frozenset({NO_ENTRY}))


def _chains(bare: Connection, written: Mapping[str, int]) -> Iterator[JournalFault]:
    """Every row of every tablet, in the order of its numbers, and what is known of their ends."""
    ends: dict[object, _End] = {}
    for device, rows in groupby(bare.execute(_ROWS), key=itemgetter(_DEVICE)):
        ends[device] = yield from _chain(rows)
    own = facts.get(bare, schema.DEVICE)
    last = read_end(facts.get(bare, schema.LAST))
    yield from _own_end(own, last, ends)
    known = {name: End(count) for name, count in written.items()}
    for prefix in (schema.WAS, schema.END):
        for name, end in facts.ends(bare, prefix).items():
            known[name] = max(end, known.get(name, NOTHING))
    for name, end in sorted(known.items()):
        told = last.seq if last and name == own else 0
        reached = max(ends.get(name, _NO_END).seq, told)
        if end.seq > reached:
            yield gap(shown(name), reached + 1, end.seq)


def _chain(rows: Iterable[_Row]) -> Generator[JournalFault, None, _End]:
    """Check one tablet's rows, given by rising numbers; return where they end."""
    end = _NO_END
    for seq, same in groupby(rows, key=itemgetter(_SEQ)):
        group = list(same)
        computed = [_computed(row) for row in group]
        if len(group) > 1 or not _follows(group[0], computed[0], end):
            yield from _told(seq, group, computed, end)
        if isinstance(seq, int) and seq >= 1 and isinstance(group[0][_DEVICE], str):
            end = _End(seq, frozenset((*computed, *(row[_DIGEST] for row in group))))
    return end


def _follows(row: _Row, computed: str, end: _End) -> bool:
    """Whether a row is the one that comes next, as it was written."""
    good = is_readable(row) and row[_SEQ] == end.seq + 1
    return good and row[_DIGEST] == computed and row[_PREVIOUS] in end.digests


def _told(seq: object, group: Sequence[_Row], computed: Sequence[str], end: _End) -> Iterator[JournalFault]:
    """What is wrong with the rows of one number, which come after ``end``."""
    for row, digest in zip(group, computed, strict=True):
        unreadable = [name for name, value in zip(COLUMNS, row, strict=True) if not _fits(name, value)]
        if unreadable:
            yield _of_row(row, "unreadable value", f"has values that cannot be read: {', '.join(unreadable)}")
        elif row[_DIGEST] != digest:
            yield _of_row(row, "edited", "was changed after it was written; do not trust it")
    device = group[0][_DEVICE]
    if not isinstance(seq, int) or seq < 1 or not isinstance(device, str):
        return
    if seq > end.seq + 1:
        yield gap(shown(device), end.seq + 1, seq - 1)
    else:
        for row in group:
            if row[_PREVIOUS] not in end.digests:
                yield _of_row(row, "broken link", "does not follow from the entry before it")
    if len({row[_ID] for row in group}) > 1:
        yield fork(shown(device), seq, (shown(row[_ID]) for row in group))


def _own_end(own: str | None, last: End | None, ends: Mapping[object, _End]) -> Iterator[JournalFault]:
    """The last entries of the journal's own tablet against the record of what it wrote."""
    if own is None or last is None or not (own or last == NOTHING):
        yield of_file("lost record", "the journal's record of its own tablet is damaged or gone")
        return
    end = ends.get(own, _NO_END)
    if not own:
        return
    if end.seq < last.seq:
        yield gap(shown(own), end.seq + 1, last.seq)
    elif end.seq > last.seq:
        said = f"tablet {shown(own)} wrote {last.seq} entries, but there are others up to {end.seq}"
        yield JournalFault("extra entry", shown(own), last.seq + 1, "", said)
    elif last.digest not in end.digests:
        said = f"entry {last.seq} of tablet {shown(own)} is not the one that it wrote"
        yield JournalFault("edited", shown(own), last.seq, "", said)


def _of_row(row: _Row, name: FaultName, said: str) -> JournalFault:
    seq = row[_SEQ]
    return of_entry(name, shown(row[_DEVICE]), seq if isinstance(seq, int) else None, shown(row[_ID]), said)


def _computed(row: _Row) -> str:
    """The digest that a row's values have, whatever they are."""
    if is_readable(row):
        return digest_of_texts(row[:_DIGEST])  # type: ignore[arg-type]
    return digest_of(
        value if value is None or isinstance(value, bytes) else str(value).encode() for value in row[:_DIGEST]
    )


def _fits(column: str, value: object) -> bool:
    """Whether a stored value is what belongs in ``column``; a text that is not UTF-8 comes as bytes."""
    if column == "seq":
        return isinstance(value, int) and value >= 1
    return isinstance(value, str) or (value is None and column in OPTIONAL)
