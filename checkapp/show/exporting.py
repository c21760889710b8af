"""The journal written out as a file, and what is said of it."""

from pathlib import Path

from checkapp.journal.export import Exported, export
from checkapp.rig.errors import printable
from checkapp.show.recording import open_journal
from checkapp.show.taken_text import entries


def export_journal(out: Path, journal: Path | None) -> Exported:
    """Write every entry of the journal to ``out``, one a line.

    Errors: `FileNotWritten`, `NoJournal` and the others of the journal.
    """
    with open_journal(journal, create=False) as opened:
        return export(opened, out)


def lines_of(found: Exported, out: Path) -> tuple[str, ...]:
    """What was written, in words."""
    return (f"{printable(str(out), 200)}: {entries(found.written)}",)


def wrong_of(found: Exported) -> tuple[str, ...]:
    """What could not be written, in words."""
    if not found.unreadable:
        return ()
    return (f"{entries(found.unreadable)} left out, with values that cannot be read; journal verify names them",)
