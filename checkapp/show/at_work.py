"""The check at work on a tablet, and what is said of the last mark."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from checkapp.show.saving_words import saved_words
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.show.views import Saving


@dataclass(frozen=True, slots=True)
class AtWork:
    """The show's name, the check's key, who, and the line that is looked at."""

    show: str
    key: str
    by: str
    line: str


def said_words(last: tuple[str, str], unsaved: Collection[str], saving: Saving) -> str:
    """The last mark, given as its entry's id and in words, and whether it is on the disk."""
    entry_id, words = last
    if not words:
        return ""
    if entry_id not in unsaved:
        return saved_words(words)
    word = tr("not saved yet") if saving.trouble else tr("writing")
    wait = ", " + tr("{count} wait", count=len(unsaved)) if len(unsaved) > 1 else ""
    return f"{words}, {word}{wait}"
