"""Which items are out: pulled, or taken out because of a fault, and not back; and how they did on the bench."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from operator import attrgetter
from typing import TYPE_CHECKING, NamedTuple

from checkapp.history.lives import BenchDone
from checkapp.journal import kinds
from checkapp.journal.setup_kinds import Swapped
from checkapp.journal.taken_out import PULLED, RETURNED

if TYPE_CHECKING:
    from checkapp.history.names import Names
    from checkapp.journal.entry import Entry
    from checkapp.journal.exposures import Done
    from checkapp.journal.kinds import Repair


class Out(NamedTuple):
    """Since when an item is out. ``tagged``: somebody pulled it; else it was swapped, and the fault went with it."""

    at: str
    tagged: bool


def out_now(done: Iterable[Done], names: Names) -> dict[str, Out]:
    """The items that are out, by name, over all rigs: one that was returned or put in, in whichever rig, is not."""
    found: dict[str, Out] = {}
    for entry, change, repair in sorted(_moving(done), key=lambda told: told[0].order):
        rig = entry.rig
        if entry.kind == PULLED and entry.subject is not None:
            found[names.name(rig, entry.subject)] = Out(entry.at, tagged=True)
        elif entry.kind == RETURNED and entry.subject is not None:
            found.pop(names.name(rig, entry.subject), None)
        if change is not None:
            found.pop(names.name(rig, change.new), None)
        if repair is not None:
            found[names.name(rig, repair.item)] = Out(entry.at, tagged=False)
    return found


def benched(done: Iterable[Done], names: Names) -> tuple[BenchDone, ...]:
    """The tests on the bench, in order; one without a verdict is left out."""
    found = []
    tests = [deed.entry for of_rig in done for deed in of_rig.deeds if deed.entry.kind == kinds.BENCH]
    for entry in sorted(tests, key=attrgetter("order")):
        passed, ohms = entry.details.get("pass"), entry.details.get("ohms")
        if entry.subject and isinstance(passed, bool):
            known = float(ohms) if isinstance(ohms, int | float) and not isinstance(ohms, bool) else None
            found.append(BenchDone(names.name(entry.rig, entry.subject), entry.at, entry.by or "", known, passed))
    return tuple(found)


def _moving(done: Iterable[Done]) -> Iterator[tuple[Entry, Swapped | None, Repair | None]]:
    """What may have taken an item out or put one in: the swap that an entry tells of, the repair that took one out."""
    for deed in (deed for of_rig in done for deed in of_rig.deeds):
        swap = deed.change.what if deed.change and isinstance(deed.change.what, Swapped) else None
        taken = deed.repair if deed.repair and deed.repair.action == "swap" and deed.repair.cleared else None
        if swap or taken or deed.entry.kind in (PULLED, RETURNED):
            yield deed.entry, swap, taken
