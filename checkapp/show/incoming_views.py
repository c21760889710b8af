"""What the preview of a file shows: a list, a plan or a workbook, as plain values and words ready to be read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from checkapp.show.views import FindingRow, Status

IncomingKind = Literal["list", "plan", "workbook"]


@dataclass(frozen=True, slots=True)
class ReadLine:
    """What a row of a list became: a row that became several lines has several of these.

    ``row`` is its number in the sheet, empty for all but the first of a row. ``note`` says what was guessed.
    """

    row: str
    title: str
    detail: str = ""
    note: str = ""
    status: Status = "open"


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """A column of the list: its letter and heading, what it is taken for; ``key`` is how it is named to be changed.

    ``status`` is ``look`` where nothing says what the column is.
    """

    key: str
    title: str
    meaning: str
    status: Status = "open"


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A sheet that can be taken in place of what is taken; an empty ``name``: what looks most like a list."""

    name: str
    title: str
    detail: str


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A sheet that is taken: what it is called, its columns, its rows, what is to be said of it as a whole."""

    name: str
    columns: tuple[ColumnRow, ...]
    notes: tuple[str, ...]
    lines: tuple[ReadLine, ...]


@dataclass(frozen=True, slots=True)
class IncomingView:
    """A file before it is taken. ``accept`` is what the button says that takes it.

    ``look`` are the things that were not understood, each a sentence with its row; ``findings`` those of a plan;
    ``changes`` what a workbook changes. ``kept`` are the names of columns that were kept of other lists; those of this
    one ``can_keep`` once one of them was changed.
    """

    kind: IncomingKind
    title: str
    path: str
    summary: str
    accept: str
    said: tuple[str, ...] = ()
    look: tuple[str, ...] = ()
    sheets: tuple[SheetRow, ...] = ()
    parts: tuple[SheetPart, ...] = ()
    findings: tuple[FindingRow, ...] = ()
    changes: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    can_keep: bool = False


@dataclass(frozen=True, slots=True)
class KeepView:
    """Under which name the columns of a list may be kept."""

    name: str
    note: str


@dataclass(frozen=True, slots=True)
class MeaningRow:
    """Something that a column can be: the field's word, the same in words, whether it is that now."""

    field: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class ColumnView:
    """One column: what stands in it, and what it can be."""

    key: str
    title: str
    samples: tuple[str, ...]
    meanings: tuple[MeaningRow, ...]


@dataclass(frozen=True, slots=True)
class NamingView:
    """What the new plan is to be called. ``said`` tells that a name is taken; empty else.

    ``own`` is what the button says that makes a rig of its own, ``onto`` that of putting it on the open rig; each is
    empty where there is no such choice.
    """

    title: str
    name: str
    own: str
    onto: str = ""
    about: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class Accepted:
    """A file that was taken: its plan in the user's folder, what is to be said, the plan that it came from.

    ``before`` is the plan of the rig that a list was put on, or that a workbook changes; empty else.
    """

    plan: str
    said: tuple[str, ...] = ()
    before: str = ""
