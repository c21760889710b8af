"""The marks of a check from a CSV file of ``line,verdict,symptom``: a check that was kept elsewhere, or on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, cast

from checkapp.rig.csv_table import MOST_BYTES, CsvTable, TableRefused, TableRow, read_table
from checkapp.rig.errors import Fault, FileRefused, UnknownCode, shown
from checkapp.rig.words import SYMPTOMS, Symptom

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig

COLUMNS = ("line", "verdict", "symptom")


@dataclass(frozen=True, slots=True)
class Marked:
    """A line of the rig, whether it is faulty, and what was heard (None: nothing was said)."""

    line: str
    faulty: bool
    symptom: Symptom | None


def read_marks(path: Path, rig: Rig) -> tuple[Marked, ...]:
    """The marks in a file: of each line the last row that has a verdict; rows without one are passed over.

    Errors: `TableRefused`: the file holds no such table, or faults, all of which are named; `FileRefused`.
    """
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except OSError as error:
        wrong = f"cannot be read: {error.strerror}"
        raise FileRefused([Fault(str(path), 0, "", "", "", wrong, "check the name and the folder")]) from None
    return marks_of(content, str(path), rig)


def marks_of(content: bytes, name: str, rig: Rig) -> tuple[Marked, ...]:
    """The same from the content of a file; ``name`` is what messages call it."""
    table = read_table(content, name, COLUMNS)
    faults = list(_missing(table, name))
    found: dict[str, Marked] = {}
    for row in [] if faults else table.rows:
        wrong = list(_wrong(row, rig, name))
        faults += wrong
        if not wrong and row.cells["verdict"]:
            marked = _marked(row, rig)
            found.pop(marked.line, None)
            found[marked.line] = marked
    faults += table.faults
    if faults:
        raise TableRefused(sorted(faults, key=lambda fault: fault.line))
    return tuple(found.values())


def _missing(table: CsvTable, name: str) -> Iterator[Fault]:
    for column in COLUMNS[:2]:
        if column not in table.columns:
            yield Fault(name, 1, "", "", "", f'has no column "{column}"', f"name the columns {','.join(COLUMNS)}")


def _marked(row: TableRow, rig: Rig) -> Marked:
    symptom = row.cells.get("symptom", "").lower() or None
    line = rig.line(row.cells["line"]).line
    return Marked(line, row.cells["verdict"].lower() == "faulty", cast("Symptom | None", symptom))


def _wrong(row: TableRow, rig: Rig, name: str) -> Iterator[Fault]:
    """What is wrong with a row, cell by cell."""
    line, verdict, symptom = (row.cells.get(column, "") for column in COLUMNS)
    try:
        rig.line(line)
    except UnknownCode as unknown:
        wrong, _, right = str(unknown).partition("; ")
        yield Fault(name, row.line, "", "", "line", wrong, right)
    if verdict.lower() not in ("", "ok", "faulty"):
        yield Fault(name, row.line, "", "", "verdict", f"is {shown(verdict)}", "ok, faulty, or nothing")
    if symptom and symptom.lower() not in SYMPTOMS:
        yield Fault(name, row.line, "", "", "symptom", f"is {shown(symptom)}", f"one of {', '.join(SYMPTOMS)}")
    elif symptom and verdict.lower() != "faulty":
        yield Fault(
            name, row.line, "", "", "symptom", f"is {shown(symptom)} on a line that is not faulty", "leave it out"
        )
