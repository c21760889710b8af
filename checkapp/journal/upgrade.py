"""A journal of an older format is brought up to date when it is opened, after a copy of it was made."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Connection

from checkapp.journal.copying import BACKUPS, copy_file
from checkapp.journal.errors import RESCUE, JournalDamaged, told
from checkapp.journal.layout import dress, missing
from checkapp.journal.schema import SCHEMA_VERSION
from checkapp.journal.steps import to_2
from checkapp.tongue import later, tr

_STEPS: dict[int, Callable[[Operations], None]] = {2: to_2.upgrade}
"""What makes each format of the one before."""

_SHAPE = "SELECT group_concat(name) FROM (SELECT name FROM sqlite_master WHERE type = 'index' ORDER BY name)"
_SHAPES = {1: "entry_by_clock,entry_by_device,entry_by_rig,sqlite_autoindex_entry_1,sqlite_autoindex_fact_1"}
"""The indices by which a format is known: what is laid out otherwise than its version says is damaged."""


def upgrade(connection: Connection, bare: sqlite3.Connection, path: Path) -> None:
    """Bring the journal at ``path`` up to date, unless another process has just done so.

    The old file is kept as ``backup/NAME-format-N.db`` beside it. All or nothing.

    Errors: those of `copy_file` and of `checkapp.journal.store.open_store`.
    """
    bare.execute("BEGIN IMMEDIATE")
    try:
        (version,) = bare.execute("PRAGMA user_version").fetchone()
        if version < SCHEMA_VERSION:
            _climb(connection, bare, path, version)
        bare.execute("COMMIT")
    except BaseException:
        if bare.in_transaction:
            bare.execute("ROLLBACK")
        raise


def _climb(connection: Connection, bare: sqlite3.Connection, path: Path, version: int) -> None:
    (shape,) = bare.execute(_SHAPE).fetchone()
    if shape != _SHAPES.get(version):
        wrong = tr("the journal says it has format {version}, but it is laid out otherwise", version=version)
        raise JournalDamaged(told(path, wrong, RESCUE))
    with closing(sqlite3.connect(path, isolation_level=None)) as reader:
        copy_file(reader, path, path.parent / BACKUPS / f"{path.stem}-format-{version}.db")
    op = Operations(MigrationContext.configure(connection))
    for step in range(version + 1, SCHEMA_VERSION + 1):
        _STEPS[step](op)
    dress(connection)
    bare.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    if missing(bare):
        raise JournalDamaged(told(path, later("the journal could not be brought up to date"), RESCUE))
