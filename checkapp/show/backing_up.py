"""Copies of the journal: on request, and one a day while the app is at work, on a thread of its own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from threading import Thread

from checkapp.journal.backup import back_up, back_up_today, day_file
from checkapp.journal.errors import JournalError
from checkapp.journal.journal import Journal
from checkapp.show import clock, places
from checkapp.show.saving_words import entries_words

_STAMP = "%Y-%m-%d-%H%M%SZ"


def stamp() -> str:
    """This moment in UTC as it stands in a file's name: ``2031-05-02-140311Z``."""
    return datetime.fromtimestamp(clock.now_ms() / 1000, UTC).strftime(_STAMP)


def back_up_to(folder: Path, path: Path | None) -> str:
    """Copy the journal into a folder; what was copied and where, in words. Errors: as `checkapp.journal.backup`."""
    with Journal.read(places.journal_path(path)) as journal:
        made = back_up(journal, folder, stamp())
    return f"{made.path}: {entries_words(made.entries)}, looked at page by page"


class DailyBackup:
    """The copy of today, made in the background once for each day that it is asked for.

    ``failed`` is called, on that thread, with what went wrong; work goes on without the copy.
    """

    def __init__(self, path: Path, failed: Callable[[str], None], today: Callable[[], str]) -> None:
        self._path, self._failed, self._today = path, failed, today
        self._day = ""
        self._thread: Thread | None = None

    def look(self) -> None:
        """Begin with today's copy, unless that was done."""
        day = self._today()
        if day != self._day and (self._thread is None or not self._thread.is_alive()):
            self._day = day
            self._thread = Thread(target=self._make, args=(day,), name="backup")
            self._thread.start()

    def close(self) -> None:
        """Wait for a copy that is being made."""
        if self._thread is not None:
            self._thread.join()

    def _make(self, day: str) -> None:
        try:
            with Journal.read(self._path) as journal:
                made = back_up_today(journal, day)
            if made is None and not day_file(self._path, day).exists():
                self._day = ""  # there was nothing to copy yet
        except JournalError as error:
            self._failed(f"today's backup was not made: {error}")
