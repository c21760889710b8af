"""An imported list as text for a terminal: for every row what it became, and all that was not understood."""

from collections.abc import Iterator

from rich.console import Console

from checkapp.review.summary import counted
from checkapp.rig.errors import printable
from checkapp.sheets.grid import letters
from checkapp.sheets.headings import Heading
from checkapp.sheets.input_list import ReadRow, ReadSheet
from checkapp.sheets.lines import ListLine
from checkapp.sheets.preview import Preview, shown_rows
from checkapp.show.plan_importing import Imported

_MOST = 160
"""Characters of a row of a list that are shown; the plan has them all."""


def print_import(done: Imported) -> None:
    """Print what the list came to."""
    Console().out("\n".join(import_lines(done)), highlight=False)


def import_lines(done: Imported) -> Iterator[str]:
    """The same, line by line."""
    yield from list_lines(done.found)
    if done.kept_as is not None:
        yield f"The columns are kept: --map {printable(done.kept_as)!r} uses them again."
    yield _end(done)


def list_lines(found: Preview) -> Iterator[str]:
    """What every row of the list became, sheet by sheet, and what was not understood."""
    for sheet in found.taken:
        yield from preview_lines(sheet, found)
        yield ""
    for other in found.others:
        yield printable(f"Not taken: sheet {other}.", _MOST)
    if found.unclear:
        yield f"Not understood ({len(found.unclear)}):"
        yield from (f"  {printable(said, _MOST)}" for said in found.unclear)


def preview_lines(sheet: ReadSheet, found: Preview) -> Iterator[str]:
    """A sheet's columns, and what each of its rows became; blank rows that follow each other as one."""
    yield printable(f"Sheet {sheet.name}", _MOST)
    used = [heading for heading in sheet.headings if heading.field not in (None, "ignore")]
    columns = ", ".join(map(_column, used))
    yield printable(f"Columns: {columns}", 4 * _MOST)
    yield from (printable(f"  {said}", _MOST) for said in sheet.notes)
    yield from (printable(f"  unclear: {said}", _MOST) for said in sheet.unclear)
    yield f"{'row':>5}  {'became':<9}"
    for row in shown_rows(sheet):
        yield from _row(row, found)


def _column(heading: Heading) -> str:
    if heading.made:
        return f"{heading.text} {heading.field}"
    return f'{letters(heading.column + 1)} "{heading.text}" {heading.field}'


def _row(row: ReadRow, found: Preview) -> Iterator[str]:
    head = f"{row.number:>5}  "
    notes = f"  ({'; '.join(row.notes)})" if row.notes else ""
    if not row.lines:
        yield printable(f"{head}{row.became:<9}  {row.text}{notes}", _MOST).rstrip()
    for at, line in enumerate(row.lines):
        yield printable(
            f"{head if not at else ' ' * 7}{line.line:<9}  {_line(line, found)}{'' if at else notes}", 2 * _MOST
        )
    yield from (printable(f"{'':7}unclear    {said}", _MOST) for said in row.unclear)


def _line(line: ListLine, found: Preview) -> str:
    level = f"{line.level} 48 V" if line.phantom else line.level
    facts = (line.name, found.ports[line.line], level, line.zone, line.stand, line.note)
    return ", ".join(fact for fact in facts if fact)


def _end(done: Imported) -> str:
    inputs = sum(line.direction == "in" for line in done.found.lines)
    lines = f"{counted(inputs, 'input')} and {counted(len(done.found.lines) - inputs, 'output')}"
    if done.written is None:
        return f"Nothing written: strict, and not everything was understood. The list has {lines} that were."
    left = done.found.rows_left_out
    out = f"; {counted(left, 'row')} left out" if left else ""
    return f"{printable(str(done.written))}: {'replaced by ' if done.replaced else ''}a plan of {lines}{out}."
