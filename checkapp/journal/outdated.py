"""Which marks no longer speak of what their lines run through: such lines are to be marked again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from checkapp.journal.ran import Ran
from checkapp.journal.story import rigs_used

if TYPE_CHECKING:
    from checkapp.journal.changes import RigChange
    from checkapp.journal.entry import Entry, Order
    from checkapp.journal.kinds import Mark, Path, Repair


class _Later(NamedTuple):
    """Something that happened after a mark: an item that a repair cleared, or a change with paths before and after."""

    order: Order
    cleared: str | None = None
    change: tuple[RigChange, Path, Path] | None = None


def outdated(
    marks: Sequence[tuple[Entry, Mark]],
    repairs: Iterable[tuple[Entry, Repair]],
    changes: Sequence[RigChange],
    rig_entries: Iterable[Entry],
) -> list[str]:
    """The lines of ``marks``, the latest of each line, whose mark no longer counts.

    A faulty mark does not count any more once a repair cleared of an item that the line ran through. No mark counts
    while its line runs through other items than when it was marked, after a swap or a move; but a swap that did not
    clear a fault keeps it for the lines that were listened to: they were heard through the new item too. ``repairs``
    are the show's, ``changes`` those of the rig, both in the order of the story and up to where the marks are looked
    at; ``rig_entries`` tell of the plans that marks were made by.
    """
    cleared = [(entry.order, repair.item) for entry, repair in repairs if repair.cleared]
    latest = max([order for order, _ in cleared] + [change.order for change in changes], default=None)
    open_to_doubt = [made for made in marks if latest is not None and latest > made[0].order]
    if not open_to_doubt:
        return []
    paths = _paths({mark.plan for _, mark in open_to_doubt if mark.plan}, rig_entries, changes)
    found = []
    for entry, mark in open_to_doubt:
        ran = paths.get(mark.plan or "")
        if ran is not None and not _counts(mark, entry.order, ran, cleared):
            found.append(mark.line)
    return found


def _paths(plans: set[str], rig_entries: Iterable[Entry], changes: Sequence[RigChange]) -> Mapping[str, Ran]:
    """What lines ran through, by plan. A long detail is searched for a plan far sooner than it is parsed."""
    entries = (entry for entry in rig_entries if any(plan in (entry.detail or "") for plan in plans))
    return {digest: Ran(used.lines, changes) for digest, used in rigs_used(entries).items() if digest in plans}


def _counts(mark: Mark, marked: Order, ran: Ran, cleared: Sequence[tuple[Order, str]]) -> bool:
    known = [ran.path(mark.line, marked)]
    if mark.verdict == "faulty":
        for later in _later(mark.line, marked, ran, cleared):
            if later.cleared is not None and any(name == later.cleared for name, _ in known[-1]):
                return False
            if later.change is not None:
                change, before, after = later.change
                heard = change.cleared is False and mark.line in (change.listened or (mark.line,))
                known += [after] if heard and before in known else []
    return ran.path(mark.line) in known


def _later(line: str, marked: Order, ran: Ran, cleared: Sequence[tuple[Order, str]]) -> Iterator[_Later]:
    """What happened after a mark, in the order of the story; a repair that cleared before the swap that it was."""
    later = [_Later(order, item) for order, item in cleared if order > marked]
    later += [_Later(made[0].order, change=made) for made in ran.after(line, marked)]
    yield from sorted(later, key=lambda one: (one.order, one.cleared is None))
