"""A list out of a spreadsheet that is looked at, and taken as a rig of its own or put on the open one."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.rig.errors import CheckappError, printable
from checkapp.rig.planfile import load_plan
from checkapp.sheets.preview import headings_in, preview
from checkapp.sheets.reading import read_sheets
from checkapp.show.incoming_rows import changed, column_view, parts, said_of, sheet_rows, summary
from checkapp.show.incoming_views import Accepted, IncomingView, NamingView
from checkapp.show.onto_words import stays_words, what_to_mind
from checkapp.show.plan_importing import Wanted, as_plan, name_of
from checkapp.show.taking_home import file_of, free_name, packed, plans_folder, put_beside, put_in
from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from checkapp.rig.rig import Rig
    from checkapp.sheets.heading_words import Field
    from checkapp.sheets.preview import Preview
    from checkapp.sheets.table import Sheet
    from checkapp.show.incoming_views import ColumnView

_MOST_SAID = 8


class ColumnGone(CheckappError):
    """A column was asked for that the list, as it is read now, does not have."""


@dataclass(frozen=True, slots=True)
class ListIn:
    """A list: its sheets as read, what is asked of columns and sheet, what it came to. What was seen is what is taken.

    ``only`` is the sheet that a person chose; None: what looks most like a list.
    """

    path: Path
    sheets: tuple[Sheet, ...]
    found: Preview
    asked: dict[str, Field] = field(default_factory=dict)
    only: str | None = None

    def view(self) -> IncomingView:
        """The preview."""
        return IncomingView(
            kind="list",
            title=printable(self.path.name, 80),
            path=str(self.path),
            summary=summary(self.found),
            accept=tr("take it"),
            said=said_of(self.found),
            look=tuple(printable(said, 300) for said in self.found.unclear),
            sheets=sheet_rows(self.found, self.only),
            parts=parts(self.found),
            can_keep=bool(self.asked),
        )

    def of_sheet(self, name: str) -> ListIn:
        """The same of another sheet; "": of what looks most like a list. Errors: `NoList`."""
        return self._read_again(replace(self, only=name or None))

    def column(self, key: str) -> ColumnView:
        """A column, and what it can be. `ColumnGone`."""
        found = column_view(self.found, self.sheets, key)
        if found is None:
            raise ColumnGone(tr("that column is not there any more; look at the list again"))
        return found

    def meaning(self, key: str, means: Field) -> ListIn:
        """The same with a column taken for something else. Errors: `NoList`, when that leaves none."""
        return self._read_again(replace(self, asked={**self.asked, **changed(self.found, key, means)}))

    def mapped(self, kept: Mapping[str, Field]) -> ListIn:
        """The same with columns taken for what was kept of other lists, as far as they are here. Errors: `NoList`."""
        there = headings_in(self.sheets)
        return self._read_again(replace(self, asked={**self.asked, **{at: kept[at] for at in kept if at in there}}))

    def _read_again(self, other: ListIn) -> ListIn:
        return replace(other, found=preview(other.sheets, other.asked, other.only))

    # -- taking it

    def naming(self, home: Path, taken: Collection[str], rig: Rig | None) -> NamingView:
        """What it can be, with a name that is free."""
        name = free_name(plans_folder(home), name_of(self.path), taken)
        about = ""
        if rig is not None:
            about = tr(
                "Put on {rig}, the list goes on the boxes that stand there, with the fewest re-plugs. "
                "That makes a new plan; the old one stays as it is.",
                rig=rig.name,
            )
        onto = tr("put it on the open rig") if rig is not None else ""
        return NamingView(tr("What is it to be?"), name, tr("a rig of its own"), onto, about)

    def accept(self, home: Path, name: str) -> Accepted:
        """Write the plan of a rig of its own. Errors: `ListNotTaken`, `FileIsThere`, `FileNotWritten`."""
        out = file_of(plans_folder(home), name)
        made = as_plan(self.path, self.found, Wanted(name=name))
        load_plan(out, made.content)
        put_in(out, made.content, {})
        return Accepted(str(out), _left_out(self.found))

    def accept_onto(self, home: Path, name: str, rig: Rig) -> Accepted:
        """Write a plan of the open rig with this list. Errors: `PlanRefused`, `FileIsThere`, `FileNotWritten`."""
        from checkapp.show.list_onto import put_onto

        onto, out = Path(rig.file), file_of(plans_folder(home), name)
        base = packed(onto, out)
        put_beside(base.beside)
        done = put_onto(self.path, self.found, onto, out, base.content)
        put_in(out, done.content, {})
        mind = list(what_to_mind(done))
        more = len(mind) - _MOST_SAID
        tail = [trn("And {count} more.", "And {count} more.", more)] if more > 0 else []
        said = (*_left_out(self.found), *base.said, *mind[:_MOST_SAID], *tail)
        return Accepted(str(out), (stays_words(done), *said) if said else (), before=str(onto))


def read_list_in(path: Path) -> ListIn:
    """Read a spreadsheet as a list. Errors: `SheetRefused`, `NoList`."""
    sheets = read_sheets(path)
    return ListIn(path, sheets, preview(sheets))


def _left_out(found: Preview) -> tuple[str, ...]:
    if not found.rows_left_out:
        return ()
    count = found.rows_left_out
    return (
        trn(
            "{count} row of the list is left out. Look at the list again to see which.",
            "{count} rows of the list are left out. Look at the list again to see which.",
            count,
        ),
    )
