"""A plan as a workbook, asked by a command."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.rig.toml_text import data_of
from checkapp.rig.writing import replace_file
from checkapp.sheets.columns import shapes
from checkapp.sheets.workbook_out import rows_of, workbook

SUFFIX = ".xlsx"


class SheetNotMade(CheckappError):
    """A workbook that cannot be made where it was asked for."""


@dataclass(frozen=True, slots=True)
class Exported:
    """What came of it: the rig, the workbook's file, and how many rows each sheet has, titles aside."""

    rig: Rig
    written: Path
    rows: dict[str, int]


def export_plan(plan: Path, out: Path) -> Exported:
    """Write the rig of a plan to the workbook ``out``, which is replaced when it is there; the plan stays as it is.

    Errors: `PlanRefused`, `SheetNotMade`, `CellTooSmall`, `FileNotWritten`.
    """
    if out.suffix.lower() != SUFFIX:
        raise SheetNotMade(f'{printable(str(out))}: a workbook\'s name ends with {SUFFIX}: "{out.stem[:60]}{SUFFIX}"')
    rig = load_plan(plan)
    if out.exists() and out.samefile(plan):
        raise SheetNotMade(f"{printable(str(out))} is the plan itself; name another file")
    data = data_of(rig.plan)
    replace_file(out, workbook(data))
    return Exported(rig, out, {shape.title: len(list(rows_of(shape, data))) for shape in shapes()})


def document(done: Exported) -> dict[str, object]:
    """The JSON document of the export."""
    sheets = [{"sheet": title, "rows": rows} for title, rows in done.rows.items()]
    return {"rig": done.rig.name, "written": str(done.written), "sheets": sheets}


def told(done: Exported) -> tuple[str, ...]:
    """What was done, in lines."""
    rows = ", ".join(
        f"{title} {rows}" for title, rows in done.rows.items() if rows and title not in ("rig", "diagnose")
    )
    return (
        f"{printable(done.rig.name)}, as a workbook: {printable(str(done.written))}",
        f"Rows: {rows}." if rows else "No rows besides the rig's own.",
        f"Bring it back with: checkapp plan import {printable(str(done.written))} --out PLAN",
    )
