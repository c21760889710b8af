"""Entries as a story: where they come from, in which order they stand, what was not undone, which plans they know."""

from collections.abc import Collection, Iterable
from typing import Protocol

from checkapp.journal.entry import Entry
from checkapp.journal.kinds import VOID, RigUsed, read_rig

OLD = "old-"
"""What the name of a device begins with that is no tablet but a row of old records, told long after it happened."""


class Entries(Protocol):
    """Where entries come from; a `checkapp.journal.journal.Journal` is one."""

    def entries(
        self,
        *,
        rig: str | None = None,
        show: str | None = None,
        kind: str | Collection[str] | None = None,
    ) -> list[Entry]:
        """The entries of that rig, show and kind (or one of those kinds)."""

    def changes(self, rig: str) -> list[Entry]:
        """The entries that may tell of a change of a rig: swaps, moves, repairs that put something in."""

    def undoing(self, ids: Iterable[str]) -> list[Entry]:
        """The entries that undo those with these ids, those that undo these, and so on."""


def with_undoing(journal: Entries, found: Iterable[Entry]) -> list[Entry]:
    """Entries of a journal and what undoes them: all that is needed to know which of them stand."""
    known = list(found)
    return [*known, *journal.undoing(entry.id for entry in known)]


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """The entries in the order of the story, each once.

    Of two contents of one id, the one whose digest fits counts; where that does not decide, always the same one.
    """
    once: dict[str, Entry] = {}
    for entry in entries:
        other = once.setdefault(entry.id, entry)
        if other is not entry and other != entry:
            once[entry.id] = min(other, entry, key=_truth)
    return sorted(once.values(), key=lambda entry: entry.order)


def _truth(entry: Entry) -> tuple[bool, list[str]]:
    """Sorts what can be trusted before what cannot."""
    return entry.digest != entry.computed_digest(), [repr(value) for value in entry.values]


def standing(entries: Iterable[Entry]) -> list[Entry]:
    """What was not undone, of entries in the order of the story. A void undoes nothing that comes after it."""
    undone: set[str] = set()
    kept: list[Entry] = []
    for entry in reversed(list(entries)):
        if entry.id in undone:
            continue
        if entry.kind == VOID and entry.subject is not None:
            undone.add(entry.subject)
        kept.append(entry)
    return kept[::-1]


def rigs_used(entries: Iterable[Entry], rig: str | None = None) -> dict[str, RigUsed]:
    """The versions of one rig's plan, or of all, that were in use, by the plan's digest, in the order of the story."""
    told = in_order(entry for entry in entries if rig in (None, entry.rig))
    return {used.digest: used for entry in told if (used := read_rig(entry))}
