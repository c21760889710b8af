"""What is not saved yet, and why, in words."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.journal import errors, kinds
from checkapp.rig.errors import printable
from checkapp.show.views import Saving

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.show.logbook import Logbook
    from checkapp.show.unsaved import Waiting

_WHY: dict[type[errors.JournalError], str] = {
    errors.DiskFull: "the disk is full",
    errors.JournalLocked: "another program keeps the journal to itself",
    errors.JournalNotWritable: "its disk does not take it, look whether it is full, read-only or unplugged",
    errors.JournalGone: "the journal is not at its place: put its disk back",
    errors.NoJournal: "the journal is not at its place: put its disk back",
    errors.JournalDamaged: "the journal is damaged",
    errors.NotAJournal: "the journal is damaged",
}


def saving_of(log: Logbook) -> Saving:
    """How saving stands."""
    waiting = log.waiting
    why = log.trouble
    if not waiting or why is None:
        return Saving(len(waiting))
    more = f" {len(waiting) - 1} more wait behind it." if len(waiting) > 1 else ""
    is_kept = "it is kept and tried again"
    return Saving(len(waiting), f"{words_of(waiting[0].entry)} is not saved yet: {_why(why)}; {is_kept}.{more}")


def left_words(left: Sequence[Waiting], kept_at: Path | None) -> str:
    """What is said at the end of what could not be saved; empty when all was."""
    if not left:
        return ""
    count = entries_words(len(left))
    if kept_at is None:
        names = "; ".join(words_of(one.entry) for one in left)
        return f"{count} could not be saved anywhere, write them down: {names}"
    again = "at the next start, or with: checkapp journal import"
    return f"{count} could not be saved in the journal; kept in {kept_at}, and in again {again} {kept_at}"


def entries_words(count: int) -> str:
    """``1 entry``, ``3 entries``."""
    return "1 entry" if count == 1 else f"{count} entries"


def words_of(entry: Entry) -> str:
    """An entry in a few words: ``in 9 silent``, ``HP01 A connected``."""
    mark = kinds.read_mark(entry)
    if mark is not None:
        return printable(f"{mark.line} {mark.symptom or mark.verdict}", 60)
    if entry.kind == kinds.VOID:
        return "what was taken back"
    return printable(f"{entry.subject or f'the {entry.kind}'}{f' {entry.kind}' if entry.subject else ''}", 60)


def _why(trouble: errors.JournalError) -> str:
    return next((words for kind, words in _WHY.items() if isinstance(trouble, kind)), str(trouble))
