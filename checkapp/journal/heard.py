"""What was heard in a check, with the items that each line ran through when it was heard: the evidence for suspects.

The latest mark of each line speaks for each set of items that the line ran through: after a swap or a move the line has
a new path, and the earlier mark still speaks of the old items. A repair in place that cleared removes the faulty marks
made before it on lines through that item; ok marks stay. A swap that did not clear says that the line was as faulty
without that item; what was put in has no name of its own when nobody gave one.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from checkapp.journal.changes import read_change
from checkapp.journal.check_story import CheckStory, check_story, read_story
from checkapp.journal.ran import Ran
from checkapp.journal.story import rigs_used

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry, Order
    from checkapp.journal.kinds import Mark, Path, Verdict
    from checkapp.journal.story import Entries


@dataclass(frozen=True, slots=True)
class HeardMark:
    """What a line did while it ran through the items of ``path``; ``symptom`` is None where none was said.

    ``again``: it was marked faulty before too, through the same items.
    """

    line: str
    path: Path
    verdict: Verdict
    symptom: str | None
    again: bool = False


def read_heard(
    journal: Entries, rig: str, show: str, paths: Mapping[str, Path], key: str | None = None
) -> tuple[HeardMark, ...]:
    """The evidence of a check, from no more entries than it depends on; arguments and errors as in `heard`."""
    return heard(read_story(journal, rig, show), rig, show, paths, key)


def heard(
    entries: Iterable[Entry], rig: str, show: str, paths: Mapping[str, Path], key: str | None = None
) -> tuple[HeardMark, ...]:
    """The evidence of a check, by when it was heard. ``paths`` are those of the rig as it runs now.

    They stand in for what the log does not know: the paths of marks that name no plan. Lines that neither knows are
    passed over. KeyError: there is no such check.
    """
    story = check_story(entries, rig, show, key)
    evidence = _Evidence()
    for _, happen in sorted(_events(story, paths, evidence), key=lambda event: event[0]):
        happen()
    return tuple(evidence.heard.values())


class _Evidence:
    """The latest mark of each line for each set of items, as the story goes on."""

    def __init__(self) -> None:
        self.heard: dict[tuple[str, frozenset[str]], HeardMark] = {}

    def mark(self, mark: Mark, path: Path) -> None:
        symptom = mark.symptom if mark.verdict == "faulty" else None
        before = self.heard.get((mark.line, _names(path)))
        again = before is not None and before.verdict == mark.verdict == "faulty"
        self._put(HeardMark(mark.line, path, mark.verdict, symptom, again))

    def cleared_in_place(self, item: str) -> None:
        """The item was mended where it is: what was faulty through it says nothing of it any more."""
        through = [key for key, one in self.heard.items() if one.verdict == "faulty" and item in key[1]]
        for key in through:
            del self.heard[key]

    def not_cleared(self, line: str, before: Path, after: Path) -> None:
        """A swap or a move did not help: the line was heard to be as faulty through the new items."""
        known = self.heard.get((line, _names(before)))
        if known is not None and known.verdict == "faulty":
            self._put(HeardMark(line, after, known.verdict, known.symptom))

    def without(self, lines: Collection[str], item: str) -> None:
        """The item was swapped for one without a name, and these lines were heard to be as faulty."""
        faulty = [one for one in self.heard.values() if one.verdict == "faulty" and one.line in lines]
        for one in faulty:
            path = tuple(step for step in one.path if step[0] != item)
            if path != one.path:
                self._put(replace(one, path=path))

    def _put(self, one: HeardMark) -> None:
        key = (one.line, _names(one.path))
        self.heard.pop(key, None)
        self.heard[key] = one


Event = tuple["Order", Callable[[], None]]


def _events(story: CheckStory, paths: Mapping[str, Path], evidence: _Evidence) -> Iterator[Event]:
    """What bears on the evidence, each with its place in the story."""
    rans = {plan: Ran(used.lines, story.changes) for plan, used in rigs_used(story.rigs).items()}
    for entry, mark in story.marks:
        ran = rans.get(mark.plan or "")
        path = ran.path(mark.line, entry.order) if ran else paths.get(mark.line, ())
        if path:
            yield entry.order, partial(evidence.mark, mark, path)
        for change, before, after in ran.after(mark.line, entry.order) if ran else ():
            if change.cleared is False and before != after and mark.line in (change.listened or (mark.line,)):
                yield change.order, partial(evidence.not_cleared, mark.line, before, after)
    for entry, repair in story.repairs_in_time:
        if repair.cleared and read_change(entry) is None:
            yield entry.order, partial(evidence.cleared_in_place, repair.item)
        elif repair.action == "swap" and repair.replacement is None:
            yield entry.order, partial(evidence.without, repair.listened, repair.item)


def _names(path: Path) -> frozenset[str]:
    return frozenset(name for name, _ in path)
