"""Looking for what must not be in a journal: gaps, edits, forks, broken links, values that cannot be read."""

from collections.abc import Generator, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Self

from sqlalchemy import Connection, func, select

from checkapp.journal import schema
from checkapp.journal.entry import COLUMNS, NO_ENTRY, OPTIONAL, digest_of
from checkapp.journal.errors import JournalDamaged, NotAJournal
from checkapp.journal.facts import NOTHING, End, read_end
from checkapp.journal.faults import FaultName, JournalFault, fork, gap, of_entry, of_file, shown
from checkapp.journal.journal import Journal
from checkapp.journal.layout import missing
from checkapp.journal.store import StoredText, driver

_MOST_DAMAGES = 100
_BATCH = 1000


@dataclass(frozen=True, slots=True)
class _Row:
    """A stored row: what can be read of it, and the digest that its values have."""

    values: tuple[object, ...]
    device: str
    seq: int | None
    id: str
    digest: bytes | None
    previous: bytes | None
    computed: bytes
    unreadable: tuple[str, ...]

    @classmethod
    def read(cls, values: Iterable[object]) -> Self:
        """Take a row as it came from the database, whatever it holds."""
        row = tuple(values)
        named = dict(zip(COLUMNS, row, strict=True))
        seq = named["seq"]
        stored = [_stored(value) for value in row]
        return cls(
            values=tuple((type(value), value) for value in row),
            device=shown(named["device"]),
            seq=seq if isinstance(seq, int) else None,
            id=shown(named["id"]),
            digest=stored[-1],
            previous=stored[-2],
            computed=digest_of(stored[:-1]).encode(),
            unreadable=tuple(name for name, value in named.items() if not _fits(name, value)),
        )

    def fault(self, name: FaultName, said: str) -> JournalFault:
        """A fault of this row."""
        return of_entry(name, self.device, self.seq, self.id, said)


def verify(journal: Journal) -> list[JournalFault]:
    """Everything that is wrong with ``journal``; empty when nothing is.

    Seen are: any changed value of any row, a missing, inserted, repeated or renumbered row, two contents for one
    number, values that are not text or number where these belong, damaged pages, and, for the journal's own device,
    missing last entries. Not seen: missing last entries of other devices, whose number the journal does not know, and a
    whole chain written anew by somebody who computes its digests.

    Errors: `JournalLocked`, `JournalNotWritable`.
    """
    faults: list[JournalFault] = []
    for look in (_damages, _layout, _repeated_ids, _chains):
        try:
            with journal.as_stored() as connection:
                faults.extend(look(connection))
        except (JournalDamaged, NotAJournal) as error:
            faults.append(of_file("damaged file", str(error)))
    return faults


def _damages(connection: Connection) -> Iterator[JournalFault]:
    """What SQLite itself finds wrong with the file."""
    for said in connection.exec_driver_sql(f"PRAGMA integrity_check({_MOST_DAMAGES})").scalars():
        if said != b"ok":
            yield of_file("damaged file", f"the file is damaged: {shown(said)}")


def _layout(connection: Connection) -> Iterator[JournalFault]:
    """What is not laid out as it was made: above all the guards that keep entries from being changed."""
    if connection.exec_driver_sql("PRAGMA user_version").scalar() == schema.SCHEMA_VERSION:
        for name in missing(driver(connection)):
            yield of_file("changed layout", f"{name} is missing or was changed: the file was laid out anew by hand")


def _repeated_ids(connection: Connection) -> Iterator[JournalFault]:
    """Ids with several contents, of which one was changed or damaged."""
    column = schema.entry.c.id
    query = select(column, func.count()).group_by(column).having(func.count() > 1)
    for value, count in connection.execute(query):
        said = f"{count} entries have the id {shown(value) or 'that is missing'}"
        yield JournalFault("duplicate id", "", None, shown(value), said)


def _chains(connection: Connection) -> Iterator[JournalFault]:
    """Every row of every device, in the order of its numbers, and what the journal knows of their ends."""
    columns = schema.entry.c
    query = select(schema.entry).order_by(columns.device, columns.seq, columns.id)
    rows = map(_Row.read, connection.execute(query).yield_per(_BATCH))
    known = {row.key: row.value for row in connection.execute(select(schema.fact))}
    ends: dict[object, _End] = {}
    for device, of_device in groupby(rows, key=lambda row: row.values[1]):
        ends[device] = yield from _chain(of_device)
    own = known.get(_key(schema.DEVICE))
    yield from _own_end(own, known.get(_key(schema.LAST)), ends.get((StoredText, own), _NO_END))
    for key, value in known.items():
        yield from _other_end(key, value, ends)


@dataclass(frozen=True, slots=True)
class _End:
    """The last number of a chain, and the digests that its entry may be known by (several in a fork)."""

    seq: int
    digests: frozenset[bytes | None]


_NO_END = _End(0, frozenset({NO_ENTRY.encode()}))


def _chain(rows: Iterable[_Row]) -> Generator[JournalFault, None, _End]:
    """Check one device's rows, given by rising numbers; return where they end."""
    end = _NO_END
    for seq, same in groupby(rows, key=lambda row: row.seq):
        group = list(same)
        for row in group:
            yield from _contents(row)
        if seq is None or seq < 1 or "device" in group[0].unreadable:
            continue
        if seq > end.seq + 1:
            yield gap(group[0].device, end.seq + 1, seq - 1)
        else:
            yield from (
                row.fault("broken link", "does not follow from the entry before it")
                for row in group
                if row.previous not in end.digests
            )
        if len({row.id for row in group}) > 1:
            yield fork(group[0].device, seq, (row.id for row in group))
        end = _End(seq, frozenset(digest for row in group for digest in (row.digest, row.computed)))
    return end


def _contents(row: _Row) -> Iterator[JournalFault]:
    if row.unreadable:
        names = ", ".join(row.unreadable)
        yield row.fault("unreadable value", f"has values that cannot be read: {names}")
    elif row.digest != row.computed:
        yield row.fault("edited", "was changed after it was written")


def _own_end(own: object, recorded: object, end: _End) -> Iterator[JournalFault]:
    """The last entries of the journal's own device against the record of what it wrote."""
    last = _read_end(recorded)
    if not isinstance(own, StoredText) or last is None or not (own or last == NOTHING):
        yield of_file("lost record", "the journal's record of its own device is damaged or gone")
        return
    if not own:
        return
    device, (seq, digest) = shown(own), last
    if end.seq < seq:
        yield gap(device, end.seq + 1, seq)
    elif end.seq > seq:
        said = f"tablet {device} wrote {seq} entries, but there are others up to {end.seq}"
        yield JournalFault("extra entry", device, seq + 1, "", said)
    elif digest.encode() not in end.digests:
        said = f"entry {seq} of tablet {device} is not the one that it wrote"
        yield JournalFault("edited", device, seq, "", said)


def _other_end(key: object, value: object, ends: Mapping[object, _End]) -> Iterator[JournalFault]:
    """The last entries of a device that is not the journal's own, where it is known how many it has written."""
    prefix = next(
        (text for text in (schema.WAS, schema.END) if isinstance(key, bytes) and key.startswith(text.encode())), ""
    )
    if not prefix or not isinstance(key, bytes):
        return
    device = StoredText(key.removeprefix(prefix.encode()))
    known, reached = _read_end(value), ends.get((StoredText, device), _NO_END).seq
    if known is None:
        yield of_file("lost record", f"the journal's record of tablet {shown(device)} is damaged")
    elif reached < known.seq:
        yield gap(shown(device), reached + 1, known.seq)


def _read_end(value: object) -> End | None:
    return read_end(value.decode(errors="replace")) if isinstance(value, StoredText) else None


def _key(text: str) -> StoredText:
    return StoredText(text.encode())


def _stored(value: object) -> bytes | None:
    """The bytes of a stored value, a number as decimal text."""
    if value is None or isinstance(value, bytes):
        return value
    return str(value).encode()


def _fits(column: str, value: object) -> bool:
    """Whether a stored value is what belongs in ``column``."""
    if column == "seq":
        return isinstance(value, int) and value >= 1
    if value is None:
        return column in OPTIONAL
    return isinstance(value, StoredText) and _is_utf8(value)


def _is_utf8(text: bytes) -> bool:
    try:
        text.decode()
    except UnicodeDecodeError:
        return False
    return True
