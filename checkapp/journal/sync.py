"""A journal and a hub brought together: each gets what it lacks, whoever else does the same at the moment.

Both sides are compared by sums (`checkapp.journal.sums`), then by digests where those differ; so a sync that was cut
off goes on where it was, and repeating it changes nothing. Entries travel in parts, each one transaction here and one
there, in the order of device and number. Only sound entries travel; both sides of a fork do.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from checkapp.journal.entry import COLUMNS
from checkapp.journal.faults import JournalFault
from checkapp.journal.hub import Hub
from checkapp.journal.hub_schema import MOST_SEQ
from checkapp.journal.journal import Journal
from checkapp.journal.sums import Key, Sum, Sums
from checkapp.journal.taking_in import Row, intake, take_in

PART = 5000
"""About how many entries travel at a time."""

_DIGEST = COLUMNS.index("digest")
_DEVICE = COLUMNS.index("device")
_OF_NUMBERS = ("gap", "fork")


@dataclass(slots=True)
class Synced:
    """What a sync brought: how many entries went to the hub and how many came, and what is wrong with those that came.

    ``unsound`` entries were changed after they were written or cannot be read; ``with_zero`` have a zero character,
    which the hub cannot store. Neither was sent.
    """

    sent: int = 0
    came: int = 0
    unsound: int = 0
    with_zero: int = 0
    faults: list[JournalFault] = field(default_factory=list)
    devices: set[str] = field(default_factory=set)


def own_sums() -> Sums:
    """The sums of a journal that is to be synced; kept from one sync to the next they spare reading it all again."""
    return Sums(MOST_SEQ)


def sync(journal: Journal, hub: Hub, own: Sums, told: Callable[[int, int], None] | None = None) -> Synced:
    """Bring ``journal`` and ``hub`` together. ``own`` are sums of this journal from before, or new ones.

    ``told`` is called after each part with how many buckets are done, of how many that differ.

    Errors: `HubError` by the condition, those of reading the journal and of taking in; what travelled before stays.
    """
    done = Synced()
    own.update(journal)
    theirs = hub.sums()
    keys = sorted(key for key in own.of.keys() | theirs.keys() if own.of.get(key) != theirs.get(key))
    seen = 0
    for part in _parts(keys, own.of, theirs):
        _exchange(journal, hub, own, [key for key in part if key in theirs], part, done)
        seen += len(part)
        if told is not None:
            told(seen, len(keys))
    _look_at_numbers(journal, done)
    done.unsound = own.unsound
    return done


def _parts(keys: list[Key], ours: Mapping[Key, Sum], theirs: Mapping[Key, Sum]) -> Iterator[list[Key]]:
    """The buckets in groups of about `PART` entries."""
    part: list[Key] = []
    size = 0
    for key in keys:
        size += max(ours.get(key, (0, 0))[0], theirs.get(key, (0, 0))[0])
        part.append(key)
        if size >= PART:
            yield part
            part, size = [], 0
    if part:
        yield part


def _exchange(journal: Journal, hub: Hub, own: Sums, there: list[Key], part: list[Key], done: Synced) -> None:
    """Bring those buckets together; ``there`` are the ones of ``part`` that the hub has."""
    with journal.reading() as bare:
        ours = {row[_DIGEST]: row for key in part for row in own.rows(bare, key)}
    theirs = hub.digests(there)
    missing = [digest for digest in theirs if digest not in ours]
    if missing:
        _take(journal, hub.rows(missing), done)
    lacking = [row for digest, row in ours.items() if digest not in theirs]
    sendable = [row for row in lacking if not any(type(value) is str and "\0" in value for value in row)]
    done.with_zero += len(lacking) - len(sendable)
    if sendable:
        done.sent += hub.add(sendable)


def _take(journal: Journal, rows: list[Row], done: Synced) -> None:
    taken = take_in(journal, rows)
    done.came += taken.new
    done.devices.update(str(row[_DEVICE]) for row in rows)
    done.faults += [fault for fault in taken.faults if fault.name not in _OF_NUMBERS]


def _look_at_numbers(journal: Journal, done: Synced) -> None:
    """Gaps and forks are told at the end: before, what is still to come would look like a gap."""
    if done.devices:
        with intake(journal) as door:
            door.take((), written=dict.fromkeys(done.devices, 0))
            done.faults += door.taken().faults
