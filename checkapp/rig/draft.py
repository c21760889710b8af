"""A plan as far as its shape is right: entries by table, ready to be checked across tables."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from checkapp.rig import model
from checkapp.rig.codes import did_you_mean, without_hyphens
from checkapp.rig.errors import PlanRefused, printable, shown
from checkapp.rig.locate import Path as TomlPath
from checkapp.rig.model import (
    Box,
    BoxKind,
    Cable,
    CableKind,
    Chain,
    Insert,
    LinkKind,
    Source,
    Supply,
    Table,
)
from checkapp.rig.shape import check_entry, type_of
from checkapp.rig.sheet import Sheet, read_sheet
from checkapp.tongue import later, tr

_LISTS: Mapping[str, type[Table]] = {
    "chain": Chain,
    "supply": Supply,
    "source": Source,
    "cable": Cable,
    "box": Box,
    "input": model.Input,
    "output": model.Output,
    "insert": Insert,
}
_KINDS: Mapping[str, type[Table]] = {
    "link_kind": LinkKind,
    "cable_kind": CableKind,
    "box_kind": BoxKind,
}
_IN_USED_FILE = {"format", *_KINDS}


@dataclass
class Draft:
    """What is known of a plan that may have faults; a field that is wrong is None."""

    sheet: Sheet
    used: list[Sheet] = field(default_factory=list)
    rig: model.RigTable | None = None
    diagnose: model.Diagnose | None = None
    kinds: dict[str, dict[str, Any]] = field(default_factory=lambda: {name: {} for name in _KINDS})
    entries: dict[str, list[tuple[int, Any]]] = field(default_factory=lambda: {name: [] for name in _LISTS})
    coded: dict[str, tuple[str, int, Any]] = field(default_factory=dict)
    bare: dict[str, str] = field(default_factory=dict)
    kinds_missing: bool = False
    _hints_left: int = 100

    def each(self, table: str) -> Iterator[tuple[int, Any]]:
        """The entries of a table with their index in the file."""
        return iter(self.entries[table])

    def codes(self, *tables: str) -> list[str]:
        """The codes that these tables define."""
        return [code for code, (table, _, _) in self.coded.items() if table in tables]

    def find(self, table: str, code: object) -> Any | None:
        """The entry of that table with that code, or None."""
        found = self.coded.get(code) if isinstance(code, str) else None
        return found[2] if found and found[0] == table else None

    def kind_of(self, table: str, entry: Any) -> Any | None:
        """The kind of a chain, cable or box; None when it is unknown, or there is no entry."""
        name = None if entry is None else entry.link if table == "link_kind" else entry.kind
        return self.kinds[table].get(name) if isinstance(name, str) else None

    def say(self, table: str, index: int, field_name: str, wrong: str, right: str) -> None:
        """Add a fault of a field of an entry."""
        entry = entry_name(table, index, self.sheet.data[table][index])
        path = (table, index, field_name) if field_name else (table, index)
        self.sheet.say(path, entry, wrong, right, field_name)

    def unknown(self, table: str, index: int, field_name: str, word: str, *targets: str) -> None:
        """Add a fault: ``word`` names nothing in the tables ``targets``; the first hundred times with a near name."""
        what = " or ".join(targets)
        if word in self.coded:
            self.say(
                table,
                index,
                field_name,
                tr('"{name}" is a {sort}, not a {wanted}', name=word, sort=self.coded[word][0], wanted=what),
                tr("name a {wanted}", wanted=what),
            )
            return
        if self._hints_left <= 0:
            none = tr('no {wanted} "{name}"', wanted=what, name=printable(word, 60))
            self.say(table, index, field_name, none, tr("add that {wanted}", wanted=what))
            return
        self._hints_left -= 1
        known = list(self.kinds[what]) if what in self.kinds else self.codes(*targets)
        self.say(table, index, field_name, *did_you_mean(what, word, known))

    def line(self, path: TomlPath) -> int:
        """The line where an entry or a field of the plan file stands."""
        return self.sheet.line(path)


def entry_name(table: str, index: int, raw: object) -> str:
    """What an entry is called in a message: its code, number or name, else its place in the list."""
    for key in ("code", "number", "name"):
        value = raw.get(key) if isinstance(raw, dict) else None
        if isinstance(value, (str, int)) and not isinstance(value, bool):
            return shown(value)
    return f"#{index + 1}"


def read_draft(path: Path, content: bytes | None = None) -> Draft:
    """Read a plan file, or ``content`` in its place, and the files that it uses.

    `PlanRefused` when the plan itself cannot be read or is no TOML.
    """
    draft = Draft(read_sheet(path, str(path), content))
    data = draft.sheet.data
    _check_top(draft.sheet, set(model.PlanFile.model_fields))
    _read_used(draft, path)
    _read_kinds(draft, draft.sheet)
    draft.rig = check_entry(model.RigTable, data.get("rig", {}), draft.sheet, ("rig",), "")
    if "diagnose" in data:
        draft.diagnose = check_entry(model.Diagnose, data["diagnose"], draft.sheet, ("diagnose",), "")
    for table, shape in _LISTS.items():
        _read_list(draft, table, shape)
    return draft


def _check_top(sheet: Sheet, known: set[str]) -> None:
    for name in sheet.data:
        if name not in known:
            wrong, right = did_you_mean("table", name, sorted(known))
            sheet.say((name,), "", wrong, right)
    written = sheet.data.get("format", 1)
    if type(written) is not int or written != 1:
        sheet.say(
            ("format",),
            "",
            tr("format is {format}", format=shown(written)),
            later("this program reads format 1"),
        )


def _read_list(draft: Draft, table: str, shape: type[Table]) -> None:
    rows = draft.sheet.data.get(table, [])
    if not isinstance(rows, list):
        draft.sheet.say(
            (table,),
            "",
            tr("is {sort}, not a list of entries", sort=type_of(rows)),
            tr("begin each with {heading}", heading=f"[[{table}]]"),
        )
        return
    for index, raw in enumerate(rows):
        entry = check_entry(shape, raw, draft.sheet, (table, index), entry_name(table, index, raw))
        if entry is None:
            continue
        draft.entries[table].append((index, entry))
        if isinstance(code := getattr(entry, "code", None), str):
            _add_code(draft, table, index, entry, code)


def _add_code(draft: Draft, table: str, index: int, entry: Any, code: str) -> None:
    if without_hyphens(code) == "DESK":
        draft.say(table, index, "code", later("DESK is the desk itself"), later("choose another code"))
        return
    bare = without_hyphens(code)
    if bare in draft.bare:
        _say_taken(draft, (table, index), draft.coded[draft.bare[bare]][:2])
    draft.bare.setdefault(bare, code)
    draft.coded.setdefault(code, (table, index, entry))


def _say_taken(draft: Draft, one: tuple[str, int], other: tuple[str, int]) -> None:
    """Two entries have the same code; the fault is that of the later one in the file."""
    first, second = sorted((one, other), key=lambda place: draft.line((*place, "code")))
    taken, code = (draft.sheet.data[table][index]["code"] for table, index in (first, second))
    line = draft.line((*first, "code"))
    same = tr("used twice, first on line {line}", line=line)
    wrong = same if code == taken else tr('differs from "{code}" on line {line} only by hyphens', code=taken, line=line)
    draft.say(*second, "code", wrong, later("give each item a code of its own"))


def _read_kinds(draft: Draft, sheet: Sheet) -> None:
    for table, shape in _KINDS.items():
        kinds = sheet.data.get(table, {})
        if not isinstance(kinds, dict):
            sheet.say(
                (table,),
                "",
                tr("is {sort}, not named tables", sort=type_of(kinds)),
                tr("begin each with {heading}", heading=f"[{table}.NAME]"),
            )
            continue
        for name, raw in kinds.items():
            shown = printable(name, 40)
            if name in draft.kinds[table]:
                sheet.say(
                    (table, name),
                    shown,
                    later("defined twice, once in a used file"),
                    later("keep one of the two"),
                )
            kind = check_entry(shape, raw, sheet, (table, name), shown)
            if not name.strip():
                sheet.say((table, name), '""', later("has a blank name"), later("give the kind a name"))
            draft.kinds[table][name] = kind


def _read_used(draft: Draft, plan: Path) -> None:
    names = draft.sheet.data.get("use", [])
    if not isinstance(names, list):
        draft.sheet.say(("use",), "", tr("is {what}", what=type_of(names)), later('write a list: use = ["kinds.toml"]'))
        draft.kinds_missing = True
        return
    for name in names:
        if problem := _cannot_use(plan, name):
            draft.sheet.say(("use",), "", *problem)
            draft.kinds_missing = True
            continue
        try:
            sheet = read_sheet(plan.parent / name, str(plan.parent / name))
        except PlanRefused as refused:
            draft.sheet.faults.extend(refused.faults)
            draft.kinds_missing = True
            continue
        draft.used.append(sheet)
        for table in sheet.data:
            if table not in _IN_USED_FILE:
                sheet.say(
                    (table,),
                    "",
                    later("does not belong in a used file"),
                    later("it holds *_kind tables and format only"),
                )
        _check_top(sheet, set(sheet.data))
        _read_kinds(draft, sheet)


def _cannot_use(plan: Path, name: object) -> tuple[str, str] | None:
    if not isinstance(name, str):
        return tr("use holds {what}", what=type_of(name)), later('write file names in quotes: use = ["kinds.toml"]')
    shown = printable(name, 60)
    if "\0" in name or not name.strip():
        return tr('"{file}" is no file name', file=shown), later("name a file in the plan's folder or below it")
    folder = plan.parent.resolve()
    try:
        target = (folder / name).resolve()
        found = target.is_file()
    except (OSError, RuntimeError):
        return tr('"{file}" cannot be found', file=shown), later("name a file in the plan's folder or below it")
    if not target.is_relative_to(folder):
        return (
            tr('"{file}" lies outside the plan\'s folder', file=shown),
            later("move it to the plan's folder or below it"),
        )
    if target == plan.resolve():
        return tr('"{file}" is the plan itself', file=shown), later("name a file with *_kind tables")
    return None if found else (tr('no file "{file}" beside the plan', file=shown), later("check the name"))
