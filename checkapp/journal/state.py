"""Where things stand: a pure function of the entries, which can be thrown away and computed anew at any time.

The order in which entries arrived does not matter; what they do not say is passed over.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from checkapp.journal import kinds
from checkapp.journal.changes import CHANGE_KINDS, changes_of
from checkapp.journal.checks import Check, check_of, read_checks
from checkapp.journal.entry import Entry, Order
from checkapp.journal.kinds import Mark, Repair, Verdict
from checkapp.journal.outdated import outdated
from checkapp.journal.story import OLD, Entries, in_order, standing, with_undoing

STATE_KINDS = (kinds.SHOW, kinds.CHECK, kinds.MARK, kinds.REPAIR)
"""The kinds of a show's entries that its state depends on, besides what tells of its rig and what undoes them."""


@dataclass(frozen=True, slots=True)
class LineMark:
    """A mark as it stands: what it says of its line, who made it, when, where, and the entry that holds it."""

    line: str
    verdict: Verdict
    symptom: str | None
    note: str | None
    scope: str
    plan: str | None
    by: str | None
    at: str
    device: str
    entry_id: str


@dataclass(frozen=True, slots=True)
class RepairMade:
    """A repair: what was done about an item, by whom and when, and the entry that holds it."""

    item: str
    action: str
    replacement: str | None
    cleared: bool
    by: str | None
    at: str
    entry_id: str


@dataclass(frozen=True, slots=True)
class Show:
    """A show of a rig. ``order`` is the place in the story of the first entry that speaks of it."""

    rig: str
    name: str
    venue: str | None
    date: str | None
    order: Order


@dataclass(frozen=True, slots=True)
class ShowState:
    """One check of a show, and what there is of the show around it.

    ``check`` is None when the show has none. ``lines`` holds the latest mark of each line that has one that counts;
    ``again`` the latest marks that count no more, after a repair that cleared, a swap or a move: such lines are to be
    marked again. ``marks`` are all marks of the check that were not undone, ``repairs`` all repairs of the show, both
    in the order of the story.
    """

    rig: str
    name: str
    show: Show | None
    checks: tuple[Check, ...]
    check: Check | None
    lines: dict[str, LineMark]
    again: dict[str, LineMark]
    marks: tuple[LineMark, ...]
    repairs: tuple[RepairMade, ...]

    @property
    def signed_off(self) -> bool:
        """Whether the check is done."""
        return self.check is not None and self.check.signed_off


def read_show_state(journal: Entries, rig: str, show: str, key: str | None = None) -> ShowState:
    """The state of a show, from no more entries than it depends on; arguments and errors as in `show_state`."""
    of_show = journal.entries(rig=rig, show=show, kind=STATE_KINDS)
    of_rig = journal.entries(rig=rig, kind=kinds.RIG)
    return show_state(with_undoing(journal, [*of_show, *of_rig, *journal.changes(rig)]), rig, show, key)


def read_shows(journal: Entries, rig: str) -> tuple[Show, ...]:
    """The shows of a rig, from no more entries than they depend on; as `shows`."""
    return shows(with_undoing(journal, journal.entries(rig=rig, kind=(kinds.SHOW, kinds.CHECK))), rig)


def show_state(entries: Iterable[Entry], rig: str, show: str, key: str | None = None) -> ShowState:
    """The state of the show ``show`` of the rig ``rig``, both by name; entries of others are passed over.

    ``key`` chooses one of its checks, by key or by the id of an opening entry; without it the current one: all that was
    opened and not signed off, else the one signed off last. KeyError: there is no such check.
    """
    told = in_order(entry for entry in entries if entry.rig == rig)
    of_show = standing(entry for entry in told if entry.show == show)
    marks = [(entry, mark) for entry in of_show if (mark := kinds.read_mark(entry))]
    checks = read_checks(of_show, [(mark, entry.order) for entry, mark in marks])
    check = _chosen(checks, key)
    own = [(entry, mark) for entry, mark in marks if check is not None and check_of(mark, entry.order, checks) == check]
    repairs = [(entry, repair) for entry in of_show if (repair := kinds.read_repair(entry))]
    latest = {mark.line: (entry, mark) for entry, mark in own}
    again = _outdated(latest.values(), repairs, check, told, rig)
    return ShowState(
        rig=rig,
        name=show,
        show=next(iter(shows(of_show)), None),
        checks=checks,
        check=check,
        lines={line: _line_mark(*made) for line, made in latest.items() if line not in again},
        again={line: _line_mark(*latest[line]) for line in again},
        marks=tuple(_line_mark(*made) for made in own),
        repairs=tuple(_repair_made(*made) for made in repairs),
    )


def undo_target(state: ShowState, device: str) -> LineMark | None:
    """The mark that undo takes back: the device's latest of the check that stands; none once it is signed off."""
    if state.signed_off:
        return None
    return next((mark for mark in reversed(state.marks) if mark.device == device), None)


def shows(entries: Iterable[Entry], rig: str | None = None) -> tuple[Show, ...]:
    """The shows that the entries speak of, of one rig or of all, in the order in which they were made.

    Two entries with one rig and name are one show: the later one says its venue and date. A show of which nothing but a
    check is known has neither. One that is on paper too is as old as the first entry that a tablet wrote of it.
    """
    found: dict[tuple[str, str], Show] = {}
    for entry in standing(in_order(entries)):
        named = kinds.read_show(entry)
        name = named.name if named else entry.show if kinds.read_check(entry) else None
        if name is None or entry.rig is None or rig not in (None, entry.rig):
            continue
        known = found.get((entry.rig, name))
        if known is None or (_is_old(known.order) and not _is_old(entry.order)):
            found.pop((entry.rig, name), None)
            known = Show(entry.rig, name, None, None, entry.order)
        if named:
            known = Show(entry.rig, name, named.venue, named.date, known.order)
        found[(entry.rig, name)] = known
    return tuple(found.values())


def _is_old(order: Order) -> bool:
    return order[1].startswith(OLD)


def _chosen(checks: tuple[Check, ...], key: str | None) -> Check | None:
    if key is None:
        return checks[-1] if checks else None
    for check in checks:
        if key == check.key or key in check.ids:
            return check
    raise KeyError(key)


def _outdated(
    latest: Iterable[tuple[Entry, Mark]],
    repairs: Iterable[tuple[Entry, Repair]],
    check: Check | None,
    told: Sequence[Entry],
    rig: str,
) -> list[str]:
    """The lines of a check whose latest mark no longer counts. What came after the sign-off does not change it."""
    end = check.signed_off_order if check else None
    before = [made for made in repairs if end is None or made[0].order < end]
    changes = [
        change
        for change in changes_of((entry for entry in told if entry.kind in CHANGE_KINDS), rig)
        if end is None or change.order < end
    ]
    rigs = (entry for entry in told if entry.kind == kinds.RIG)
    return outdated(tuple(latest), before, changes, rigs)


def _line_mark(entry: Entry, mark: Mark) -> LineMark:
    return LineMark(
        line=mark.line,
        verdict=mark.verdict,
        symptom=mark.symptom,
        note=mark.note,
        scope=mark.scope,
        plan=mark.plan,
        by=entry.by,
        at=entry.at,
        device=entry.device,
        entry_id=entry.id,
    )


def _repair_made(entry: Entry, repair: Repair) -> RepairMade:
    return RepairMade(
        item=repair.item,
        action=repair.action,
        replacement=repair.replacement,
        cleared=repair.cleared,
        by=entry.by,
        at=entry.at,
        entry_id=entry.id,
    )
