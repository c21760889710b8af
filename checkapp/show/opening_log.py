"""The log of one run of the app, opened: a damaged journal is mended first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from checkapp.show import clock
from checkapp.show.kept_file import KeptFile
from checkapp.show.logbook import Logbook
from checkapp.show.recording import open_journal
from checkapp.show.rescuing import rescue_if_damaged


def open_log(
    path: Path, home: Path, refuges: Sequence[Path], told: Callable[[], None], wait_s: float | None
) -> tuple[Logbook, Sequence[str]]:
    """The log of the journal at ``path``, and what a person should know of it.

    ``home`` is the user's folder, ``refuges`` are folders for what cannot be written; ``told`` and ``wait_s`` as in
    `Logbook`. Errors: those of the journal.
    """
    news = rescue_if_damaged(path, home)
    kept = KeptFile(refuges, path, clock.new_device())
    log = Logbook(path, lambda create: open_journal(path, create=create, home=home), kept, told, wait_s)
    return log, news
