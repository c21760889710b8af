"""A rig's own workbook brought back as a plan: a new one, or one that is there, edited in place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from checkapp.rig.errors import CheckappError, PlanRefused, printable
from checkapp.rig.planfile import load_plan
from checkapp.rig.rewrite import changes_between, rewritten
from checkapp.rig.rig import Rig
from checkapp.rig.sheet import MOST_BYTES
from checkapp.rig.toml_text import data_of
from checkapp.rig.toml_text import document as plan_text
from checkapp.rig.writing import replace_file
from checkapp.sheets.cell_places import CellPlaces
from checkapp.sheets.columns import CHANCES, Shape, shape_of
from checkapp.sheets.reading import read_sheets, sheet_titles
from checkapp.sheets.workbook_in import RIG, Filled, WorkbookRefused, filled, is_own
from checkapp.show.used_kinds import with_used


class PlanNotMade(CheckappError):
    """A plan that cannot be written where it was asked for."""


@dataclass(frozen=True, slots=True)
class Brought:
    """What came of a workbook: the rig, the plan file, the plan that it was edited from, what is to be said.

    ``changes`` counts by sheet what is new, changed and gone against that plan.
    """

    rig: Rig
    workbook: Path
    written: Path
    onto: Path | None
    changes: dict[str, dict[str, int]]
    said: tuple[str, ...]
    content: bytes


def is_workbook(path: Path) -> bool:
    """Whether a spreadsheet is a rig's own workbook, not a list. `SheetRefused`: it cannot be read."""
    titled = any(title.strip().lower() == RIG for title in sheet_titles(path))
    return titled and is_own(read_sheets(path))


def rig_in(workbook: Path) -> str:
    """The name of the rig that a workbook holds; empty where it says none. `SheetRefused`: it cannot be read."""
    rig = filled(read_sheets(workbook, exact=True), str(workbook)).data.get("rig", {})
    return str(rig.get("name", ""))


def bring_back(workbook: Path, out: Path, plan: Path | None = None, *, as_list: bool = False) -> Brought:
    """Read a rig's own workbook and write its plan to ``out``.

    Where ``plan`` is given, or ``out`` is there, that plan is edited in place: comments and order stay, and a sheet
    that the workbook lacks is as in that plan. Kinds of used files stay in them where these lie beside ``out`` and say
    the same; else they are written into the plan. Errors: `SheetRefused`, `WorkbookRefused`, `PlanRefused`,
    `PlanNotMade`, `FileNotWritten`; nothing is written then. ``as_list``: something was asked that only lists have,
    which is refused.
    """
    if as_list:
        asked = "--map, --save-map, --sheet, --name and --owner are for lists"
        raise PlanNotMade(f"{printable(str(workbook))} is a rig's own workbook; {asked}: leave them out")
    if out.exists() and out.samefile(workbook):
        raise PlanNotMade(f"{printable(str(out))} is the workbook itself; name another file for the plan")
    done = brought(workbook, out, plan or (out if out.exists() else None))
    replace_file(out, done.content)
    return done


def brought(workbook: Path, out: Path, onto: Path | None) -> Brought:
    """What `bring_back` would write to ``out``, made of the plan ``onto``; nothing is written. Errors as there."""
    sheets = read_sheets(workbook, exact=True)
    if not is_own(sheets):
        raise PlanNotMade(f"{printable(str(workbook))} is no rig's own workbook; without --plan it is read as a list")
    found = filled(sheets, str(workbook))
    before = None if onto is None else data_of(load_plan(onto).plan)
    said = [f"Sheet {name}: none of a rig's, left alone." for name in map(printable, found.others)]
    said += [_fill_absent(found.data, shape, before) for shape in found.absent]
    made = _checked(found, out)
    data, more = with_used(found.data, made.plan, out)
    content = plan_text(data).encode() if onto is None else rewritten(onto.read_bytes(), data)
    if len(content) > MOST_BYTES:
        raise PlanNotMade(f"the plan would be larger than {MOST_BYTES // 1_000_000} MB; split the workbook")
    rig = load_plan(out, content)
    changes = {} if before is None else _counted(before, data_of(rig.plan))
    return Brought(rig, workbook, out, onto, changes, tuple(line for line in [*said, *more] if line), content)


def _fill_absent(data: dict[str, Any], shape: Shape, before: Mapping[str, Any] | None) -> str:
    """Take from the plan that is edited what a sheet would hold that is not there; what is to be said of it."""
    if before is None:
        return f"No sheet {shape.title}: nothing of it in the plan." if shape.table == "rig" else ""
    if shape.rows == "by box":
        settings = {box["code"]: box["settings"] for box in before.get("box", []) if "settings" in box}
        for box in data.get("box", []):
            if box.get("code") in settings:
                box.setdefault("settings", settings[box["code"]])
    elif shape.table == "diagnose":
        old = before.get("diagnose", {})
        kept = {name: value for name, value in old.items() if (name in CHANCES) == (shape.rows == "by kind")}
        if kept:
            data["diagnose"] = {**kept, **data.get("diagnose", {})}
    elif shape.table in before:
        data[shape.table] = before[shape.table]
    return f"No sheet {shape.title}: it stays as in the plan."


def _checked(found: Filled, out: Path) -> Rig:
    """The rig that the workbook holds. `WorkbookRefused` with all that is wrong."""
    text = plan_text({name: value for name, value in found.data.items() if name != "use"})
    try:
        rig = load_plan(out, text.encode())
    except PlanRefused as refused:
        places = CellPlaces(found, text)
        told = {fault.place for fault in found.faults}
        more = [fault for fault in map(places.fault, refused.faults) if fault.place not in told]
        raise WorkbookRefused([*found.faults, *more]) from None
    if found.faults:
        raise WorkbookRefused(found.faults)
    return rig


def _counted(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, dict[str, int]]:
    found = {shape_of(table).title: counts for table, counts in changes_between(before, after).items()}
    return {title: counts for title, counts in found.items() if any(counts.values())}


def document(done: Brought) -> dict[str, object]:
    """The JSON document of the import."""
    return {
        "rig": done.rig.name,
        "workbook": str(done.workbook),
        "written": str(done.written),
        "edited": None if done.onto is None else str(done.onto),
        "changes": done.changes,
        "notes": list(done.said),
    }


def told(done: Brought) -> Sequence[str]:
    """What was done, in lines."""
    head = f"{printable(done.rig.name)}, a rig's own workbook, is now the plan {printable(str(done.written))}"
    if done.onto is None:
        return (f"{head}.", *done.said)
    counts = change_words(done)
    same = "" if done.onto == done.written else f", edited from {printable(str(done.onto))}"
    return (f"{head}{same}.", *(counts or ["Nothing in it has changed."]), *done.said)


def change_words(done: Brought) -> list[str]:
    """What is new, changed and gone against the plan that it was edited from, by sheet; nothing where nothing is."""
    return [
        f"{title}: {', '.join(f'{count} {word}' for word, count in words.items() if count)}."
        for title, words in done.changes.items()
    ]
