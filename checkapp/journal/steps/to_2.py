"""Format 2: an id is no longer unique, both contents of one can be kept; an index finds what was undone."""

import sqlalchemy as sa
from alembic.operations import Operations

_TEXTS = ("at", "clock", "kind", "rig", "show", "subject", "by", "detail", "previous", "digest")
_COLUMNS = ("id", "device", "seq", *_TEXTS)
_MAY_CHANGE = (
    "(kind IN ('swap', 'move') OR kind = 'repair' AND"
    """ (instr(detail, '"with":null') = 0 OR instr(detail, '"with":"') > 0))"""
)


def upgrade(op: Operations) -> None:
    """Make the table of the log anew without a primary key; rows keep their rowid."""
    for index in ("entry_by_device", "entry_by_clock", "entry_by_rig"):
        op.drop_index(index)
    op.rename_table("entry", "entry_of_format_1")
    op.create_table(
        "entry",
        sa.Column("id", sa.Text),
        sa.Column("device", sa.Text),
        sa.Column("seq", sa.Integer),
        *(sa.Column(name, sa.Text) for name in _TEXTS),
    )
    names = ", ".join(f'"{name}"' for name in ("rowid", *_COLUMNS))
    op.execute(f"INSERT INTO entry ({names}) SELECT {names} FROM entry_of_format_1 ORDER BY rowid")
    op.drop_table("entry_of_format_1")
    op.create_index("entry_by_id", "entry", ["id"])
    op.create_index("entry_by_device", "entry", ["device", "seq"])
    op.create_index("entry_by_clock", "entry", ["clock"])
    op.create_index("entry_by_rig", "entry", ["rig", "kind", "show"])
    op.create_index("entry_by_change", "entry", ["rig"], sqlite_where=sa.text(_MAY_CHANGE.replace(":", r"\:")))
    op.create_index("entry_by_undone", "entry", ["subject"], sqlite_where=sa.text("kind = 'void'"))
