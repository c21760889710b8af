"""A check's state after one more mark, from the state before it: the same as from the whole story, and much sooner."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from checkapp.journal import kinds
from checkapp.journal.check_story import CheckStory, check_story
from checkapp.journal.disputes import Made, disputes
from checkapp.journal.outdated import outdated
from checkapp.journal.state import LineMark, ShowState, line_mark, state_of

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry


@dataclass(frozen=True, slots=True)
class Told:
    """A check of a show of a rig, both by name: its story and what it comes to."""

    rig: str
    name: str
    story: CheckStory
    state: ShowState


def told(entries: Iterable[Entry], rig: str, show: str, key: str | None = None) -> Told:
    """The story of a check and what it comes to; arguments and errors as in `checkapp.journal.check_story`."""
    story = check_story(entries, rig, show, key)
    return Told(rig, show, story, state_of(story, rig, show))


def one_more(before: Told, entry: Entry) -> Told | None:
    """The same with one more entry, which came last; None: it is no mark that this can be told for, so tell it anew.

    It can be told for a mark of the very check, after all else in its story. Entries of other rigs and shows that say
    nothing of this one leave all as it is.
    """
    if _is_elsewhere(before, entry):
        return before
    mark = kinds.read_mark(entry)
    check, end = before.story.check, before.story.end
    if mark is None or check is None or mark.check not in check.ids or end is None or entry.order <= end:
        return None
    story = replace(
        before.story,
        of_show=[*before.story.of_show, entry],
        marks=[*before.story.marks, (entry, mark)],
        end=entry.order,
    )
    return replace(before, story=story, state=_after(before.state, story, (entry, mark)))


def _is_elsewhere(before: Told, entry: Entry) -> bool:
    """Whether an entry is of no concern: of another rig, or a mark of another show."""
    return entry.kind == kinds.MARK and (entry.rig != before.rig or entry.show != before.name)


def _after(before: ShowState, story: CheckStory, made: Made) -> ShowState:
    line = made[1].line
    against = _against(story, line)
    mark = line_mark(*made)
    now = mark if against is None else replace(mark, against=against)
    again = before.again
    if line in again:
        again = {name: other for name, other in again.items() if name != line}
        lines = _in_order(story, {**before.lines, line: now})
    else:
        lines = {**before.lines, line: now}
    return replace(before, lines=lines, again=again, marks=(*before.marks, mark))


def _in_order(story: CheckStory, lines: dict[str, LineMark]) -> dict[str, LineMark]:
    """By the first mark of each line, whether that counts or not."""
    return {line: lines[line] for line in dict.fromkeys(mark.line for _, mark in story.marks) if line in lines}


def _against(story: CheckStory, line: str) -> LineMark | None:
    """What says the contrary of the latest mark of a line."""
    other = disputes(made for made in story.marks if made[1].line == line).get(line)
    if other is None or outdated((other,), story.repairs_in_time, story.changes, story.rigs):
        return None
    return line_mark(*other)
