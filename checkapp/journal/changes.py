"""The swaps and moves of a rig that stand, whoever told them and how: in set-up, or as a repair.

A repair is a swap when it says what was put in, and a move when it says which line was led round to which port.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.setup_kinds import Moved, Swapped
from checkapp.journal.story import in_order, standing, with_undoing
from checkapp.rig.codes import CODE_PATTERN, read_port
from checkapp.rig.swapped import renamed

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry, Order
    from checkapp.journal.story import Entries

CHANGE_KINDS = (setup_kinds.SWAP, setup_kinds.MOVE, kinds.REPAIR, kinds.VOID)
"""The kinds of entry that tell how a rig runs."""

_SWAPPABLE = re.compile(rf"{CODE_PATTERN}|^source in [0-9]+$", re.ASCII)


@dataclass(frozen=True, slots=True)
class RigChange:
    """A swap or a move that stands: what was changed, by whom, when, on which device, in which show.

    ``cleared`` is the result of the repair that it was, None for one of set-up; ``listened`` are the lines that were
    listened to for it (empty: not told).
    """

    what: Swapped | Moved
    cleared: bool | None
    entry_id: str
    order: Order
    by: str | None
    at: str
    device: str
    show: str | None
    listened: tuple[str, ...] = ()


def read_changes(journal: Entries, rig: str) -> tuple[RigChange, ...]:
    """The standing swaps and moves of a rig, by name, over all its shows, in the order of the story."""
    return changes_of(with_undoing(journal, journal.changes(rig)), rig)


def changes_of(entries: Iterable[Entry], rig: str) -> tuple[RigChange, ...]:
    """The same from entries in any order; those of other rigs are passed over."""
    told = standing(in_order(entry for entry in entries if entry.rig == rig))
    return tuple(change for entry in told if (change := read_change(entry)))


def read_change(entry: Entry) -> RigChange | None:
    """The swap or move that an entry tells of."""
    return change_of(entry, kinds.read_repair(entry))


def change_of(entry: Entry, repair: kinds.Repair | None) -> RigChange | None:
    """The same where it is known already which repair the entry tells of."""
    what = setup_kinds.read_swap(entry) or setup_kinds.read_move(entry) or (repair and _by_repair(repair))
    if not what or (isinstance(what, Swapped) and not _SWAPPABLE.fullmatch(what.old)):
        return None
    cleared = repair.cleared if repair else None
    listened = repair.listened if repair else ()
    return RigChange(what, cleared, entry.id, entry.order, entry.by, entry.at, entry.device, entry.show, listened)


def result_now(change: RigChange, changes: Iterable[RigChange]) -> str:
    """What came of a change after the later ones of ``changes``: the item in that place, or the port of that line."""
    what = change.what
    name = what.new if isinstance(what, Swapped) else what.to_port
    for later in changes:
        if later.order > change.order:
            name = _followed(what, name, later.what)
    return name


def _followed(what: Swapped | Moved, name: str, later: Swapped | Moved) -> str:
    if isinstance(later, Moved):
        return later.to_port if isinstance(what, Moved) and later.line == what.line else name
    if isinstance(what, Swapped) and later.old in (what.old, name):
        return later.new
    return renamed(name, later.old, later.new) if isinstance(what, Moved) else name


def _by_repair(repair: kinds.Repair) -> Swapped | Moved | None:
    if repair.action == "swap" and repair.replacement is not None:
        return Swapped(repair.item, repair.replacement, repair.owner, repair.lines)
    if repair.action == "bypass" and len(repair.lines) == 1 and repair.path:
        ports = read_port(repair.item), read_port(repair.replacement or "")
        if all(ports):
            return Moved(repair.lines[0], str(ports[0]), str(ports[1]), repair.path)
    return None
