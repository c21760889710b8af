"""What is not saved yet, and why, in words."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.journal import errors, kinds
from checkapp.rig.errors import printable
from checkapp.show.views import Saving
from checkapp.tongue import later, shown_word, tr, trn

if TYPE_CHECKING:
    from checkapp.journal.entry import Entry
    from checkapp.show.logbook import Logbook
    from checkapp.show.unsaved import Waiting

_WHY: dict[type[errors.JournalError], str] = {
    errors.DiskFull: later("the disk is full"),
    errors.JournalLocked: later("another program keeps the journal to itself"),
    errors.JournalNotWritable: later("its disk does not take it, look whether it is full, read-only or unplugged"),
    errors.JournalGone: later("the journal is not at its place: put its disk back"),
    errors.NoJournal: later("the journal is not at its place: put its disk back"),
    errors.JournalDamaged: later("the journal is damaged"),
    errors.NotAJournal: later("the journal is damaged"),
}


def saving_of(log: Logbook) -> Saving:
    """How saving stands."""
    waiting = log.waiting
    why = log.trouble
    if not waiting or why is None:
        return Saving(len(waiting))
    return Saving(len(waiting), unsaved_words(words_of(waiting[0].entry), _why(why), len(waiting)))


def unsaved_words(first: str, why: str, waiting: int) -> str:
    """That the ``first`` of those that are waiting cannot be saved, and why."""
    words = tr("{entry} is not saved yet: {why}; it is kept and tried again.", entry=first, why=why)
    if waiting > 1:
        words += " " + trn("{count} more waits behind it.", "{count} more wait behind it.", waiting - 1)
    return words


def left_words(left: Sequence[Waiting], kept_at: Path | None) -> str:
    """What is said at the end of what could not be saved; empty when all was."""
    if not left:
        return ""
    count = entries_words(len(left))
    if kept_at is None:
        names = "; ".join(words_of(one.entry) for one in left)
        return tr("{entries} could not be saved anywhere, write them down: {names}", entries=count, names=names)
    return tr(
        "{entries} could not be saved in the journal; kept in {file}, and in again at the next start, or with: "
        "checkapp journal import {file}",
        entries=count,
        file=kept_at,
    )


def entries_words(count: int) -> str:
    """``1 entry``, ``3 entries``."""
    return trn("{count} entry", "{count} entries", count)


def marked_words(line: str, word: str) -> str:
    """A mark in a few words, by its verdict or symptom: ``in 9 silent``."""
    return printable(f"{line} {shown_word(word)}", 60)


def saved_words(words: str) -> str:
    """That what was done is on the disk: ``in 9 silent, saved``."""
    return tr("{mark}, saved", mark=words)


def words_of(entry: Entry) -> str:
    """An entry in a few words: ``in 9 silent``, ``HP01 A connected``."""
    mark = kinds.read_mark(entry)
    if mark is not None:
        return marked_words(mark.line, mark.symptom or mark.verdict)
    if entry.kind == kinds.VOID:
        return tr("what was taken back")
    kind = shown_word(entry.kind)
    return printable(f"{entry.subject} {kind}" if entry.subject else tr("the entry {kind}", kind=kind), 60)


def _why(trouble: errors.JournalError) -> str:
    return next((shown_word(words) for kind, words in _WHY.items() if isinstance(trouble, kind)), str(trouble))
