"""The journal on this tablet as the screens work with it: opened when it is first needed, saved behind every move.

Every move that changes something counts at once and is written to the journal behind it, in order: `saving` tells
what is on its way to the disk. One thread at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.rig.rig import Rig
from checkapp.show import clock, places
from checkapp.show.logbook import Logbook
from checkapp.show.recording import Recorder
from checkapp.show.saving_words import left_words, saving_of
from checkapp.show.session_errors import NothingOpen
from checkapp.show.views import Saving
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.show.backing_up import DailyBackup


class Desk:
    """The open rig and the journal that is written for it.

    ``journal``: its path (None: the user's own). ``home``: the user's folder. ``wait_s``: how long a move waits for the
    disk, None: until what it did is on it or could not be written. ``refuges``: folders for what cannot be written to
    the journal, None: the usual ones.
    """

    def __init__(
        self,
        journal: Path | None = None,
        home: Path | None = None,
        now_ms: Callable[[], int] = clock.now_ms,
        wait_s: float | None = None,
        refuges: Sequence[Path] | None = None,
    ) -> None:
        self._home = home or places.home()
        self._journal_path = journal or self._home / "journal.db"
        self._log: Logbook | None = None
        self._now_ms, self._wait_s = now_ms, wait_s
        self._refuges = places.refuges(self._home) if refuges is None else refuges
        self._told: Callable[[], None] = lambda: None
        self._rig: Rig | None = None
        self._writing: Recorder | None = None
        self._news: list[str] = []
        self._backup: DailyBackup | None = None

    def close(self) -> str:
        """Save what is still to be saved and close the journal; what could not be, and where it is kept, in words."""
        log, self._log, self._writing = self._log, None, None
        if self._backup is not None:
            self._backup.close()
        return left_words(log.close(), log.kept_at) if log is not None else ""

    def news(self) -> tuple[str, ...]:
        """What happened to the journal that a person should know, once; nothing usually."""
        news, self._news = tuple(self._news), []
        return news

    def _tell(self, words: str) -> None:
        self._news.append(words)
        self._told()

    def listen(self, told: Callable[[], None]) -> None:
        """Have ``told`` called, on another thread, whenever `saving` or what is shown of it is no more what it was."""
        self._told = told

    def saving(self) -> Saving:
        """How saving stands."""
        return saving_of(self._log) if self._log is not None else Saving()

    @property
    def rig(self) -> Rig | None:
        """The open rig as its plan has it; None when none is open."""
        return self._rig

    def as_run(self, rig: Rig) -> Rig:
        """Any rig as it runs: its plan with the swaps and moves that the journal holds for it. A rig must be open."""
        return Recorder(self._recorder().journal, rig, self._now_ms).running()

    def _recorder(self) -> Recorder:
        if self._rig is None:
            raise NothingOpen(tr("no rig is open; pick one first"))
        if self._log is None:
            self._log = self._open_log()
        if self._backup is not None:
            self._backup.look()
        if self._writing is None or self._writing.rig is not self._rig:
            self._writing = Recorder(self._log, self._rig, self._now_ms)
        return self._writing

    def _open_log(self) -> Logbook:
        from checkapp.show.backing_up import DailyBackup
        from checkapp.show.opening_log import open_log

        path = self._journal_path
        log, news = open_log(path, self._home, self._refuges, lambda: self._told(), self._wait_s)
        self._backup = DailyBackup(path, self._tell, lambda: clock.today())
        self._news += news
        if self._news:
            self._told()
        return log
