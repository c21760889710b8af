"""What the log tells of one check of a show: its marks, and the repairs, swaps and moves that bear on them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from checkapp.journal import kinds
from checkapp.journal.changes import CHANGE_KINDS, RigChange, changes_of
from checkapp.journal.checks import Check, check_of, read_checks
from checkapp.journal.entry import Entry, Order
from checkapp.journal.kinds import Mark, Repair
from checkapp.journal.story import Entries, in_order, standing, with_undoing

STORY_KINDS = (kinds.SHOW, kinds.CHECK, kinds.MARK, kinds.REPAIR)
"""The kinds of a show's entries that its checks depend on, besides what tells of its rig and what undoes them."""


@dataclass(frozen=True, slots=True)
class CheckStory:
    """One check of a show, in the order of the story, without what was undone.

    ``of_show`` are the show's entries. ``checks`` are all its checks, ``check`` the one that was asked for (None: the
    show has none), ``marks`` that one's marks. ``repairs`` are all of the show, ``changes`` those of the rig up to the
    check's sign-off, ``rigs`` what tells of the plans that were in use. ``end`` is the place in the story of the last
    entry of all that tell of it, None: there is none.
    """

    of_show: list[Entry]
    checks: tuple[Check, ...]
    check: Check | None
    marks: list[tuple[Entry, Mark]]
    repairs: list[tuple[Entry, Repair]]
    changes: list[RigChange]
    rigs: list[Entry]
    end: Order | None

    @property
    def repairs_in_time(self) -> list[tuple[Entry, Repair]]:
        """The repairs up to the check's sign-off: what came after it does not change it."""
        end = self.check.signed_off_order if self.check else None
        return [made for made in self.repairs if end is None or made[0].order < end]


def read_story(journal: Entries, rig: str, show: str) -> list[Entry]:
    """The entries that a show's checks depend on, and no more."""
    of_show = journal.entries(rig=rig, show=show, kind=STORY_KINDS)
    of_rig = journal.entries(rig=rig, kind=kinds.RIG)
    return with_undoing(journal, [*of_show, *of_rig, *journal.changes(rig)])


def check_story(entries: Iterable[Entry], rig: str, show: str, key: str | None = None) -> CheckStory:
    """The story of a check of the show ``show`` of the rig ``rig``, both by name; entries of others are passed over.

    ``key`` chooses one of its checks, by key or by the id of an opening entry; without it the current one: all that was
    opened and not signed off, else the one signed off last. KeyError: there is no such check.
    """
    told = in_order(entry for entry in entries if entry.rig == rig)
    of_show = standing(entry for entry in told if entry.show == show)
    marks = [(entry, mark) for entry in of_show if (mark := kinds.read_mark(entry))]
    checks = read_checks(of_show, [(mark, entry.order) for entry, mark in marks])
    check = _chosen(checks, key)
    end = check.signed_off_order if check else None
    changes = changes_of((entry for entry in told if entry.kind in CHANGE_KINDS), rig)
    return CheckStory(
        of_show=of_show,
        checks=checks,
        check=check,
        marks=[made for made in marks if check is not None and check_of(made[1], made[0].order, checks) == check],
        repairs=[(entry, repair) for entry in of_show if (repair := kinds.read_repair(entry))],
        changes=[change for change in changes if end is None or change.order < end],
        rigs=[entry for entry in told if entry.kind == kinds.RIG],
        end=told[-1].order if told else None,
    )


def _chosen(checks: tuple[Check, ...], key: str | None) -> Check | None:
    if key is None:
        return checks[-1] if checks else None
    for check in checks:
        if key == check.key or key in check.ids:
            return check
    raise KeyError(key)
