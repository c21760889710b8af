"""Proof that a journal is whole."""

from pathlib import Path

from checkapp.journal.verify import verify
from checkapp.show.recording import open_journal


def verify_journal(path: Path | None) -> tuple[list[str], bool]:
    """What is wrong with the journal, a line each, and whether it is sound. `NoJournal`: there is none."""
    with open_journal(path, create=False) as journal:
        faults = verify(journal)
        if faults:
            return [str(fault) for fault in faults], False
        count = len(journal.entries())
        return [f"{journal.path}: {count} entries, none missing, none changed"], True
