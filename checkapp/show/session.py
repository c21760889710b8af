"""One tablet at work: pick a rig, start or go on with a check, walk its lines, sign it off.

Every move that changes something counts at once and is written to the journal behind it, in order: `saving` tells
what is on its way to the disk. One thread at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.journal import kinds
from checkapp.journal.state import undo_target
from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.rig.words import Symptom
from checkapp.show import clock, places
from checkapp.show.at_work import AtWork, said_words
from checkapp.show.bookmark import Bookmark, read_bookmark, write_bookmark
from checkapp.show.check_rows import check_rows, check_title, read_key, row_key
from checkapp.show.fault_list import fault_list, faults_words, pull_words
from checkapp.show.line_list import Going, chosen, going_by, gone_on, lines_view, walk_at
from checkapp.show.logbook import Logbook
from checkapp.show.new_show import named_show
from checkapp.show.recording import Recorder, find_show
from checkapp.show.rig_rows import is_set_up, rig_rows, rig_view
from checkapp.show.saving_words import entries_words, left_words, saving_of, words_of
from checkapp.show.session_errors import CheckGone, CheckSignedOff, NothingOpen, StillUnsaved
from checkapp.show.views import CheckView, LineRow, LinesView, RigRow, RigView, Saving, WalkView
from checkapp.show.walk import Walk, check_view, line_rows, walk_view

if TYPE_CHECKING:
    from checkapp.show.backing_up import DailyBackup
    from checkapp.show.card import Card
    from checkapp.show.checking_order import Order
    from checkapp.show.fault_sheet import FaultSheet
    from checkapp.show.fault_views import FaultListView
    from checkapp.show.history_desk import HistoryDesk
    from checkapp.show.picturing import PictureView
    from checkapp.show.setting_up import SetUp
    from checkapp.show.setup_views import ScanView, SetUpView


class Session:
    """What the screens ask and do.

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
        self._last: tuple[str, str] = ("", "")
        self._rig: Rig | None = None
        self._writing: Recorder | None = None
        self._open: AtWork | None = None
        self._going = Going()
        self._setup: SetUp | None = None
        self._faults: FaultSheet | None = None
        self._desk: HistoryDesk | None = None
        self._unclear = ""
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

    def walk_again(self) -> WalkView | None:
        """The walk as it stands now, with what was said last; None when no check is open."""
        if self._open is None:
            return None
        return walk_view(replace(self._walk(), unsaved=self._recorder().unsaved(), message=self._said()))

    def rigs(self) -> tuple[RigRow, ...]:
        """The rigs that can be opened: the user's own plans, then those that came with the program."""
        return rig_rows(self._home)

    def open_rig(self, plan: str) -> RigView:
        """Open a plan file. `PlanRefused`: it has faults."""
        self._rig, self._open, self._setup = load_plan(Path(plan)), None, None
        return self.rig_view()

    def rig_view(self) -> RigView:
        """The open rig as it runs, with its findings and checks. `NothingOpen`: there is none."""
        recorder = self._recorder()
        rows, shows = check_rows(recorder), recorder.shows()
        view = rig_view(recorder.running(), rows, shows, clock.today(), partial(is_set_up, recorder))
        return replace(view, faults=faults_words(recorder))

    def picture(self) -> PictureView:
        """The open rig, as it runs, as a picture. `NothingOpen`: there is none."""
        from checkapp.show.picturing import picture_view

        return picture_view(self._recorder().running())

    def card(self, code: str) -> Card:
        """The card of an item or a line of the open rig. `UnknownCode`: it has none of that name."""
        from checkapp.show.card_lookup import find_card

        recorder = self._recorder()
        return find_card(recorder.rig, code, recorder.journal)

    # -- set-up

    def set_up(self, name: str, venue: str, date: str, by: str) -> SetUpView:
        """Begin or go on with the set-up of a show, which is made when it is new. `NameMissing`: as `start_check`."""
        name, by = named_show(self._recorder(), name, venue, date, by)
        return self._set_up_from(name, by)

    def resume_setup(self, plan: str | None = None) -> SetUpView | None:
        """The set-up that was at work when the app was closed or killed; as `resume`."""
        mark = read_bookmark(self._home)
        if mark is None or mark.check or (plan is not None and Path(plan).resolve() != Path(mark.plan)):
            return None
        try:
            self._rig = load_plan(Path(mark.plan))
            return self._set_up_from(mark.show, mark.by)
        except CheckappError:
            self._rig = None
            return None

    @property
    def setup(self) -> SetUp:
        """The set-up at work. `NothingOpen`: none is."""
        if self._setup is None:
            raise NothingOpen("no set-up is open; start one first")
        return self._setup

    def scanned(self, text: str, *, burst: bool = False) -> ScanView:
        """A scan, or a typed code, outside set-up: what it is, and its card."""
        from checkapp.show.seen import read_scanned, see

        recorder = self._recorder()
        seen = see(recorder.running(), text, burst=burst, before=self._unclear)
        self._unclear = seen.unclear
        return read_scanned(recorder, seen)

    def _set_up_from(self, show: str, by: str) -> SetUpView:
        from checkapp.show.setting_up import SetUp

        recorder = self._recorder()
        self._setup = SetUp(recorder, show, by)
        write_bookmark(self._home, Bookmark(str(Path(recorder.rig.file).resolve()), show, "", by, ""))
        return self._setup.view()

    # -- faults

    @property
    def faults(self) -> FaultSheet:
        """The fault sheet of the check at work. `NothingOpen`: none is."""
        from checkapp.show.fault_sheet import FaultSheet

        at, recorder, known = self._at(), self._recorder(), self._faults
        if known is None or known.recorder is not recorder or (known.show, known.key) != (at.show, at.key):
            known = self._faults = FaultSheet(recorder, at.show, at.key, at.by)
        return known

    def fault_list(self) -> FaultListView:
        """All faults of the rig, and what is to be pulled at load-out. `NothingOpen`: no rig is open."""
        return fault_list(self._recorder(), can_walk=self._open is not None)

    def pull(self, item: str, *, back: bool = False) -> FaultListView:
        """Say that an item is tagged and pulled, or is good again and ``back``."""
        from checkapp.journal.taken_out import pulled, returned

        by = self._open.by if self._open else ""
        show = self._open.show if self._open else None
        self._recorder().write(returned(item) if back else pulled(item), show, by or None)
        return self.fault_list()

    @property
    def history(self) -> HistoryDesk:
        """What failed how often, over all rigs and shows."""
        from checkapp.show.history_desk import HistoryDesk

        if self._log is not None:
            self._log.flush()
        self._desk = self._desk or HistoryDesk(self._journal_path)
        return self._desk

    # -- the check

    def start_check(self, name: str, venue: str, date: str, by: str) -> WalkView:
        """Begin a check of a show, which is made when there is none of that name. `NameMissing`: name or initials."""
        name, by = named_show(self._recorder(), name, venue, date, by)
        key, self._going = self._recorder().need_check(name, by), Going()
        return self._walk_from(AtWork(name, key, by, ""), "")

    def go_on(self, key: str, by: str = "") -> WalkView:
        """Go on with a check, by the key of its row. `CheckSignedOff`: it takes no more marks."""
        show, check = read_key(key)
        state = self._recorder().state(show, check)
        if state.signed_off:
            raise CheckSignedOff(f"the check of {show} is signed off; read it, or start a new one")
        opened_by, self._going = state.check.opened_by if state.check else None, Going()
        return self._walk_from(AtWork(show, check, by.strip() or opened_by or "", ""), "")

    def resume(self, plan: str | None = None) -> WalkView | None:
        """Where the walk was when the app was closed or killed; None when it was nowhere, or that is gone.

        With a plan file, only a walk of that plan is gone on with.
        """
        mark = read_bookmark(self._home)
        if mark is None or not mark.check or (plan is not None and Path(plan).resolve() != Path(mark.plan)):
            return None
        try:
            self._rig = load_plan(Path(mark.plan))
            state = self._recorder().state(mark.show, mark.check)
        except (CheckappError, KeyError):
            self._rig = None
            return None
        if state.signed_off:
            return None
        self._going = going_by(mark.order, self._recorder(), state, mark.line)
        taken_up = self._log.taken_up if self._log else 0
        more = f" {entries_words(taken_up)} of before came in." if taken_up else ""
        return self._walk_from(AtWork(mark.show, mark.check, mark.by, mark.line), f"Back where you were.{more}")

    def ok(self, line: str) -> WalkView:
        """Mark a line ok and go to the next open one."""
        return self._mark(line, "ok", None, "")

    def faulty(self, line: str, symptom: str, note: str) -> WalkView:
        """Mark a line faulty with what was heard, and go to the next open one."""
        return self._mark(line, "faulty", symptom, note)

    def skip(self) -> WalkView:
        """Leave the line open and go to the next open one."""
        recorder, at, line = self._recorder(), self._at(), self._walk().line
        self._going = gone_on(recorder, recorder.state(at.show, at.key), self._going, (line,))
        return self._walk_from(replace(at, line=self._walk().next_open()), f"{line} left open")

    def back(self) -> WalkView:
        """The line before, in the list."""
        return self._move(-1)

    def forward(self) -> WalkView:
        """The line after, in the list."""
        return self._move(1)

    def go_to(self, line: str) -> WalkView:
        """Any line."""
        return self._walk_from(replace(self._at(), line=self._recorder().rig.line(line).line), "")

    def undo(self) -> WalkView:
        """Take back this device's latest mark of the check, and go to its line."""
        recorder, at = self._recorder(), self._at()
        target = undo_target(recorder.state(at.show, at.key), recorder.journal.device)
        if target is None:
            return self._walk_from(at, "Nothing to take back.")
        entry = recorder.write(kinds.void(target.entry_id), at.show, at.by or None)
        self._last = (entry.id, f"Taken back: {target.line} was {target.verdict}")
        return self._walk_from(replace(at, line=target.line), self._said())

    def lines(self) -> tuple[LineRow, ...]:
        """All lines of the check."""
        return line_rows(replace(self._walk(), unsaved=self._recorder().unsaved()))

    def line_list(self) -> LinesView:
        """All lines in the order in which they are walked, and what there is time for."""
        recorder, at = self._recorder(), self._at()
        return lines_view(recorder, recorder.state(at.show, at.key), self.lines(), at.line, self._going)

    def reorder(self, order: Order, minutes: float | None = None) -> LinesView:
        """Walk the lines in another order; what was marked stays. The likeliest first, it begins with that.

        `ImpossibleEvidence`: how likely they are cannot be told.
        """
        recorder, at = self._recorder(), self._at()
        state = recorder.state(at.show, at.key)
        self._going = chosen(recorder, state, order, minutes, at.line)
        first = next((name for name in self._going.names if name not in state.lines), at.line)
        self._walk_from(replace(at, line=first) if order == "likely" else at, "")
        return self.line_list()

    def summary(self) -> CheckView:
        """The check as a whole."""
        at = self._at()
        return self.read_check(row_key(at.show, at.key))

    def sign_off(self) -> CheckView:
        """Sign the check off, with what is left open named in the log. `StillUnsaved`: there is what is not saved."""
        recorder, at = self._recorder(), self._at()
        if recorder.flush():
            count = entries_words(len(recorder.unsaved()))
            raise StillUnsaved(f"not saved yet: {count}; sign off when all is saved")
        state = recorder.state(at.show, at.key)
        if not state.signed_off:
            ids = state.check.ids if state.check else (at.key,)
            recorder.write(kinds.check_signed_off(ids, self._walk().open), at.show, at.by or None)
            recorder.flush()
        return self.summary()

    def read_check(self, key: str) -> CheckView:
        """A check to read, by the key of its row, signed off or not."""
        recorder = self._recorder()
        show, check = read_key(key)
        state = recorder.state(show, check)
        names = [line.line for line in recorder.rig.lines]
        unsaved = recorder.unsaved()
        walk = Walk(recorder.running(), show, state.lines, names[0] if names else "", unsaved=unsaved)
        title, detail = check_title(state, unsaved)
        view = check_view(walk, title, detail, signed_off=state.signed_off)
        return replace(view, pull=pull_words(recorder))

    def _recorder(self) -> Recorder:
        if self._rig is None:
            raise NothingOpen("no rig is open; pick one first")
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

    def _at(self) -> AtWork:
        if self._open is None:
            raise NothingOpen("no check is open; start one first")
        return self._open

    def _walk(self) -> Walk:
        recorder, at = self._recorder(), self._at()
        try:
            state = recorder.state(at.show, at.key)
        except KeyError as error:
            raise CheckGone(f"the check of {at.show} is not in the journal any more; start it again") from error
        show = find_show(recorder.shows(), at.show)
        return walk_at(recorder, state, show.name if show else at.show, at.line, self._going)

    def _walk_from(self, at: AtWork, message: str) -> WalkView:
        self._open = at
        walk = replace(self._walk(), unsaved=self._recorder().unsaved())
        self._open = replace(at, line=walk.line)
        plan = str(Path(self._recorder().rig.file).resolve())
        write_bookmark(self._home, Bookmark(plan, at.show, at.key, at.by, walk.line, self._going.order))
        return walk_view(replace(walk, message=message))

    def _move(self, by: int) -> WalkView:
        return self._walk_from(replace(self._at(), line=self._walk().step(by)), "")

    def _mark(self, line: str, verdict: kinds.Verdict, symptom: str | None, note: str) -> WalkView:
        recorder, at = self._recorder(), self._at()
        if recorder.state(at.show, at.key).signed_off:
            raise CheckSignedOff(f"the check of {at.show} is signed off; start a new one")
        name = recorder.rig.line(line).line
        heard: Symptom | None = symptom  # type: ignore[assignment]
        draft = kinds.mark(
            name, verdict, plan=recorder.rig.digest, check=at.key, symptom=heard, note=note.strip() or None
        )
        entry = recorder.write(draft, at.show, at.by or None)
        self._last = (entry.id, words_of(entry))
        self._open = replace(at, line=name)
        self._going = gone_on(recorder, recorder.state(at.show, at.key), self._going)
        following = self._walk().next_open()
        return self._walk_from(replace(at, line=following), self._said())

    def _said(self) -> str:
        """The last mark, and whether it is on the disk."""
        return said_words(self._last, self._recorder().unsaved(), self.saving())
