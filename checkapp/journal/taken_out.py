"""What was taken out of a rig because of a fault, and whether it was tagged and pulled: the list for the load-out.

A lead that was swapped out in the heat of the show finds its way back into the trunk and fails again. So what was taken
out stays in the list until somebody says that it was mended and returned, or it is put in again. Suspected and
confirmed are kept apart: ``cleared`` says whether the fault went with the item.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.changes import read_change
from checkapp.journal.kinds import Draft
from checkapp.journal.setup_kinds import Swapped
from checkapp.journal.story import in_order, standing, with_undoing

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.journal.story import Entries

PULLED = "pulled"
RETURNED = "returned"
_KINDS = (PULLED, RETURNED, setup_kinds.SWAP, kinds.REPAIR)


@dataclass(frozen=True, slots=True)
class TakenOut:
    """An item that does not go back into the trunk as it is.

    ``why`` is what was done: swap, or bypass (it is still in its place, and nothing runs through it), or pulled (it
    was laid aside and nothing else is known). ``other`` is what took its place. ``cleared``: whether the fault went
    away with that; None where nobody said. ``by`` and ``at`` tell who did it, ``show`` at which show, ``entry_id`` the
    entry that says so. ``pulled_by`` is None until the item was tagged and pulled, then the initials, or nothing.
    """

    item: str
    why: str
    other: str | None
    cleared: bool | None
    by: str | None
    at: str
    show: str | None
    entry_id: str
    pulled_by: str | None = None
    pulled_at: str | None = None

    @property
    def is_pulled(self) -> bool:
        """Whether it was tagged and pulled."""
        return self.pulled_at is not None

    @property
    def is_to_be_pulled(self) -> bool:
        """Whether somebody still has to; an item that was swapped and was not the cause may stay in use."""
        return not self.is_pulled and self.cleared is not False


def pulled(item: str) -> Draft:
    """An item was tagged and pulled: it does not go back into the trunk."""
    return Draft(PULLED, item, {})


def returned(item: str) -> Draft:
    """An item is good again and back where it belongs."""
    return Draft(RETURNED, item, {})


def read_taken_out(journal: Entries, rig: str) -> tuple[TakenOut, ...]:
    """What is out of a rig, by name, over all its shows; as `taken_out`."""
    return taken_out(with_undoing(journal, journal.entries(rig=rig, kind=_KINDS)), rig)


def taken_out(entries: Iterable[Entry], rig: str) -> tuple[TakenOut, ...]:
    """The same from entries in any order, those of other rigs passed over; by when the items were taken out."""
    found: dict[str, TakenOut] = {}
    for entry in standing(in_order(entry for entry in entries if entry.rig == rig)):
        if entry.kind in (PULLED, RETURNED):
            _laid_aside(found, entry)
        else:
            _repaired(found, entry)
    return tuple(found.values())


def _laid_aside(found: dict[str, TakenOut], entry: Entry) -> None:
    item = entry.subject
    if item is None:
        return
    if entry.kind == RETURNED:
        found.pop(item, None)
        return
    known = found.get(item) or _out(entry, item, "pulled", None, None)
    found[item] = replace(known, pulled_by=entry.by or "", pulled_at=entry.at)


def _repaired(found: dict[str, TakenOut], entry: Entry) -> None:
    change, repair = read_change(entry), kinds.read_repair(entry)
    if change is not None and isinstance(change.what, Swapped):
        found.pop(change.what.new, None)
        _put(found, _out(entry, change.what.old, "swap", change.what.new, change.cleared))
    elif repair is not None and repair.action in ("swap", "bypass"):
        _put(found, _out(entry, repair.item, repair.action, repair.replacement, repair.cleared))


def _put(found: dict[str, TakenOut], out: TakenOut) -> None:
    found.pop(out.item, None)
    found[out.item] = out


def _out(entry: Entry, item: str, why: str, other: str | None, cleared: bool | None) -> TakenOut:
    return TakenOut(item, why, other, cleared, entry.by, entry.at, entry.show, entry.id)
