"""Opening and making the SQLite file of a journal: write-ahead log, every commit synced to the disk."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import NamedTuple

from sqlalchemy import Connection, create_engine, insert
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from checkapp.journal.entry import NO_ENTRY
from checkapp.journal.errors import (
    RESCUE,
    JournalDamaged,
    JournalLocked,
    JournalTooNew,
    NoJournal,
    NotAJournal,
    from_sqlite,
    from_system,
    told,
)
from checkapp.journal.layout import lay_out
from checkapp.journal.schema import APPLICATION_ID, DEVICE, LAST, SCHEMA_VERSION, fact, metadata
from checkapp.tongue import later, tr

_MOST_TRIES = 50
_MOST_LOG_BYTES = 16_000_000  # what a long write-ahead log is cut back to
_NEWER = "open it with a newer version of this program"
_HEADER_BYTES = 100  # SQLite takes a shorter file for an empty one and would write over it

lenient_text = partial(str, encoding="utf-8", errors="replace")
"""How texts are read: a damaged one must not keep the others from being read."""


class StoredText(bytes):
    """The bytes of a value that is stored as text, which need not be UTF-8."""


def exact_text(stored: bytes) -> str | StoredText:
    """A stored text so that nothing of it is lost: one that is not UTF-8 as its bytes."""
    try:
        return stored.decode()
    except UnicodeDecodeError:
        return StoredText(stored)


@contextmanager
def named_errors(path: Path) -> Iterator[None]:
    """Turn what SQLite, SQLAlchemy and the system say about the file at ``path`` into named errors."""
    try:
        yield
    except sqlite3.Error as error:
        raise from_sqlite(error, path) from error
    except DBAPIError as error:
        if not isinstance(error.orig, sqlite3.Error):
            raise
        raise from_sqlite(error.orig, path) from error
    except UnicodeDecodeError as error:  # SQLite's own message quotes what a damaged file holds
        raise JournalDamaged(told(path, later("the file is damaged"), RESCUE)) from error
    except OSError as error:
        raise from_system(error, path) from error


class Store(NamedTuple):
    """A held connection to a journal, in autocommit: transactions are begun by hand. ``version`` is its format."""

    connection: Connection
    version: int


def open_store(path: Path, *, create: bool, new_device: str, wait_ms: int) -> Store:
    """Open the journal at ``path`` to read and write it.

    ``create`` makes the file and its folders where there are none, for the device named ``new_device``. ``wait_ms`` is
    how long to wait for another program's writing. An older format is brought up to date; a newer one can only be read.

    Errors: `NoJournal`, `NotAJournal`, `JournalTooNew`, `JournalLocked`, `JournalNotWritable`, `JournalDamaged`,
    `DiskFull`.
    """
    with named_errors(path):
        _look(path, create=create)
        connection = _hold(partial(_connect, path, wait_ms))
        try:
            version = _prepare(connection, path, new_device if create else None)
        except BaseException:
            connection.close()
            raise
    return Store(connection, version)


def read_store(path: Path, *, wait_ms: int) -> Store:
    """Open the journal at ``path`` only to read it, also from a folder or a disk that cannot be written.

    It may be of any format. Errors: as `open_store`.
    """
    with named_errors(path):
        _look(path, create=False)
        connection = _hold(partial(_connect_to_read, path, wait_ms))
        try:
            version = _known_version(connection, path)
        except BaseException:
            connection.close()
            raise
    return Store(connection, version)


def _hold(connect: Callable[[], sqlite3.Connection]) -> Connection:
    engine = create_engine("sqlite://", creator=connect, poolclass=NullPool, isolation_level="AUTOCOMMIT")
    return engine.connect()


def driver(connection: Connection) -> sqlite3.Connection:
    """The bare connection under ``connection``, for the few statements where every microsecond counts."""
    bare = connection.connection.driver_connection
    if not isinstance(bare, sqlite3.Connection):
        raise TypeError(f"not a connection to SQLite: {bare!r}")
    return bare


def _look(path: Path, *, create: bool) -> None:
    if path.is_dir():
        raise NotAJournal(told(path, later("this is a folder"), later("name a file")))
    if path.exists() and not path.is_file():
        raise NotAJournal(told(path, later("this is not a file"), later("name a file")))
    if not path.exists():
        if not create:
            raise NoJournal(told(path, later("no journal there"), later("it is made by the first mark")))
        path.parent.mkdir(parents=True, exist_ok=True)
    elif 0 < path.stat().st_size < _HEADER_BYTES:
        raise NotAJournal(told(path, later("this is not a journal"), later("name a journal file, or a new one")))


def _connect(path: Path, wait_ms: int) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=wait_ms / 1000, isolation_level=None, check_same_thread=False)
    connection.text_factory = lenient_text
    return connection


def _connect_to_read(path: Path, wait_ms: int) -> sqlite3.Connection:
    """Connect so that nothing is changed. Where files beside it can be made, SQLite makes and removes its own."""
    modes = ["mode=rw", "mode=ro"]
    if not Path(f"{path}-wal").exists():
        modes.append("mode=ro&immutable=1")  # with neither a log nor a folder to make one in, nobody is writing
    while True:
        uri = f"{path.absolute().as_uri()}?{modes.pop(0)}"
        connection = sqlite3.connect(
            uri, uri=True, timeout=wait_ms / 1000, isolation_level=None, check_same_thread=False
        )
        connection.text_factory = lenient_text
        try:
            connection.execute("PRAGMA query_only = ON")
            connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        except sqlite3.Error as error:
            connection.close()
            if not modes or error.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
                raise
        else:
            return connection


def _prepare(connection: Connection, path: Path, new_device: str | None) -> int:
    """Make sure of the file's layout and format; the format."""
    _set(connection, "synchronous", "FULL")
    _set(connection, "fullfsync", "ON")  # elsewhere than on macOS it means nothing
    _set(connection, "journal_size_limit", str(_MOST_LOG_BYTES))
    if new_device is not None and _is_empty(connection):
        _lay_out(connection, path, new_device)
    version = _known_version(connection, path)
    if version > SCHEMA_VERSION:
        _set(connection, "query_only", "ON")
        return version
    if connection.exec_driver_sql("PRAGMA journal_mode").scalar() != "wal":
        _write_ahead(connection, path)
    if version < SCHEMA_VERSION:
        from checkapp.journal.upgrade import upgrade

        upgrade(connection, driver(connection), path)
    return SCHEMA_VERSION


def _known_version(connection: Connection, path: Path) -> int:
    """The format of a journal that has what is read of it."""
    if _is_empty(connection):
        raise NoJournal(told(path, later("no journal there"), later("it is made by the first mark")))
    if _ask(connection, "PRAGMA application_id") != APPLICATION_ID:
        raise NotAJournal(told(path, later("this is not a journal"), later("name a journal file, or a new one")))
    version = _ask(connection, "PRAGMA user_version")
    for table in metadata.sorted_tables:
        held = connection.exec_driver_sql(f"SELECT name FROM pragma_table_info('{table}')").scalars().all()
        if set(table.columns.keys()) <= set(held):
            continue
        if version > SCHEMA_VERSION:
            raise JournalTooNew(told(path, tr("the journal has format {version}", version=version), _NEWER))
        lost = tr("the table {table} has lost columns", table=table)
        raise JournalDamaged(told(path, lost if held else tr("the table {table} is gone", table=table), RESCUE))
    if version < 1:
        raise JournalDamaged(told(path, later("the journal does not say which format it has"), RESCUE))
    return version


def _is_empty(connection: Connection) -> bool:
    return not (
        _ask(connection, "PRAGMA application_id")
        or _ask(connection, "PRAGMA user_version")
        or _ask(connection, "SELECT count(*) FROM sqlite_master")
    )


def _lay_out(connection: Connection, path: Path, new_device: str) -> None:
    """Make the tables, unless another process does so at the same moment."""
    _write_ahead(connection, path)
    connection.exec_driver_sql("BEGIN IMMEDIATE")
    try:
        if _is_empty(connection):
            lay_out(connection)
            facts = {DEVICE: new_device, LAST: f"0 {NO_ENTRY}"}
            rows = [{"key": key, "value": value} for key, value in facts.items()]
            connection.execute(insert(fact), rows)
            _set(connection, "application_id", str(APPLICATION_ID))
            _set(connection, "user_version", str(SCHEMA_VERSION))
    except BaseException:
        connection.exec_driver_sql("ROLLBACK")
        raise
    connection.exec_driver_sql("COMMIT")


def _write_ahead(connection: Connection, path: Path) -> None:
    """Switch the file to the write-ahead log.

    SQLite does not wait for other processes here: wait for their turn to end and try again.
    """
    for _ in range(_MOST_TRIES):
        try:
            _set(connection, "journal_mode", "WAL")
        except DBAPIError as error:
            if not isinstance(error.orig, sqlite3.Error):
                raise
            named = from_sqlite(error.orig, path)
            if not isinstance(named, JournalLocked):
                raise named from error
            connection.exec_driver_sql("BEGIN IMMEDIATE")
            connection.exec_driver_sql("ROLLBACK")
        else:
            return
    raise JournalLocked(told(path, later("the journal is in use"), later("try again")))


def _set(connection: Connection, name: str, value: str) -> None:
    connection.exec_driver_sql(f"PRAGMA {name} = {value}").close()


def _ask(connection: Connection, question: str) -> int:
    answer = connection.exec_driver_sql(question).scalar()
    return answer if isinstance(answer, int) else 0
