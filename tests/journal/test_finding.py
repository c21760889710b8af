"""Finding what undoes entries."""

from pathlib import Path
from sqlite3 import Connection, connect
from typing import Any

from checkapp.journal import kinds
from checkapp.journal.finding import undoing
from checkapp.journal.journal import Journal


class Asked:
    """A connection that writes down the statements it is asked."""

    def __init__(self, bare: Connection) -> None:
        self.bare = bare
        self.statements: list[str] = []

    def execute(self, statement: str, values: Any) -> Any:
        self.statements.append(statement)
        return self.bare.execute(statement, values)


def test_what_undoes_is_asked_with_one_statement_for_any_number_of_entries(journal: Journal, path: Path) -> None:
    """The driver keeps 128 statements: were each of another length, with a long check they would hold many MB."""
    ids = [journal.append("note", now_ms=number, new_id=f"entry-{number:012d}").id for number in range(30)]
    kind, subject, detail = kinds.void(ids[7])
    gone = journal.append(kind, now_ms=40, new_id="void-000000000001", subject=subject, detail=detail)
    kind, subject, detail = kinds.void(gone.id)
    back = journal.append(kind, now_ms=41, new_id="void-000000000002", subject=subject, detail=detail)
    bare = connect(path)
    asked = Asked(bare)
    for count in range(len(ids) + 1):
        assert undoing(asked, ids[:count]) == ([gone, back] if count > 7 else [])  # type: ignore[arg-type]
    bare.close()
    assert len(asked.statements) > len(ids)
    assert len(set(asked.statements)) == 1
