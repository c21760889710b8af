"""Where things stand: a pure function of the entries, which can be thrown away and computed anew at any time.

The order in which entries arrived does not matter; what they do not say is passed over.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from checkapp.journal import kinds
from checkapp.journal.check_story import CheckStory, check_story, read_story
from checkapp.journal.checks import Check
from checkapp.journal.disputes import disputes
from checkapp.journal.entry import Entry, Order
from checkapp.journal.kinds import Mark, Repair, Verdict
from checkapp.journal.outdated import outdated
from checkapp.journal.story import OLD, Entries, in_order, standing, with_undoing


@dataclass(frozen=True, slots=True)
class LineMark:
    """A mark as it stands: what it says of its line, who made it, when, where, and the entry that holds it.

    ``against`` is another tablet's mark of the line that says the contrary, neither made knowing of the other.
    """

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
    against: "LineMark | None" = None


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
    ``again`` the latest marks that count no more, after a repair that cleared, a swap, a move or by another plan: such
    lines are to be marked again. ``marks`` are all marks of the check that were not undone, ``repairs`` all repairs of
    the show, both in the order of the story.
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
    """The state of a show, from no more entries than it depends on; arguments and errors as in `check_story`."""
    return show_state(read_story(journal, rig, show), rig, show, key)


def read_shows(journal: Entries, rig: str) -> tuple[Show, ...]:
    """The shows of a rig, from no more entries than they depend on; as `shows`."""
    return shows(with_undoing(journal, journal.entries(rig=rig, kind=(kinds.SHOW, kinds.CHECK))), rig)


def show_state(entries: Iterable[Entry], rig: str, show: str, key: str | None = None) -> ShowState:
    """The state of a show's check; arguments and errors as in `check_story`."""
    return state_of(check_story(entries, rig, show, key), rig, show)


def state_of(story: CheckStory, rig: str, show: str) -> ShowState:
    """What the story of a check of that show comes to."""
    latest = {mark.line: (entry, mark) for entry, mark in story.marks}
    again = outdated(tuple(latest.values()), story.repairs_in_time, story.changes, story.rigs)
    against = disputes(story.marks)
    gone = outdated(tuple(against.values()), story.repairs_in_time, story.changes, story.rigs) if against else []
    disputed = {line: line_mark(*made) for line, made in against.items() if line not in gone}
    marks = tuple(line_mark(*made) for made in story.marks)
    lines = {mark.line: mark for mark in marks}
    return ShowState(
        rig=rig,
        name=show,
        show=next(iter(shows(story.of_show)), None),
        checks=story.checks,
        check=story.check,
        lines={
            line: replace(mark, against=disputed[line]) if line in disputed else mark
            for line, mark in lines.items()
            if line not in again
        },
        again={line: lines[line] for line in again},
        marks=marks,
        repairs=tuple(_repair_made(*made) for made in story.repairs),
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


def line_mark(entry: Entry, mark: Mark) -> LineMark:
    """A mark as it stands, when no other says the contrary."""
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
