"""Which device's entries a journal file numbers: a name that survives, and that two files never share.

A file that was copied holds the name and the end of its chain, too. If both copies went on writing, one number would
be used twice: a fork. So the name that stands in the file is not enough to write under it. There is an `Outside`: what
the place remembers by itself, apart from the file, of each name that was written under there: the last number and its
digest. A file may go on with a name only if the place remembers that name, and the file holds the very entry that the
place remembers as its last. In all other cases the file takes a new name with its next entry.

Why this cannot fork by our own doing:

- A copy on another machine, or beside the first, or of a whole folder: the place there does not remember the name (the
  record tells of another machine or another path, or is not the file that was written: that is for the outside to say).
- A restored older copy in the same place: the place remembers an entry that the file does not hold.
- A lost, torn or foreign record: nothing is remembered. That costs a new name, once, since what is written under it is
  remembered again.
- What is remembered is written after each entry is on the disk, so a kill leaves it behind the file, never ahead of
  it; then the file holds it, and nothing happens. Only after a loss of power may it be behind by more, and then an
  older copy can be taken for the true one if it is put back by other means than our own backups, which never go on
  with a name.
- When entries come in that were written under our name elsewhere (two machines made from one image, with one machine
  id), the fork is kept and reported, and the name given up at once.
- The record decides, not the name in the file: a stick that is used by two machines in turn has a name on each and
  changes between them, without a new name at every start.

Nothing here asks the machine anything.
"""

from collections.abc import Iterator
from sqlite3 import Connection
from typing import Protocol

from checkapp.journal import facts
from checkapp.journal.entry import NO_ENTRY
from checkapp.journal.facts import NOTHING, End
from checkapp.journal.schema import DEVICE, END, LAST, WAS

_LAST_ROW = "SELECT seq, digest FROM entry WHERE device = ? AND typeof(seq) = 'integer' ORDER BY seq DESC LIMIT 1"
_ROW = "SELECT 1 FROM entry WHERE device = ? AND seq = ? AND digest = ?"
_ANY_ROW = "SELECT 1 FROM entry WHERE device = ?"


class Outside(Protocol):
    """What the place remembers of the names that a journal was written under there. Nothing here raises."""

    def last(self, device: str) -> End | None:
        """The last entry that was written here under the name; None when that is not known for certain."""

    def note(self, device: str, end: End) -> None:
        """Remember the last entry, which is on the disk."""

    def close(self) -> None:
        """Nothing more is to be remembered for now."""


class Identity:
    """The name that an open journal writes under. ``fresh`` is a name that nobody has, for when a new one is needed."""

    def __init__(self, bare: Connection, outside: Outside | None, fresh: str) -> None:
        self._bare = bare
        self._outside = outside
        self._fresh = fresh
        self._written: dict[str, End] = {}

    def device(self) -> str:
        """The name to write under from now on; without an outside the one that the file says."""
        named = facts.get(self._bare, DEVICE)
        if self._outside is None and named:
            return named
        former = facts.ends(self._bare, WAS)
        return next((name for name in (named, *former) if name and self._is_ours(name)), None) or self._new_name()

    def end(self, device: str) -> End:
        """Where the chain of ``device`` ends: by the file's own record or by its rows, whichever is further on.

        Where last entries were removed, the record is ahead: going on from it leaves a gap to be seen, not a fork.
        """
        found = self._bare.execute(_LAST_ROW, (device,)).fetchone() or NOTHING
        stored = End(found[0], found[1] if isinstance(found[1], str) else NO_ENTRY)
        return max(self._recorded(device), stored, key=lambda end: end.seq)

    def take(self, device: str) -> None:
        """Write into the file that it numbers the entries of ``device`` now."""
        named = facts.get(self._bare, DEVICE)
        if named == device:
            return
        end = self._recorded(device)
        if named and self._recorded(named).seq:
            facts.put(self._bare, WAS + named, self._recorded(named))
            remembered = self._remembered(named)
            if remembered is not None and remembered.seq > self._recorded(named).seq:
                facts.know_end(self._bare, END + named, remembered)
        facts.drop(self._bare, WAS + device)
        facts.put(self._bare, DEVICE, device)
        facts.put(self._bare, LAST, end)

    def wrote(self, device: str, end: End) -> None:
        """The entry ``end`` of ``device`` is on the disk."""
        self._written[device] = end
        if self._outside is not None:
            self._outside.note(device, end)

    def close(self) -> None:
        """Nothing more is written."""
        if self._outside is not None:
            self._outside.close()

    def _is_ours(self, device: str) -> bool:
        end = self._remembered(device)
        if end is None or not end.seq:
            return False
        return end == self._recorded(device) or bool(self._bare.execute(_ROW, (device, *end)).fetchone())

    def _remembered(self, device: str) -> End | None:
        """The last entry that is known to have been written here: by the place, or by this very program run."""
        known = self._outside.last(device) if self._outside is not None else None
        return known or self._written.get(device)

    def _recorded(self, device: str) -> End:
        key = LAST if facts.get(self._bare, DEVICE) == device else WAS + device
        return facts.read_end(facts.get(self._bare, key)) or NOTHING

    def _new_name(self) -> str:
        return next(name for name in self._names() if not self._is_used(name))

    def _names(self) -> Iterator[str]:
        yield self._fresh
        number = 2
        while True:
            yield f"{self._fresh}-{number}"
            number += 1

    def _is_used(self, name: str) -> bool:
        known = (facts.get(self._bare, prefix + name) for prefix in (WAS, END))
        recorded = self._recorded(name).seq
        return bool(recorded or any(known) or self._bare.execute(_ANY_ROW, (name,)).fetchone())


def own_names(bare: Connection) -> dict[str, int]:
    """The names that this file was written under and may be again, each with its last number."""
    names = {device: end.seq for device, end in facts.ends(bare, WAS).items()}
    named = facts.get(bare, DEVICE)
    if named:
        names[named] = (facts.read_end(facts.get(bare, LAST)) or NOTHING).seq
    for device, last in names.items():
        found = bare.execute(_LAST_ROW, (device,)).fetchone()
        names[device] = max(last, found[0] if found else 0)
    return names


def give_up(bare: Connection, device: str) -> None:
    """Never write under ``device`` again in this file; how many entries it has written stays known."""
    named = facts.get(bare, DEVICE) == device
    key = LAST if named else WAS + device
    end = facts.read_end(facts.get(bare, key)) or NOTHING
    if named:
        facts.put(bare, DEVICE, NOBODY)
        facts.put(bare, LAST, NOTHING)
    else:
        facts.drop(bare, key)
    if end.seq:
        facts.know_end(bare, END + device, end)


def give_up_all(bare: Connection) -> None:
    """Make the file one that numbers nobody's entries, as a backup is: it takes a new name when it is written to."""
    for device in own_names(bare):
        give_up(bare, device)


NOBODY = ""
"""The name in a file that numbers nobody's entries so far."""
