"""A list out of a spreadsheet as a plan, asked by a command: what it became, and whether a plan was written."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from checkapp.rig.codes import OWNER_PATTERN
from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.planfile import load_plan
from checkapp.rig.sheet import MOST_BYTES
from checkapp.rig.starting import owner_mark
from checkapp.rig.writing import replace_file
from checkapp.sheets.input_list import ReadRow, ReadSheet
from checkapp.sheets.lines import ListLine, one_line
from checkapp.sheets.preview import Preview, preview
from checkapp.sheets.reading import read_sheets
from checkapp.sheets.starting_plan import starting_plan
from checkapp.show.column_maps import asked_columns, keep_columns
from checkapp.show.new_plan import check_new


class ListNotTaken(CheckappError):
    """A list that cannot become a plan, or not where it was asked for."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """How to import: what the columns are, under which name to keep that, the rig's name and owner, which sheet.

    ``strict``: only if all is understood; ``force``: over a file that is there.
    """

    columns: Sequence[str] = ()
    keep_as: str | None = None
    name: str | None = None
    owner: str | None = None
    only_sheet: str | None = None
    strict: bool = False
    force: bool = False


@dataclass(frozen=True, slots=True)
class Imported:
    """What came of it. ``written`` is None when a strict import could not; ``replaced``: there was such a file."""

    sheet: Path
    found: Preview
    strict: bool
    name: str
    owner: str
    content: bytes
    written: Path | None = None
    replaced: bool = False
    kept_as: str | None = None


def import_list(sheet: Path, out: Path, wanted: Wanted | None = None) -> Imported:
    """Read the list in ``sheet`` and write the plan of its lines to ``out``, unless it is strict and some is unclear.

    Errors: `SheetRefused`, `MapRefused`, `NoList`, `ListNotTaken`, `FileIsThere`, `FileNotWritten`; nothing is
    written then.
    """
    found = prepare(sheet, wanted)
    if out.exists() and out.samefile(sheet):
        raise ListNotTaken(f"{printable(str(out))} is the list itself; name another file for the plan")
    if found.strict and found.found.unclear:
        return found
    replaced = out.exists()
    if not (wanted and wanted.force):
        check_new(out)
    load_plan(out, found.content)
    replace_file(out, found.content)
    return replace(found, written=out, replaced=replaced)


def prepare(sheet: Path, wanted: Wanted | None = None) -> Imported:
    """The same without writing the plan: what a preview shows. Errors as in `import_list`."""
    wanted = wanted or Wanted()
    return as_plan(sheet, read_lines(sheet, wanted), wanted)


def as_plan(sheet: Path, found: Preview, wanted: Wanted) -> Imported:
    """The plan of a list that was read. `ListNotTaken`: the name or the owner cannot be, or the plan is too large."""
    name = one_line(wanted.name) if wanted.name is not None else name_of(sheet)
    if not name:
        raise ListNotTaken("the rig needs a name; give one with --name")
    owner = wanted.owner if wanted.owner is not None else owner_mark(name)
    if not re.fullmatch(OWNER_PATTERN, owner):
        raise ListNotTaken(f'owner "{printable(owner, 20)}" cannot be; give 1 to 4 of A-Z and 0-9')
    content = starting_plan(found.lines, name, owner, sheet.name).encode()
    if len(content) > MOST_BYTES:
        raise ListNotTaken(
            f"{len(found.lines)} lines make a plan of {len(content) / 1e6:.1f} MB, and one of up to "
            f"{MOST_BYTES // 1_000_000} MB is read; split the list"
        )
    return Imported(sheet, found, wanted.strict, name, owner, content, kept_as=wanted.keep_as)


def read_lines(sheet: Path, wanted: Wanted) -> Preview:
    """The lines of the list, and what every row became. `SheetRefused`, `MapRefused`, `NoList`."""
    asked = asked_columns(wanted.columns)
    found = preview(read_sheets(sheet), asked, wanted.only_sheet)
    if wanted.keep_as is not None:
        keep_columns(wanted.keep_as, asked)
    return found


def status(done: Imported) -> int:
    """The exit status: 1 when a strict import could not."""
    return 0 if done.written is not None else 1


def name_of(sheet: Path) -> str:
    """A name for the rig from that of the file."""
    shown = "".join(c if c.isprintable() else " " for c in sheet.stem)
    return " ".join(shown.replace("_", " ").split())[:100].strip() or "Rig"


def document(done: Imported) -> dict[str, object]:
    """The JSON document of the import."""
    found = done.found
    return {
        "list": str(done.sheet),
        "rig": done.name,
        "owner": done.owner,
        "strict": done.strict,
        "written": None if done.written is None else str(done.written),
        "inputs": sum(line.direction == "in" for line in found.lines),
        "outputs": sum(line.direction == "out" for line in found.lines),
        "rows_left_out": found.rows_left_out,
        "unclear": list(found.unclear),
        "other_sheets": list(found.others),
        "sheets": [_sheet(sheet, found) for sheet in found.taken],
    }


def _sheet(sheet: ReadSheet, found: Preview) -> dict[str, object]:
    return {
        "name": sheet.name,
        "columns": [
            {"column": heading.column + 1, "heading": heading.text, "field": heading.field}
            for heading in sheet.headings
            if not heading.made
        ],
        "notes": list(sheet.notes),
        "unclear": list(sheet.unclear),
        "rows": [_row(row, found) for row in sheet.rows],
    }


def _row(row: ReadRow, found: Preview) -> dict[str, object]:
    return {
        "row": row.number,
        "text": row.text,
        "became": row.became,
        "lines": [_line(line, found) for line in row.lines],
        "notes": list(row.notes),
        "unclear": list(row.unclear),
    }


def _line(line: ListLine, found: Preview) -> dict[str, object]:
    return {
        "line": line.line,
        "name": line.name,
        "level": line.level,
        "phantom": line.phantom,
        "port": found.ports[line.line],
        "zone": line.zone or None,
        "stand": line.stand or None,
        "note": line.note or None,
    }
