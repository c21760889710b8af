"""Other journals and exports taken into the journal, with progress on a terminal, and what is said of it."""

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from checkapp.journal.merging import Merged, Progress, merge
from checkapp.rig.errors import printable
from checkapp.show.importing import Said
from checkapp.show.recording import open_journal
from checkapp.show.taken_text import taken_text, wrong_text


def merge_files(others: Sequence[Path], journal: Path | None) -> Said:
    """Take everything in that the files hold; the journal is made when there is none.

    Errors: as `checkapp.journal.merging.merge`; nothing came in then.
    """
    with open_journal(journal) as opened, _progress() as told:
        merged = merge(opened, others, told)
    return Said(_done(merged), wrong_text(merged.taken))


def _done(merged: Merged) -> tuple[str, ...]:
    each = tuple(f"{printable(file.path.name, 60)}: {taken_text(file.taken)}" for file in merged.files)
    return each if len(each) == 1 else (*each, f"together: {taken_text(merged.taken)}")


@contextmanager
def _progress() -> Iterator[Progress | None]:
    """Bars on standard error, one a file, when that is a terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress as Bars

    with Bars(console=Console(stderr=True), transient=True) as bars:
        tasks = {}

        def told(name: str, done: int, total: int) -> None:
            if name not in tasks:
                tasks[name] = bars.add_task(printable(name, 40), total=total)
            bars.update(tasks[name], completed=done)

        yield told
