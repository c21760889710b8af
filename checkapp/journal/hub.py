"""A hub at work: what it holds, and adding to it. A user that may read and add needs no more."""

from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from typing import Any, TypeVar

import psycopg
from sqlalchemy import Connection, create_engine, text
from sqlalchemy.dialects.postgresql import insert
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from checkapp.journal.entry import COLUMN_NAMES, COLUMNS
from checkapp.journal.hub_address import HubAddress
from checkapp.journal.hub_errors import HubAway, HubError, HubTooNew, from_connecting, from_working, not_set_up
from checkapp.journal.hub_schema import COMMENT, FORMAT, entry
from checkapp.journal.sums import BUCKET, DIGITS, Key, Sum
from checkapp.journal.taking_in import Row
from checkapp.tongue import tr

_Answer = TypeVar("_Answer")
_TRIES = 4
_CROSSED = ("40001", "40P01")  # two tablets in each other's way; one of them is asked to try again
_BITS = 4 * DIGITS
_LOOK = text(
    "SELECT to_regclass('entry'), obj_description(to_regclass('entry'), 'pg_class'),"
    " set_config('idle_in_transaction_session_timeout', '60s', false), set_config('lock_timeout', '30s', false)"
)
"""A tablet that falls asleep in the middle must not keep others from adding the same entries."""
_SUMS = text(
    f"SELECT device, seq / {BUCKET}, count(*), bit_xor(('x' || left(digest, {DIGITS}))::bit({_BITS})::bigint)"
    " FROM entry GROUP BY 1, 2"
)
_DIGESTS = text(
    "SELECT entry.digest FROM unnest(CAST(:devices AS text[]), CAST(:buckets AS bigint[])) AS wanted (device, bucket)"
    f" JOIN entry ON entry.device = wanted.device AND entry.seq BETWEEN wanted.bucket * {BUCKET}"
    f" AND wanted.bucket * {BUCKET} + {BUCKET - 1}"
)
_ROWS = text(f"SELECT {COLUMN_NAMES} FROM entry WHERE digest = ANY(CAST(:digests AS text[])) ORDER BY device, seq, id")
_COPY = f"COPY entry ({COLUMN_NAMES}) FROM STDIN"
_ADD = insert(entry).on_conflict_do_nothing()


class Hub:
    """An open connection to a hub; made by `open_hub`. Errors of every method: `HubError` by the condition."""

    def __init__(self, connection: Connection, shown: str) -> None:
        self._connection = connection
        self._shown = shown

    def sums(self) -> dict[Key, Sum]:
        """What the hub holds, as `checkapp.journal.sums.Sums` tells it of a journal."""
        found = self._ask(lambda: self._connection.execute(_SUMS).all())
        return {(device, bucket): (count, mixed % 2**_BITS) for device, bucket, count, mixed in found}

    def digests(self, keys: Collection[Key]) -> set[str]:
        """The digests of all entries in those buckets."""
        asked = {"devices": [device for device, _ in keys], "buckets": [bucket for _, bucket in keys]}
        return set(self._ask(lambda: self._connection.execute(_DIGESTS, asked).scalars().all())) if keys else set()

    def rows(self, digests: Collection[str]) -> list[Row]:
        """The entries with those digests, each device's by rising number."""
        found = self._ask(lambda: self._connection.execute(_ROWS, {"digests": list(digests)}).all()) if digests else ()
        return [tuple(row) for row in found]

    def add(self, rows: Sequence[Row]) -> int:
        """Add entries, all of them or none; how many were not there. They must be sound, in the same order for all.

        They are copied in at full speed; only where another tablet brought one of them at this moment, one by one.
        """
        for work in (self._copy, *[self._add] * _TRIES):
            with suppress(_Crossed):
                return self._ask(partial(work, rows))
        raise HubAway(
            tr("{hub} was busy with the same entries; the journal works on; sync again later", hub=self._shown)
        )

    def _add(self, rows: Sequence[Row]) -> int:
        named = [dict(zip(COLUMNS, row, strict=True)) for row in rows]
        return self._connection.execute(_ADD, named, execution_options={"preserve_rowcount": True}).rowcount

    def _copy(self, rows: Sequence[Row]) -> int:
        bare: Any = self._connection.connection.driver_connection
        with bare.cursor() as cursor:
            with cursor.copy(_COPY) as copy:
                for row in rows:
                    copy.write_row(row)
            return int(cursor.rowcount)

    def look(self) -> None:
        """See whether this is a hub."""
        table, comment, *_ = self._ask(lambda: self._connection.execute(_LOOK).one())
        if table is None:
            raise not_set_up(self._shown)
        number = (comment or "").removeprefix(COMMENT)
        if number.isdecimal() and int(number) > FORMAT:
            raise HubTooNew(
                tr(
                    "{hub} has format {format}; sync with a newer version of this program",
                    hub=self._shown,
                    format=number,
                )
            )

    def _ask(self, work: Callable[[], _Answer]) -> _Answer:
        """Do something in a transaction of its own, with errors by their names."""
        with _psycopg_errors(self._named), self._connection.begin():
            return work()

    def _named(self, error: psycopg.Error) -> HubError:
        if error.sqlstate in _CROSSED or isinstance(error, psycopg.errors.UniqueViolation):
            return _Crossed()
        return from_working(error, self._shown)


@contextmanager
def _psycopg_errors(named: Callable[[psycopg.Error], HubError]) -> Iterator[None]:
    """Turn what psycopg says, itself or through SQLAlchemy, into named errors; its own words end here."""
    try:
        yield
    except psycopg.Error as error:
        raise named(error) from None
    except DBAPIError as error:
        if not isinstance(error.orig, psycopg.Error):
            raise
        raise named(error.orig) from None


class _Crossed(HubError):
    """Another tablet brought the same entries at the same moment."""


@contextmanager
def open_hub(address: HubAddress) -> Iterator[Hub]:
    """Connect to a hub, and let it go at the end. Errors: `HubError` by the condition."""
    engine = create_engine(
        "postgresql+psycopg://",
        creator=address.connect,
        poolclass=NullPool,
        hide_parameters=True,
        use_native_hstore=False,
    )
    with _psycopg_errors(lambda error: from_connecting(error, address.shown)):
        connection = engine.connect()
    try:
        hub = Hub(connection, address.shown)
        hub.look()
        yield hub
    finally:
        connection.close()
