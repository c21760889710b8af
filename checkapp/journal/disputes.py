"""Marks of one line that disagree: made on two tablets, neither of which knew of the other's.

A mark names the marks of its line by other tablets that it was made over, as far as its tablet knew them. A later mark
that names an earlier one replaces it, whoever made it; one that does not name it was made without knowing of it. So
two tablets that part, mark, and come together have two marks side by side, whichever clock runs ahead, and a new mark
made over both settles it. A mark that names nothing, as marks were written once, is believed to know of all before it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.journal.kinds import Mark
    from checkapp.journal.state import LineMark

Made = tuple["Entry", "Mark"]


def disputes(marks: Iterable[Made]) -> dict[str, Made]:
    """Of each line whose latest mark disagrees with another tablet's: that other mark, the latest of them.

    ``marks`` are those of one check that stand, in the order of the story. Two marks disagree when one is ok and the
    other faulty, and the later one was not made over the earlier one. Marks by one tablet never do.
    """
    return _unknown(marks, lambda one, other: one.verdict != other.verdict)


def heard_unlike(marks: Iterable[Made]) -> dict[str, Made]:
    """As `disputes`, of marks that are both faulty: where each names a symptom, and they are not the same.

    The line is faulty whichever of them it is: its mark stands, and nothing waits until that is settled.
    """
    return _unknown(marks, _sound_unlike)


def _sound_unlike(one: Mark, other: Mark) -> bool:
    both = one.verdict == other.verdict == "faulty" and one.symptom and other.symptom
    return bool(both) and one.symptom != other.symptom


def _unknown(marks: Iterable[Made], differ: Callable[[Mark, Mark], bool]) -> dict[str, Made]:
    """Of each line the latest mark of another tablet that differs from its latest and was not known to who made it."""
    found: dict[str, dict[str, Made]] = {}
    for made in marks:
        of_line = found.setdefault(made[1].line, {})
        of_line.pop(made[0].device, None)
        of_line[made[0].device] = made
    against = {line: _against(list(of_line.values()), differ) for line, of_line in found.items()}
    return {line: made for line, made in against.items() if made is not None}


def _against(by_device: Sequence[Made], differ: Callable[[Mark, Mark], bool]) -> Made | None:
    *earlier, (_, latest) = by_device
    if latest.over is None:
        return None
    unknown = [made for made in earlier if made[0].id not in latest.over and differ(made[1], latest)]
    return unknown[-1] if unknown else None


def made_over(marks: Iterable[LineMark], line: str, device: str) -> tuple[str, ...]:
    """The ids of the marks that a new mark of the line on this device is made over: each other tablet's latest."""
    known = {mark.device: mark.entry_id for mark in marks if mark.line == line and mark.device != device}
    return tuple(known.values())
