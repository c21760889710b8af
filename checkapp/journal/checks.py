"""The checks of one show: which were opened, which are signed off, which mark belongs to which."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from checkapp.journal.entry import Entry, Order
from checkapp.journal.kinds import CheckStep, Mark, read_check


@dataclass(frozen=True, slots=True)
class Check:
    """One walk of the lines of a show, perhaps opened on several tablets and signed off together.

    ``ids`` are the ids of the opening entries in their order. ``key`` names the check for good: the first of them, or,
    when marks were made that no opened check takes, the id of the sign-off, or nothing. ``left_open`` are the lines
    that the sign-off left open.
    """

    key: str
    ids: tuple[str, ...]
    opened_at: str | None
    opened_by: str | None
    signed_off_at: str | None = None
    signed_off_by: str | None = None
    signed_off_order: Order | None = None
    left_open: tuple[str, ...] = ()

    @property
    def signed_off(self) -> bool:
        """Whether it is done."""
        return self.signed_off_order is not None


@dataclass(frozen=True, slots=True)
class _SignOff:
    """The latest sign-off of checks that sign-offs named together."""

    entry: Entry
    ids: frozenset[str]
    left_open: tuple[str, ...]


def read_checks(entries: Iterable[Entry], marks: Iterable[tuple[Mark, Order]]) -> tuple[Check, ...]:
    """The checks of one show: the signed-off ones in the order of their sign-off, then the open one if there is one.

    ``entries`` are in the order of the story, without those undone. All opening entries that are not signed off make
    one open check. ``marks`` are the show's: those made after the last sign-off that name no known check need an open
    check even when nobody opened one.
    """
    steps = [(entry, step) for entry in entries if (step := read_check(entry))]
    opened = {entry.id: entry for entry, step in steps if not step.signed_off}
    sign_offs = _sign_offs(steps)
    done = [_check(sign_off.ids, opened, sign_off) for sign_off in sign_offs]
    taken = {check_id for sign_off in sign_offs for check_id in sign_off.ids}
    left = opened.keys() - taken
    last = sign_offs[-1].entry.order if sign_offs else None
    strays = (order for mark, order in marks if mark.check not in taken | opened.keys())
    if left or any(last is None or order > last for order in strays):
        done.append(_check(left, opened, None))
    return tuple(done)


def check_of(mark: Mark, order: Order, checks: Iterable[Check]) -> Check | None:
    """The one of ``checks`` that a mark with that place in the story belongs to.

    It is the one that the mark names. A mark that names none that is known belongs to the first check that was signed
    off after it, else to the open one.
    """
    known = list(checks)
    named = next((check for check in known if mark.check in check.ids), None)
    if named is not None:
        return named
    ends = ((check, check.signed_off_order) for check in known)
    return next((check for check, end in ends if end is None or order < end), None)


def _sign_offs(steps: Iterable[tuple[Entry, CheckStep]]) -> list[_SignOff]:
    """The sign-offs in their order. A later one that shares a check with an earlier one takes its place."""
    found: list[_SignOff] = []
    open_ids: set[str] = set()
    for entry, step in steps:
        if not step.signed_off:
            open_ids.add(entry.id)
            continue
        ids = frozenset(step.checks or open_ids)
        shared = [earlier for earlier in found if earlier.ids & ids]
        ids = ids.union(*(earlier.ids for earlier in shared))
        found = [earlier for earlier in found if earlier not in shared]
        found.append(_SignOff(entry, ids, step.left_open))
        open_ids -= ids
    return found


def _check(ids: Collection[str], opened: Mapping[str, Entry], sign_off: _SignOff | None) -> Check:
    known = [entry for entry_id, entry in opened.items() if entry_id in ids]
    ordered = (*(entry.id for entry in known), *sorted(set(ids) - opened.keys()))
    first = known[0] if known else None
    opened_at, opened_by = (first.at, first.by) if first else (None, None)
    if sign_off is None:
        return Check(ordered[0] if ordered else "", ordered, opened_at, opened_by)
    end = sign_off.entry
    return Check(
        key=ordered[0] if ordered else end.id,
        ids=ordered,
        opened_at=opened_at,
        opened_by=opened_by,
        signed_off_at=end.at,
        signed_off_by=end.by,
        signed_off_order=end.order,
        left_open=sign_off.left_open,
    )
