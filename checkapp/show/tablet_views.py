"""What the tablets screens show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from checkapp.show.views import Status
from checkapp.tongue import tr


@dataclass(frozen=True, slots=True)
class TabletRow:
    """A tablet that took part in the show: who worked on it, how much it did and when last, what it did last, and which
    lines and places have its marks. ``device`` is the name that was drawn for it, ``name`` what it is called."""

    device: str
    name: str
    mine: bool
    who: str
    done: str
    last: str
    has: str


@dataclass(frozen=True, slots=True)
class MarkSaid:
    """One of two marks that disagree: its verdict as status, what it says, who made it, on which tablet, when.

    ``word`` is what a new mark that says the same is called, ``symptom`` what that names.
    """

    status: Status
    said: str
    who: str
    word: str
    symptom: str


@dataclass(frozen=True, slots=True)
class Dispute:
    """A line with two marks that disagree, the earlier one first: ok and faulty, or faulty with unlike symptoms."""

    line: str
    number: str
    name: str
    where: str
    marks: tuple[MarkSaid, MarkSaid]

    @property
    def ways(self) -> tuple[MarkSaid, MarkSaid]:
        """What the line can be: what is faulty first."""
        first, second = self.marks
        return (second, first) if first.status == "ok" else (first, second)

    @property
    def unlike(self) -> bool:
        """Whether both say faulty, and only what was heard differs."""
        return self.marks[0].status == self.marks[1].status

    @property
    def title(self) -> str:
        """What they disagree about."""
        return tr("Heard in two ways") if self.unlike else tr("Two marks disagree")


@dataclass(frozen=True, slots=True)
class TabletsView:
    """The tablets of a show.

    ``disputes`` are the lines where two of their marks disagree; ``can_settle`` tells that marks can be made now.
    ``hub`` says what the hub is, ``hub_word`` what a tap on it does; it is ``has_hub`` when one is set up. ``message``
    is what came of the last exchange, what it came from on a second line; ``wrong`` is what is wrong after it.
    """

    show: str
    summary: str
    tablets: tuple[TabletRow, ...]
    disputes: tuple[Dispute, ...]
    can_settle: bool
    hub: str
    has_hub: bool
    message: str = ""
    wrong: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LogRow:
    """A folder that a log can be given into, or a file that can be taken in: its path, name, what there is to know."""

    path: str
    title: str
    detail: str


@dataclass(frozen=True, slots=True)
class LogsView:
    """Where to give this tablet's log, or whose file to take in; ``note`` says what to do, also where there is none."""

    of: Literal["give", "take"]
    title: str
    note: str
    rows: tuple[LogRow, ...]


@dataclass(frozen=True, slots=True)
class TabletNameView:
    """What a tablet is called, empty for its digits alone; ``note`` says who sees it."""

    device: str
    title: str
    shown: str
    note: str


@dataclass(frozen=True, slots=True)
class HubView:
    """The address of the hub without what is secret in it, empty for none; ``note`` says what to type."""

    shown: str
    note: str
