"""The journal of one device: appending entries that are on the disk before they are called saved, and reading them."""

import sqlite3
import threading
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import NamedTuple, Self

from sqlalchemy import Connection, bindparam, insert, select, update
from sqlalchemy.dialects import sqlite
from sqlalchemy.sql import ClauseElement

from checkapp.journal import schema
from checkapp.journal.clock import ZERO, is_clock, next_clock
from checkapp.journal.entry import Entry, drafted
from checkapp.journal.errors import (
    EntryExists,
    JournalDamaged,
    JournalNotWritable,
    JournalTooNew,
    from_sqlite,
    told,
)
from checkapp.journal.facts import End
from checkapp.journal.finding import find, find_changes, undoing
from checkapp.journal.identity import NOBODY, Identity, Outside
from checkapp.journal.store import (
    Store,
    StoredText,
    driver,
    exact_text,
    lenient_text,
    named_errors,
    open_store,
    read_store,
)
from checkapp.journal.watch import Watch
from checkapp.tongue import later

_MOST_SEQ = 2**63 - 1
_ABOVE_CLOCKS = "g"  # hex digits sort below it, blobs above


def _sql(statement: ClauseElement) -> str:
    return str(statement.compile(dialect=sqlite.dialect()))


INSERT = _sql(insert(schema.entry))
"""The statement that writes a row, its values in the order of the columns."""

_VERSION = "PRAGMA data_version"
_HAS = "SELECT 1 FROM entry WHERE id = ?"
_UPDATE_LAST = _sql(update(schema.fact).where(schema.fact.c.key == bindparam("which")).values(value=bindparam("value")))


class _Tail(NamedTuple):
    """Where this device's chain ends, and the highest clock of any device."""

    device: str
    end: End
    clock: str


class Journal:
    """An open journal. One thread uses it at a time; others wait. Several processes may have the same file open."""

    def __init__(self, path: Path, store: Store, identity: Identity, *, read_only: bool = False) -> None:
        self.path = path
        self.version = store.version
        self._read_only = read_only or store.version > schema.SCHEMA_VERSION
        self._connection = store.connection
        self._bare = driver(store.connection)
        self._identity = identity
        self._watch = Watch(path)
        self._lock = threading.RLock()
        self._tail: _Tail | None = None
        self._version = -1

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        new_device: str,
        create: bool = False,
        wait_ms: int = 5000,
        outside: Outside | None = None,
    ) -> Self:
        """Open the journal at ``path``.

        With ``create`` the file and its folders are made where there are none. A new journal's entries are numbered for
        the device ``new_device``; so are, from now on, those of an existing one that is not, by ``outside``, where it
        was written (`checkapp.journal.identity`); without an outside it is believed to be.

        ``wait_ms``: how long to wait for another program that is writing. A journal of an older format is brought up to
        date; one of a newer format can be read, and `append` refuses to write it.

        Errors: `NoJournal`, `NotAJournal`, `JournalTooNew`, `JournalLocked`, `JournalNotWritable`, `JournalDamaged`,
        `DiskFull`. ValueError: ``new_device`` is empty or not printable.
        """
        if not new_device or not new_device.isprintable():
            raise ValueError(f"not a name for a device: {new_device!r}")
        store = open_store(path, create=create, new_device=new_device, wait_ms=wait_ms)
        return cls(path, store, Identity(driver(store.connection), outside, new_device))

    @classmethod
    def read(cls, path: Path, *, wait_ms: int = 5000) -> Self:
        """Open the journal at ``path`` only to read it: of any format, and also where nothing can be written.

        Errors: as in `open`; writing raises `JournalNotWritable` or `JournalTooNew`.
        """
        store = read_store(path, wait_ms=wait_ms)
        return cls(path, store, Identity(driver(store.connection), None, NOBODY), read_only=True)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file. Doing so again does nothing."""
        with self._lock, named_errors(self.path):
            self._connection.close()
            self._identity.close()

    @property
    def notice(self) -> str | None:
        """What a person should know before marking: a journal of a newer format takes no entries. Else None."""
        if self.version <= schema.SCHEMA_VERSION:
            return None
        wrong = (
            f"the journal has format {self.version}, written by a newer version of this program; it can be read only"
        )
        return told(self.path, wrong, "update this program to write to it")

    @property
    def device(self) -> str:
        """The name of the device that this journal's next entry is numbered for."""
        with self._lock, named_errors(self.path):
            return self._tail.device if self._tail else self._identity.device()

    def append(  # noqa: PLR0913 - one argument a column
        self,
        kind: str,
        *,
        now_ms: int,
        new_id: str,
        rig: str | None = None,
        show: str | None = None,
        subject: str | None = None,
        by: str | None = None,
        detail: Mapping[str, object] | None = None,
    ) -> Entry:
        """Write one entry; when this returns, the entry is on the disk.

        ``now_ms`` is milliseconds since 1970 by the device, ``new_id`` 16 or more of ``0-9 a-z -``, never used before.

        Errors: `NotStorable` for a text or detail that is not UTF-8 text or JSON, `EntryExists`, `JournalLocked`,
        `JournalNotWritable`, `JournalDamaged`, `DiskFull`; nothing is written then. ValueError: ``new_id`` or ``kind``
        is not one.
        """
        draft = drafted(kind, now_ms=now_ms, new_id=new_id, rig=rig, show=show, subject=subject, by=by, detail=detail)
        return self.put(draft, now_ms)

    def put(self, draft: Entry, now_ms: int) -> Entry:
        """Write an entry that is not numbered yet, as `checkapp.journal.entry.drafted` makes it, at its own time.

        Arguments and errors as in `append`.
        """
        with self._lock, named_errors(self.path):
            self._refuse_reading_only()
            return self._write(draft, now_ms)

    def has(self, entry_id: str) -> bool:
        """Whether there is an entry with that id. Errors: as in `entries`."""
        with self._lock, named_errors(self.path):
            return self._bare.execute(_HAS, (entry_id,)).fetchone() is not None

    def others_wrote(self) -> int | None:
        """A number that is another one as soon as anybody else has written to the file, whatever was written here.

        None: it cannot be told now, as another thread is writing. Errors: as in `entries`.
        """
        if not self._lock.acquire(blocking=False):
            return None
        try:
            (version,) = self._bare.execute(_VERSION).fetchone()
        except sqlite3.Error as error:
            raise from_sqlite(error, self.path) from error
        finally:
            self._lock.release()
        return int(version)

    def entries(
        self,
        *,
        rig: str | None = None,
        show: str | None = None,
        kind: str | Collection[str] | None = None,
    ) -> list[Entry]:
        """The entries of that rig, show and kind (or one of those kinds), in the order of the story.

        A row whose values are not of the kind that belongs in its columns is left out; verification reports it.
        """
        kinds = [kind] if isinstance(kind, str) else kind
        with self._lock, named_errors(self.path):
            return find(self._bare, rig, show, kinds)

    def changes(self, rig: str) -> list[Entry]:
        """The entries that may tell of a change of a rig: swaps, moves, repairs that put something in; as `entries`."""
        with self._lock, named_errors(self.path):
            return find_changes(self._bare, rig)

    def undoing(self, ids: Iterable[str]) -> list[Entry]:
        """The entries that undo those with these ids, those that undo these, and so on."""
        with self._lock, named_errors(self.path):
            return undoing(self._bare, ids)

    @contextmanager
    def as_stored(self) -> Iterator[Connection]:
        """The database as it is at this moment, for verification: texts come as `StoredText`, blobs as plain bytes.

        Errors: as in `entries`.
        """
        with self._lock, named_errors(self.path):
            self._bare.text_factory = StoredText
            self._bare.execute("BEGIN")
            try:
                yield self._connection
            finally:
                self._bare.text_factory = lenient_text
                self._roll_back()

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The bare connection to the database as it is at this moment; texts come as in `writing`.

        Errors: as in `entries`.
        """
        with self._lock, named_errors(self.path):
            self._bare.text_factory = exact_text
            self._bare.execute("BEGIN")
            try:
                yield self._bare
            finally:
                self._bare.text_factory = lenient_text
                self._roll_back()

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction on the bare connection, for what is more than one entry: all of it is written, or nothing.

        Texts come as `checkapp.journal.store.exact_text` reads them. Other threads and processes wait with writing.

        Errors: as in `append`; whatever the caller raises takes everything back.
        """
        with self._lock, named_errors(self.path):
            self._refuse_reading_only()
            self._tail = None
            self._bare.execute("BEGIN IMMEDIATE")
            self._bare.text_factory = exact_text
            try:
                yield self._bare
                self._watch.look()
                self._bare.execute("COMMIT")
            except BaseException:
                self._roll_back()
                raise
            finally:
                self._bare.text_factory = lenient_text

    def _write(self, draft: Entry, now_ms: int) -> Entry:
        run = self._bare.execute
        run("BEGIN IMMEDIATE")
        try:
            tail = self._take_tail()
            self._refuse_known(draft.id)
            entry = draft.chained(tail.device, tail.end.seq + 1, next_clock(tail.clock, now_ms), tail.end.digest)
            end = End(entry.seq, entry.digest)
            run(INSERT, entry.values)
            run(_UPDATE_LAST, (str(end), schema.LAST))
            self._watch.look()
            run("COMMIT")
        except BaseException:
            self._roll_back()
            raise
        self._tail = _Tail(entry.device, end, entry.clock)
        self._identity.wrote(entry.device, end)
        return entry

    def _refuse_reading_only(self) -> None:
        if self.notice is not None:
            raise JournalTooNew(self.notice)
        if self._read_only:
            raise JournalNotWritable(
                told(self.path, later("the journal was opened to be read"), later("open it to write"))
            )

    def _refuse_known(self, new_id: str) -> None:
        if self._bare.execute(_HAS, (new_id,)).fetchone():
            raise EntryExists(
                told(self.path, later("an entry with that id is there already"), later("use a new id for each"))
            )

    def _roll_back(self) -> None:
        """Give up the transaction. SQLite has done so itself after some failures of the disk."""
        if self._bare.in_transaction:
            self._bare.execute("ROLLBACK")

    def _take_tail(self) -> _Tail:
        """The end of the chain: as this connection left it, or read anew when another one has written.

        It is forgotten until the entry is written, so that a failure never leaves a wrong one.
        """
        (version,) = self._bare.execute(_VERSION).fetchone()
        known, self._tail = self._tail, None
        if known is None or version != self._version:
            known = self._read_tail()
        self._version = version
        if known.end.seq >= _MOST_SEQ:
            wrong = "this device has used up its numbers"
            raise JournalDamaged(told(self.path, wrong, later("look at the journal's verification")))
        return known

    def _read_tail(self) -> _Tail:
        device = self._identity.device()
        self._identity.take(device)
        columns = schema.entry.c
        clocks = select(columns.clock).where(columns.clock < _ABOVE_CLOCKS).order_by(columns.clock.desc())
        with self._connection.execute(clocks) as falling:
            clock = next((text for text in falling.scalars() if is_clock(text)), ZERO)
        return _Tail(device, self._identity.end(device), clock)
