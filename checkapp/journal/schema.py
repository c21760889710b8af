"""The tables of a journal file.

``entry`` is the log. It is a set of rows, and nothing in it is unique: two entries of one device with the same number
(a fork) must be stored to be seen, and so must two contents of one id, of which one was changed or damaged. Nothing is
refused for what it holds either, so that a damaged row of somebody else's journal can be kept and reported. ``fact`` is
what the file knows of itself; entries are never derived from it.
"""

from sqlalchemy import Column, Index, Integer, MetaData, Table, Text, text

SCHEMA_VERSION = 2
"""Kept as the database's ``user_version``."""

APPLICATION_ID = 0x6A6F7572
"""Kept as the database's ``application_id``: a file with another one is not ours. The letters ``jour``."""

DEVICE = "device"
"""The fact that names the device whose entries this file numbers: two journals on one machine are two devices."""

LAST = "last"
"""The fact that says how many entries that device has written and the digest of the last: ``41 9f86...``."""

WAS = "was "
"""What begins the facts that say the same of the names that this file was written under before: ``was left``."""

END = "end "
"""What begins the facts that say how many entries other devices are known to have written: ``end right``."""

metadata = MetaData()

entry = Table(
    "entry",
    metadata,
    Column("id", Text),
    Column("device", Text),
    Column("seq", Integer),
    Column("at", Text),
    Column("clock", Text),
    Column("kind", Text),
    Column("rig", Text),
    Column("show", Text),
    Column("subject", Text),
    Column("by", Text),
    Column("detail", Text),
    Column("previous", Text),
    Column("digest", Text),
    Index("entry_by_id", "id"),
    Index("entry_by_device", "device", "seq"),
    Index("entry_by_clock", "clock"),
    Index("entry_by_rig", "rig", "kind", "show"),
)
MAY_CHANGE = (
    "(kind IN ('swap', 'move') OR kind = 'repair' AND"
    """ (instr(detail, '"with":null') = 0 OR instr(detail, '"with":"') > 0))"""
)
"""Holds for each entry that may tell of a change of its rig: repairs that put nothing in another's place do not.

A question that says it in these very words is answered by the index.
"""

Index("entry_by_change", entry.c.rig, sqlite_where=text(MAY_CHANGE.replace(":", r"\:")))
Index("entry_by_undone", entry.c.subject, sqlite_where=entry.c.kind == "void")

fact = Table(
    "fact",
    metadata,
    Column("key", Text, primary_key=True),
    Column("value", Text),
)
