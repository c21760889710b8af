"""What was done with the items of a rig, so that what was heard of them before may not hold any more."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from checkapp.journal import kinds, setup_kinds
from checkapp.journal.changes import read_change
from checkapp.journal.setup_kinds import Moved, Swapped
from checkapp.journal.story import in_order, standing, with_undoing

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry, Order
    from checkapp.journal.story import Entries

_OF_SHOW = (setup_kinds.CONNECTED, setup_kinds.PLACED)
_OF_RIG = (setup_kinds.SWAP, setup_kinds.MOVE, kinds.REPAIR)


@dataclass(frozen=True, slots=True)
class Handled:
    """An item was plugged again at that place in the story.

    The item is the cable that was connected, or that a line went to another port with (the port where it has none);
    the box that was placed; what came in by a swap, ``is_new`` then, so that all that plugs into a box was plugged
    again; what was repaired. ``mended``: a fault was cleared where it was.
    """

    item: str
    order: Order
    is_new: bool = False
    mended: bool = False


@dataclass(frozen=True, slots=True)
class Handling:
    """All that was done, in the order of the story; and how many times a repair that cleared named each item."""

    steps: tuple[Handled, ...] = ()
    times_cleared: Mapping[str, int] = field(default_factory=dict)


def read_handling(journal: Entries, rig: str, show: str | None) -> Handling:
    """What was done with the items of a rig, by name: set-up at that show alone (None: at none), the rest at all."""
    of_show = journal.entries(rig=rig, show=show, kind=_OF_SHOW) if show is not None else []
    return handling(with_undoing(journal, [*of_show, *journal.entries(rig=rig, kind=_OF_RIG)]), rig)


def handling(entries: Iterable[Entry], rig: str) -> Handling:
    """The same from entries in any order; those of other rigs are passed over."""
    told = standing(in_order(entry for entry in entries if entry.rig == rig))
    repairs = (repair for entry in told if (repair := kinds.read_repair(entry)))
    cleared = Counter(repair.item for repair in repairs if repair.cleared)
    return Handling(tuple(one for entry in told for one in _handled(entry)), dict(cleared))


def _handled(entry: Entry) -> Iterator[Handled]:
    change, repair = read_change(entry), kinds.read_repair(entry)
    placed, connected = setup_kinds.read_placed(entry), setup_kinds.read_connected(entry)
    if change is not None:
        what = change.what
        swapped = isinstance(what, Swapped)
        yield Handled(what.new if isinstance(what, Swapped) else _plug_of(what), entry.order, is_new=swapped)
    elif repair is not None:
        yield Handled(repair.item, entry.order, is_new=repair.action == "swap", mended=repair.cleared)
    elif placed is not None:
        yield Handled(placed, entry.order)
    elif connected is not None:
        yield Handled(connected.end.rpartition(" ")[0] or connected.end, entry.order)


def _plug_of(moved: Moved) -> str:
    """The cable that a line went to another port with; the port where none is told."""
    return next((name for name, kind in moved.path if kind == "cable"), moved.to_port)
