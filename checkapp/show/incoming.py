"""A file that comes in from outside: looked at first, then taken as a plan in the user's own folder."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.rig.errors import CheckappError, FileRefused, printable
from checkapp.sheets.preview import NoList
from checkapp.sheets.workbook_in import WorkbookRefused
from checkapp.show.browsing import kind_of
from checkapp.show.column_maps import keep_columns, kept_columns, kept_names
from checkapp.show.incoming_list import ListIn, read_list_in
from checkapp.show.incoming_plan import PlanIn, WorkbookIn, read_plan_in, read_workbook_in
from checkapp.show.incoming_views import Accepted, IncomingView, KeepView, NamingView
from checkapp.show.new_plan import FileIsThere
from checkapp.show.rig_rows import rig_rows
from checkapp.show.session_errors import NothingOpen
from checkapp.show.taking_home import free_name, plans_folder
from checkapp.show.workbook_importing import is_workbook
from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from checkapp.rig.rig import Rig
    from checkapp.sheets.heading_words import Field
    from checkapp.show.incoming_views import ColumnView

_MOST_FAULTS = 4
_LONGEST_NAME = 40
"""Of columns that are kept."""


class NothingLookedAt(CheckappError):
    """A file is to be taken, and none was looked at, or it is no list."""


class NoListThere(CheckappError):
    """A spreadsheet without a list, or one of which nothing would be left."""


class FileNotTaken(CheckappError):
    """A file that cannot be used: which one, and the first of what is wrong in it."""

    def __init__(self, refused: CheckappError, name: str) -> None:
        faults = refused.said
        more = len(faults) - _MOST_FAULTS
        tail = [trn("And {count} more fault.", "And {count} more faults.", more)] if more > 0 else []
        head = [tr("{file} cannot be used: it has faults.", file=printable(name, 80))] if len(faults) > 1 else []
        self._lines = (*head, *faults[:_MOST_FAULTS], *tail)
        super().__init__(self._lines[0])

    @property
    def lines(self) -> tuple[str, ...]:
        """What it is, and the first faults."""
        return self._lines


class Incoming:
    """What is looked at, and what taking it makes.

    ``home`` is the folder of the user's data, ``rig`` tells the open rig. No plan that is there is ever written over.
    """

    def __init__(self, home: Path, rig: Callable[[], Rig | None]) -> None:
        self._home, self._rig = home, rig
        self._at: ListIn | PlanIn | WorkbookIn | None = None

    # -- looking

    def look(self, path: str) -> IncomingView:
        """What a file holds: a list, a plan, or a rig's own workbook.

        Errors: `FileNotTaken`, `NoListThere`; what was looked at before stays.
        """
        file = Path(path)
        try:
            self._at = self._read(file)
        except (FileRefused, WorkbookRefused) as refused:
            raise FileNotTaken(refused, file.name) from None
        except NoList:
            raise NoListThere(
                tr(
                    "{file}: no list in it. A list has a column of numbers and one of names; "
                    "write what they are in a row above them.",
                    file=printable(file.name, 80),
                )
            ) from None
        return self.view()

    def view(self) -> IncomingView:
        """What is looked at, as it stands. `NothingLookedAt`."""
        at = self._looked()
        if isinstance(at, PlanIn):
            return at.view(self._home)
        return replace(at.view(), kept=kept_names(self._home)) if isinstance(at, ListIn) else at.view()

    def take_sheet(self, name: str) -> IncomingView:
        """Another sheet of the workbook; "": what looks most like a list. `NoListThere`: it stays as it was."""
        return self._changed(lambda at: at.of_sheet(name))

    def column(self, key: str) -> ColumnView:
        """A column of the list, and what it can be. `ColumnGone`."""
        return self._list().column(key)

    def mean(self, key: str, field: Field) -> IncomingView:
        """Take a column for something else. `NoListThere`: that leaves no list, and it stays as it was."""
        return self._changed(lambda at: at.meaning(key, field))

    def _changed(self, change: Callable[[ListIn], ListIn]) -> IncomingView:
        try:
            self._at = change(self._list())
        except NoList:
            raise NoListThere(
                tr("So it is no list any more: it needs numbers and names. It stays as it was.")
            ) from None
        return self.view()

    def keeping(self) -> KeepView:
        """Under which name the columns may be kept."""
        name = re.sub(r"[^\w -]|_", " ", self._list().path.stem).strip(" -")[:_LONGEST_NAME]
        return KeepView(name, tr("The next list with these headings can be read with one tap."))

    def keep(self, name: str) -> IncomingView:
        """Keep what was said of the columns under a name. Errors: `MapRefused`, `FileNotWritten`."""
        keep_columns(name.strip(), self._list().asked, self._home)
        return self.view()

    def use(self, name: str) -> IncomingView:
        """Take columns for what was kept. `MapRefused`: nothing is. `NoListThere`: it stays as it was."""
        kept = kept_columns(name, self._home)
        return self._changed(lambda at: at.mapped(kept))

    # -- taking

    def naming(self) -> NamingView | None:
        """What the new plan can be, and a free name for it; None for a plan, which needs no name."""
        at = self._looked()
        if isinstance(at, PlanIn):
            return None
        if isinstance(at, WorkbookIn):
            return at.naming(self._home)
        return at.naming(self._home, self._titles(), self._rig())

    def accept(self, name: str = "") -> Accepted | NamingView:
        """Take it: a list as a rig of its own. The naming again, with a free name, when that one is taken or none.

        Errors: `ListNotTaken`, `PlanRefused`, `FileNotWritten`.
        """
        at, name = self._looked(), name.strip()
        if isinstance(at, PlanIn):
            return at.accept(self._home)
        taken = self._titles() if isinstance(at, ListIn) else ()
        return self._named(name, taken) or self._once(lambda: at.accept(self._home, name), name)

    def accept_onto(self, name: str) -> Accepted | NamingView:
        """Put the list on the open rig, as a new plan. As `accept`; `NothingOpen`: no rig is open."""
        at, rig, name = self._list(), self._rig(), name.strip()
        if rig is None:
            raise NothingOpen(tr("no rig is open; open the one that the list is to go on first"))
        return self._named(name, ()) or self._once(lambda: at.accept_onto(self._home, name, rig), name)

    def _named(self, name: str, taken: tuple[str, ...]) -> NamingView | None:
        """The naming with what is wrong with a name; None where nothing is."""
        if not name:
            return self._again(tr("It needs a name."), None)
        free = free_name(plans_folder(self._home), name, taken)
        return (
            self._again(tr("{name} is here already; {free} is free.", name=name, free=free), free)
            if free != name
            else None
        )

    def _again(self, said: str, free: str | None) -> NamingView | None:
        naming = self.naming()
        return None if naming is None else replace(naming, said=said, name=free or naming.name)

    def _once(self, take: Callable[[], Accepted], name: str) -> Accepted | NamingView:
        """Take it, unless a plan of that name came into the folder in between."""
        try:
            return take()
        except FileIsThere:
            again = self._named(name, ())
            if again is None:
                raise
            return again

    def _titles(self) -> tuple[str, ...]:
        return tuple(row.title for row in rig_rows(self._home))

    def _read(self, file: Path) -> ListIn | PlanIn | WorkbookIn:
        if kind_of(file.name) == "plan":
            return read_plan_in(file, self._home)
        if is_workbook(file):
            return read_workbook_in(file, self._home, self._rig())
        return read_list_in(file)

    def _looked(self) -> ListIn | PlanIn | WorkbookIn:
        if self._at is None:
            raise NothingLookedAt(tr("no file is looked at; pick one first"))
        return self._at

    def _list(self) -> ListIn:
        at = self._looked()
        if not isinstance(at, ListIn):
            raise NothingLookedAt(tr("that file is no list; pick a list first"))
        return at
