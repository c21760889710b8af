"""Views with plain names and columns for people with a SQL tool, and the triggers that keep the log as it is.

A view shows what stands: an entry that was undone is left out, and one whose undoing was undone is not (followed four
deep; the table ``entry`` holds everything). A detail that is no JSON says nothing, and does not spoil the other rows.
Times are UTC.
"""

TRIGGERS = {
    "entry_is_not_changed": "CREATE TRIGGER entry_is_not_changed BEFORE UPDATE ON entry BEGIN"
    " SELECT RAISE(ABORT, 'an entry is never changed; add a new one'); END",
    "entry_is_not_removed": "CREATE TRIGGER entry_is_not_removed BEFORE DELETE ON entry BEGIN"
    " SELECT RAISE(ABORT, 'an entry is never removed; undo it by a new one'); END",
}
"""What refuses to change or remove an entry, whoever asks the database to."""

_DEEP = 4


def _stands(entry: str, depth: int = 1) -> str:
    """The condition that the row ``entry`` was not undone."""
    void = f"v{depth}"
    order = ", ".join(f"{{0}}.{column}" for column in ("clock", "device", "seq", "id"))
    later = f"({order.format(void)}) > ({order.format(entry)})"
    told = f"SELECT 1 FROM entry AS {void} WHERE {void}.kind = 'void' AND {void}.subject = {entry}.id"
    same = f"{void}.rig IS {entry}.rig AND {void}.show IS {entry}.show"
    deeper = f" AND {_stands(void, depth + 1)}" if depth < _DEEP else ""
    return f"NOT EXISTS ({told} AND {same} AND {later}{deeper})"


def _detail(key: str) -> str:
    return f"CASE WHEN json_valid(e.detail) THEN json_extract(e.detail, '$.{key}') END"


def _of_kind(kind: str, *columns: str, where: str) -> str:
    """The standing entries of a kind with the columns that each view has, ``columns`` among them."""
    named = ", ".join(("e.at", "e.rig", "e.show", *columns, 'e."by"', "e.device", "e.id"))
    found = f"SELECT {named} FROM entry AS e WHERE e.kind = '{kind}' AND e.subject IS NOT NULL"
    return f"{found} AND {where} AND {_stands('e')}"


_MARKS = _of_kind(
    "mark",
    "e.subject AS line",
    *(f"{_detail(key)} AS {key}" for key in ("verdict", "symptom", "note", "scope")),
    where=f"{_detail('verdict')} IN ('ok', 'faulty')",
)
_FAULTS = "SELECT at, rig, show, line, symptom, note, \"by\", device, id FROM marks WHERE verdict = 'faulty'"
_REPAIRS = _of_kind(
    "repair",
    "e.subject AS item",
    f"{_detail('action')} AS action",
    f"{_detail('with')} AS put_in",
    f"coalesce({_detail('cleared')}, 0) AS cleared",
    where=f"{_detail('action')} IS NOT NULL",
)
_CONNECTIONS = _of_kind(
    "connected",
    "e.subject AS cable_end",
    f"{_detail('port')} AS port",
    f"{_detail('verdict')} AS verdict",
    where=f"{_detail('port')} IS NOT NULL",
)
_SHOWS = (
    "SELECT s.rig, s.show, s.venue, s.date, coalesce(m.marks, 0) AS marks, coalesce(m.faults, 0) AS faults,"
    " m.first_mark, m.last_mark FROM ("
    f"SELECT e.rig, coalesce({_detail('name')}, e.show) AS show, {_detail('venue')} AS venue,"
    f" {_detail('date')} AS date, max(e.clock) AS clock FROM entry AS e"
    f" WHERE e.kind = 'show' AND {_stands('e')} GROUP BY 1, 2) AS s"
    " LEFT JOIN (SELECT rig, show, count(*) AS marks, sum(verdict = 'faulty') AS faults, min(at) AS first_mark,"
    " max(at) AS last_mark FROM marks GROUP BY rig, show) AS m ON m.rig IS s.rig AND m.show IS s.show"
)

VIEWS = {
    name: f"CREATE VIEW {name} AS {query}"
    for name, query in {
        "marks": _MARKS,
        "faults": _FAULTS,
        "repairs": _REPAIRS,
        "connections": _CONNECTIONS,
        "shows": _SHOWS,
    }.items()
}
"""The views by name, in an order in which they can be made."""
