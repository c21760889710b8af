"""The hub's table, made of the journal's own, and the SQL that an administrator runs to set a hub up.

The same columns; what a journal keeps though it is damaged does not travel, so here every value is of its type, and an
entry is there once, known by its digest. Texts are compared byte by byte, as the journal does.
"""

from typing import Any

from sqlalchemy import BigInteger, CheckConstraint, Column, Index, Integer, MetaData, PrimaryKeyConstraint, Table, Text
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateIndex, CreateTable

from checkapp.journal import schema
from checkapp.journal.entry import OPTIONAL

FORMAT = 1
"""Of the hub; told in the comment of its table."""

COMMENT = "entries of journals, format "
ROLE = "checkapp_tablet"

MOST_SEQ = 10**15
"""No device writes as many entries; a higher number does not travel."""


def _column(column: Column[Any]) -> Column[Any]:
    kind = BigInteger() if isinstance(column.type, Integer) else Text(collation="C")
    return Column(column.name, kind, nullable=column.name in OPTIONAL)


entry = Table(
    "entry",
    MetaData(),
    *map(_column, schema.entry.columns),
    PrimaryKeyConstraint("digest"),
    CheckConstraint(f"seq BETWEEN 1 AND {MOST_SEQ}", name="entry_numbered"),
    CheckConstraint("digest ~ '^[0-9a-f]{64}$'", name="entry_digested"),
    Index("entry_by_device", "device", "seq"),
)

_SETUP = """\
-- Sets up a hub for the journals of checkapp in this database, which should be its own (PostgreSQL 14 or newer).
-- An administrator runs it once, for example: psql -d DATABASE -f hub.sql
-- Running it again does no harm.
BEGIN;

{table};

{indices};

COMMENT ON TABLE entry IS '{comment}{format}';

-- Entries are never changed or removed, whoever asks.
CREATE OR REPLACE FUNCTION entry_stays() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'entries are never changed or removed';
END $$;
CREATE OR REPLACE TRIGGER entry_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON entry
    FOR EACH STATEMENT EXECUTE FUNCTION entry_stays();

-- What a tablet may do: read entries and add some.
DO $$ BEGIN
    CREATE ROLE {role} NOLOGIN;
EXCEPTION WHEN duplicate_object THEN
    NULL;
END $$;
REVOKE ALL ON entry FROM PUBLIC, {role};
GRANT SELECT, INSERT ON entry TO {role};
DO $$ BEGIN
    EXECUTE format('GRANT CONNECT ON DATABASE %I TO {role}', current_database());
    EXECUTE format('GRANT USAGE ON SCHEMA %I TO {role}', current_schema());
END $$;

COMMIT;

-- Then a user for each tablet; \\password asks for the password and sends it scrambled:
--   CREATE ROLE left_tablet LOGIN IN ROLE {role};
--   \\password left_tablet
"""


def setup_sql() -> str:
    """What an administrator runs in the hub's database; no password is in it."""
    dialect = postgresql.dialect()  # type: ignore[no-untyped-call]
    table = str(CreateTable(entry, if_not_exists=True).compile(dialect=dialect)).strip()
    made = (CreateIndex(index, if_not_exists=True) for index in sorted(entry.indexes, key=lambda one: str(one.name)))
    indices = [str(one.compile(dialect=dialect)) for one in made]
    return _SETUP.format(table=table, indices=";\n".join(indices), comment=COMMENT, format=FORMAT, role=ROLE)
