"""What speaks for and against a suspect, in a few words that can be read out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from checkapp.review.summary import counted
from checkapp.show.card_words import spans
from checkapp.tongue import shown_word, tr, trn

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
    words = _share(len(lines), len(faulty), named(rig, lines))
    symptoms = {one.symptom for one in through}
    alike = symptoms.pop() if len(symptoms) == 1 else None
    if not alike:
        return words
    each = tr("each {symptom}", symptom=shown_word(alike)) if len(lines) > 1 else shown_word(alike)
    return f"{words}, {each}"


def speaks_against(rig: Rig, item: str, heard: Sequence[HeardMark]) -> str:
    """Which lines are ok through the item: ``in 1 to 8 are ok through it``; empty when none was heard."""
    ok = {one.line for one in heard if one.verdict == "ok" and _through(one, item)}
    if not ok:
        return ""
    return trn("{lines} is ok through it", "{lines} are ok through it", len(ok), lines=named(rig, ok))


def named(rig: Rig, lines: Iterable[str]) -> str:
    """Lines in the order of the plan, those in a row as one: ``in 9 to 12, out 2``; of many the first ones."""
    wanted = set(lines)
    runs = list(spans([line for line in rig.lines if line.line in wanted]))
    if len(runs) <= _MOST_SPANS:
        return ", ".join(runs)
    first = next(line.line for line in rig.lines if line.line in wanted)
    return tr("{lines} from {first} on", lines=counted(len(wanted), "line"), first=first)


def _through(one: HeardMark, item: str) -> bool:
    return any(name == item for name, _ in one.path)


def _share(some: int, all_of_them: int, lines: str) -> str:
    if some < all_of_them:
        return trn(
            "{count} of {faulty} faulty lines runs through it: {lines}",
            "{count} of {faulty} faulty lines run through it: {lines}",
            some,
            faulty=all_of_them,
            lines=lines,
        )
    return trn(
        "the faulty line runs through it: {lines}",
        "all {count} faulty lines run through it: {lines}",
        some,
        lines=lines,
    )
