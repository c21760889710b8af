"""Which items are out: pulled, or taken out because of a fault, and not back; and how they did on the bench."""

from __future__ import annotations

from collections.abc import Iterable
from operator import attrgetter
from typing import TYPE_CHECKING, NamedTuple

from checkapp.history.lives import BenchDone
from checkapp.journal import kinds
from checkapp.journal.changes import read_change
from checkapp.journal.setup_kinds import Swapped
from checkapp.journal.taken_out import PULLED, RETURNED

if TYPE_CHECKING:
    from checkapp.history.names import Names
    from checkapp.journal.entry import Entry
    from checkapp.journal.exposures import Done


class Out(NamedTuple):
    """Since when an item is out. ``tagged``: somebody pulled it; else it was swapped, and the fault went with it."""

    at: str
    tagged: bool


def out_now(done: Iterable[Done], names: Names) -> dict[str, Out]:
    """The items that are out, by name, over all rigs: one that was returned or put in, in whichever rig, is not."""
    found: dict[str, Out] = {}
    for entry in _in_order(done):
        rig, change, repair = entry.rig, read_change(entry), kinds.read_repair(entry)
        if entry.kind == PULLED and entry.subject is not None:
            found[names.name(rig, entry.subject)] = Out(entry.at, tagged=True)
        elif entry.kind == RETURNED and entry.subject is not None:
            found.pop(names.name(rig, entry.subject), None)
        if change is not None and isinstance(change.what, Swapped):
            found.pop(names.name(rig, change.what.new), None)
        if repair is not None and repair.action == "swap" and repair.cleared:
            found[names.name(rig, repair.item)] = Out(entry.at, tagged=False)
    return found


def benched(done: Iterable[Done], names: Names) -> tuple[BenchDone, ...]:
    """The tests on the bench, in order; one without a verdict is left out."""
    found = []
    for entry in _in_order(done):
        passed, ohms = entry.details.get("pass"), entry.details.get("ohms")
        if entry.kind == kinds.BENCH and entry.subject and isinstance(passed, bool):
            known = float(ohms) if isinstance(ohms, int | float) and not isinstance(ohms, bool) else None
            found.append(BenchDone(names.name(entry.rig, entry.subject), entry.at, entry.by or "", known, passed))
    return tuple(found)


def _in_order(done: Iterable[Done]) -> list[Entry]:
    return sorted((entry for of_rig in done for entry in of_rig.entries), key=attrgetter("order"))
