"""The one door through which the entries of others come into a journal: a union of sets, all or nothing.

Use::

    taken = take_in(journal, entries)            # one stream of entries or of stored rows
    with intake(journal) as door:                # several streams in one transaction
        door.take(first)
        door.take(second, written={"right": 43}) # "right" is known to have written 43 entries
        taken = door.taken()

What is in the journal already, to the last character, is passed over; everything else is kept. So repeating it changes
nothing, nor does another order. Nothing is refused for what it says:

- Two entries of a device with one number (a fork) are both kept.
- Two contents of one id are both kept; of these the log reads the one whose digest fits (`checkapp.journal.story`), so
  that an entry that was damaged on one tablet is made good by a merge with another.
- An entry whose digest does not fit is kept, since what it says may be all that is left of it, and told as a fault, so
  that nobody trusts it unwarned.

Whatever the caller or the stream raises, and a kill in the middle, leaves the journal as it was. Memory does not grow
with the stream; only so many faults of a kind are told one by one. An entry that comes in is seen by the clock: what
this device writes afterwards sorts after it. Entries under a name of our own that we did not write make us take a new
name (`checkapp.journal.identity`).
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import islice
from sqlite3 import Connection

from checkapp.journal.entry import COLUMN_NAMES, COLUMNS, Entry, digest_of_texts, is_readable
from checkapp.journal.errors import NotStorable
from checkapp.journal.facts import End, know_end
from checkapp.journal.faults import FaultName, JournalFault, of_entry, shown
from checkapp.journal.identity import give_up, own_names
from checkapp.journal.journal import INSERT, Journal
from checkapp.journal.numbers import numbers
from checkapp.journal.schema import END
from checkapp.journal.store import StoredText

Value = str | int | float | bytes | None
Row = tuple[Value, ...]
"""The values of an entry in the order of the columns, texts that are not UTF-8 as `StoredText`."""

MOST_TOLD = 100
"""How many faults of one kind are told one by one."""

_BATCH = 2000
_CACHE_KB = 64_000
_COLUMNS = len(COLUMNS)
_SEQ = COLUMNS.index("seq")
_DIGEST = COLUMNS.index("digest")
_DEVICE = COLUMNS.index("device")
_NUMBER = "SELECT 1 FROM entry WHERE device = ? AND seq = ?"
_FOUND = f"SELECT {COLUMN_NAMES} FROM entry WHERE id IN ({{}})"


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What came of taking entries in.

    ``new`` and ``known`` count entries that came in and that were there already. ``faults`` are what is wrong now with
    the devices whose entries came: "gap", "fork", "duplicate id" (two contents of one id) and "edited" (a digest that
    does not fit), at most `MOST_TOLD` of a kind, and ``untold`` says how many more there are. ``devices`` are those
    whose entries came, new or not.
    """

    new: int
    known: int
    faults: tuple[JournalFault, ...]
    untold: int
    devices: tuple[str, ...]


@contextmanager
def intake(journal: Journal) -> Iterator["Intake"]:
    """The open door of ``journal``: what is taken through it is written when the block ends, or nothing of it.

    Errors: `JournalLocked`, `JournalNotWritable`, `JournalDamaged`, `DiskFull`, `NotStorable`.
    """
    with journal.writing() as bare:
        (cache,) = bare.execute("PRAGMA cache_size").fetchone()
        bare.execute(f"PRAGMA cache_size = -{_CACHE_KB}")
        try:
            door = Intake(bare)
            yield door
            door.end()
        finally:
            bare.execute(f"PRAGMA cache_size = {cache}")


def take_in(journal: Journal, entries: Iterable[Entry | Row], *, told: Callable[[int], None] | None = None) -> TakenIn:
    """Take one stream of entries in; ``told`` is called now and then with how many were looked at.

    Errors: as in `intake`, and those of the stream; the journal is then as it was.
    """
    with intake(journal) as door:
        door.take(entries, told=told)
        return door.taken()


@dataclass(slots=True)
class Intake:
    """A transaction that takes entries in; made by `intake`."""

    bare: Connection
    new: int = 0
    known: int = 0
    _told: dict[FaultName, list[JournalFault]] = field(default_factory=dict)
    _untold: int = 0
    _written: dict[Value, int] = field(default_factory=dict)
    _own: dict[str, int] = field(init=False)
    _contested: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._own = own_names(self.bare)

    def take(
        self,
        entries: Iterable[Entry | Row],
        *,
        written: Mapping[str, int] | None = None,
        told: Callable[[int], None] | None = None,
    ) -> None:
        """Take a stream in.

        ``written`` says how many entries devices are known to have written, so that missing last ones are told, too.
        """
        for device, count in (written or {}).items():
            self._written[device] = max(count, self._written.get(device, 0))
        stream = iter(entries)
        looked_at = 0
        while batch := [_row(entry) for entry in islice(stream, _BATCH)]:
            try:
                self._take(batch)
            except (UnicodeEncodeError, OverflowError) as error:
                raise NotStorable("an entry has a value that cannot be stored; nothing was taken in") from error
            looked_at += len(batch)
            if told is not None:
                told(looked_at)

    def taken(self) -> TakenIn:
        """What came in so far, with what is wrong now."""
        told = {name: list(faults) for name, faults in self._told.items()}
        untold = self._untold
        for device, count in self._written.items():
            for fault in numbers(self.bare, device, count).faults:
                untold += _tell(told, fault)
        faults = tuple(fault for name in sorted(told) for fault in told[name])
        devices = tuple(sorted(shown(device) for device in self._written))
        return TakenIn(self.new, self.known, faults, untold, devices)

    def end(self) -> None:
        """Keep what is known now of the numbers of devices; give up a name of our own that others write under, too."""
        for device, count in self._written.items():
            if isinstance(device, str) and device in self._own:
                if count > self._own[device]:
                    self._contested.add(device)
            elif isinstance(device, str) and count:
                know_end(self.bare, END + device, End(count))
        for device in self._contested:
            give_up(self.bare, device)
            know_end(self.bare, END + device, End(self._written.get(device, 0)))

    def _take(self, batch: Sequence[Row]) -> None:
        there = self._there(batch)
        usual: list[Row] = []
        odd: list[Row] = []
        for row in batch:
            same = there.setdefault(row[0], [])
            if row not in same:
                readable = is_readable(row)
                self._look_at(row, same, readable=readable)
                same.append(row)
                (usual if readable else odd).append(row)
        self._write(usual, odd)
        fresh = len(usual) + len(odd)
        self.new += fresh
        self.known += len(batch) - fresh
        for device in {row[_DEVICE] for row in batch}:
            self._written.setdefault(device, 0)

    def _look_at(self, row: Row, same: Sequence[Row], *, readable: bool) -> None:
        """Tell what is wrong with a new row; ``same`` are other contents of its id that are there."""
        fits = readable and _fits(row)
        self._contest(row)
        if same:
            self._tell(row, "duplicate id", _compared(fits, any(is_readable(one) and _fits(one) for one in same)))
        elif not readable:
            self._tell(row, "unreadable value", "has values that cannot be read; it is kept")
        elif not fits:
            self._tell(row, "edited", "was changed after it was written; it is kept, but do not trust it")

    def _contest(self, row: Row) -> None:
        """See whether a new row was written elsewhere under a name of our own."""
        device, seq = row[_DEVICE], row[_SEQ]
        if not isinstance(device, str) or device not in self._own or not isinstance(seq, int):
            return
        if seq > self._own[device] or self.bare.execute(_NUMBER, (device, seq)).fetchone():
            self._contested.add(device)

    def _there(self, batch: Sequence[Row]) -> dict[Value, list[Row]]:
        """What the journal has under the ids of ``batch``."""
        ids = {row[0] for row in batch}
        found: dict[Value, list[Row]] = {}
        query = _FOUND.format(_places(ids)) + (" OR id IS NULL" if None in ids else "")
        for row in self.bare.execute(query, tuple(ids)):
            found.setdefault(row[0], []).append(row)
        return found

    def _write(self, usual: Sequence[Row], odd: Sequence[Row]) -> None:
        self.bare.executemany(INSERT, usual)
        for row in odd:
            self.bare.execute(f"INSERT INTO entry ({COLUMN_NAMES}) VALUES ({_places(row)})", row)

    def _tell(self, row: Row, name: FaultName, said: str) -> None:
        seq = row[_SEQ]
        fault = of_entry(name, shown(row[_DEVICE]), seq if isinstance(seq, int) else None, shown(row[0]), said)
        self._untold += _tell(self._told, fault)


def _tell(told: dict[FaultName, list[JournalFault]], fault: JournalFault) -> int:
    """Add a fault to those of its kind, unless there are enough of them; how many were left out: 0 or 1."""
    same = told.setdefault(fault.name, [])
    if len(same) >= MOST_TOLD:
        return 1
    same.append(fault)
    return 0


def _row(entry: Entry | Row) -> Row:
    """The values of an entry as the columns keep them: numbers where texts belong become texts."""
    row = entry.values if isinstance(entry, Entry) else entry
    if len(row) != _COLUMNS:
        raise ValueError(f"not the values of an entry: {len(row)} of {_COLUMNS}")
    if is_readable(row):
        return row
    return tuple(str(value) if isinstance(value, int | float) and at != _SEQ else value for at, value in enumerate(row))


def _places(values: Iterable[Value]) -> str:
    """The places of values in a statement."""
    return ",".join("CAST(? AS TEXT)" if isinstance(value, StoredText) else "?" for value in values)


def _fits(row: Row) -> bool:
    """Whether the digest of a readable row is that of its values."""
    return digest_of_texts(row[:_DIGEST]) == row[_DIGEST]  # type: ignore[arg-type]


def _compared(fits: bool, other_fits: bool) -> str:
    """What to say of a row whose id is there with another content, by whose digest fits."""
    if fits and not other_fits:
        return "was changed here; it came in as it was written, and that counts now"
    if other_fits and not fits:
        return "came in changed; the one that is here as it was written counts"
    return "has two contents; both are kept, and which one is true cannot be told"
