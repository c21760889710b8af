"""What speaks for and against a suspect, in a few words that can be read out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from checkapp.review.summary import counted
from checkapp.show.card_words import spans

if TYPE_CHECKING:
    from checkapp.journal.heard import HeardMark
    from checkapp.rig.rig import Rig

_MOST_SPANS = 3


def speaks_for(rig: Rig, item: str, heard: Sequence[HeardMark]) -> str:
    """Which faulty lines run through the item, of how many: ``all 4 faulty lines run through it: in 9 to 12``.

    Empty when none does.
    """
    faulty = {one.line for one in heard if one.verdict == "faulty"}
    through = [one for one in heard if one.verdict == "faulty" and _through(one, item)]
    lines = {one.line for one in through}
    if not lines:
        return ""
    words = f"{_share(len(lines), len(faulty))} through it: {named(rig, lines)}"
    symptoms = {one.symptom for one in through}
    alike = symptoms.pop() if len(symptoms) == 1 else None
    return f"{words}, {'each ' if len(lines) > 1 else ''}{alike}" if alike else words


def speaks_against(rig: Rig, item: str, heard: Sequence[HeardMark]) -> str:
    """Which lines are ok through the item: ``in 1 to 8 are ok through it``; empty when none was heard."""
    ok = {one.line for one in heard if one.verdict == "ok" and _through(one, item)}
    if not ok:
        return ""
    return f"{named(rig, ok)} {'are' if len(ok) > 1 else 'is'} ok through it"


def named(rig: Rig, lines: Iterable[str]) -> str:
    """Lines in the order of the plan, those in a row as one: ``in 9 to 12, out 2``; of many the first ones."""
    wanted = set(lines)
    runs = list(spans([line for line in rig.lines if line.line in wanted]))
    if len(runs) <= _MOST_SPANS:
        return ", ".join(runs)
    return f"{counted(len(wanted), 'line')} from {runs[0].split(' to ')[0]} on"


def _through(one: HeardMark, item: str) -> bool:
    return any(name == item for name, _ in one.path)


def _share(some: int, all_of_them: int) -> str:
    if some < all_of_them:
        return f"{some} of {all_of_them} faulty lines {'runs' if some == 1 else 'run'}"
    return f"all {some} faulty lines run" if some > 1 else "the faulty line runs"
