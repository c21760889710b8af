"""One tablet at work: pick a rig, set it up, start or go on with a check, walk its lines, sign it off, look back."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.show import beginning, clock
from checkapp.show.beginning import FirstView, RigRow
from checkapp.show.bookmark import Bookmark, read_bookmark
from checkapp.show.check_rows import check_rows
from checkapp.show.checking import Checking
from checkapp.show.fault_list import fault_list, faults_found
from checkapp.show.new_show import named_show
from checkapp.show.rig_rows import is_set_up, rig_rows, rig_view
from checkapp.show.session_errors import NothingOpen
from checkapp.show.views import RigView, WalkView
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.show.browsing import Browser
    from checkapp.show.card import Card
    from checkapp.show.changeover_list import Changeover
    from checkapp.show.fault_sheet import FaultSheet
    from checkapp.show.fault_views import FaultListView
    from checkapp.show.history_desk import HistoryDesk
    from checkapp.show.incoming import Incoming
    from checkapp.show.picturing import PictureView
    from checkapp.show.preferences import Remembered
    from checkapp.show.setting_up import SetUp
    from checkapp.show.setup_views import ScanView, SetUpView
    from checkapp.show.tablets import Tablets
    from checkapp.show.tag_desk import TagDesk


class Session(Checking):
    """What the screens ask and do; the check's moves are those of `Checking`, its arguments those of `Desk`."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._setup: SetUp | None = None
        self._faults: FaultSheet | None = None
        self._desk: HistoryDesk | None = None
        self._browser: Browser | None = None
        self._incoming: Incoming | None = None
        self._changeover: Changeover | None = None
        self._tags: TagDesk | None = None
        self._tablets: Tablets | None = None
        self._unclear = ""
        self._preferences: Remembered | None = None

    @property
    def preferences(self) -> Remembered:
        """How this tablet is set."""
        from checkapp.show.preferences import Remembered

        self._preferences = self._preferences or Remembered(self._home)
        return self._preferences

    def rigs(self) -> tuple[RigRow, ...]:
        """The rigs that can be opened: the user's own plans, then those that came with the program."""
        return rig_rows(self._home)

    def first_view(self) -> FirstView | None:
        """What to begin with; None on a machine that was worked on before."""
        return beginning.first_view(self._home, self._journal_path)

    def rigs_to_begin_with(self) -> tuple[RigRow, ...]:
        """The rigs that can be opened, where nothing was left at work; they are kept for the next start."""
        rigs = self.rigs()
        beginning.keep(self._home, rigs)
        return rigs

    def open_rig(self, plan: str) -> RigView:
        """Open a plan file. `PlanRefused`: it has faults."""
        self._rig, self._open, self._setup = load_plan(Path(plan)), None, None
        return self.rig_view()

    def rig_view(self) -> RigView:
        """The open rig as it runs, with its findings and checks. `NothingOpen`: there is none."""
        recorder = self._recorder()
        rows, shows = check_rows(recorder), recorder.shows()
        view = rig_view(recorder.running(), rows, shows, clock.today(), partial(is_set_up, recorder))
        count, words = faults_found(recorder)
        return replace(view, faults=words, open_faults=count)

    def picture(self) -> PictureView:
        """The open rig, as it runs, as a picture. `NothingOpen`: there is none."""
        from checkapp.show.picturing import picture_view

        return picture_view(self._recorder().running())

    def card(self, code: str) -> Card:
        """The card of an item or a line of the open rig. `UnknownCode`: it has none of that name."""
        from checkapp.show.card_lookup import find_card

        recorder = self._recorder()
        return find_card(recorder.rig, code, recorder.journal)

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
            raise NothingOpen(tr("no set-up is open; start one first"))
        return self._setup

    def setup_again(self) -> SetUpView | None:
        """The set-up as it stands, else that of the show whose check is open; None when neither is."""
        if self._setup is None and self._open is not None:
            return self._set_up_from(self._open.show, self._open.by)
        return None if self._setup is None else self._setup.view()

    def check_again(self) -> WalkView | None:
        """The walk as it stands; None when no check is open that takes marks."""
        walk, at = self.walk_again(), self._open
        return None if at is None or self._recorder().state(at.show, at.key).signed_off else walk

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
        self._bookmark.keep(Bookmark(str(Path(recorder.rig.file).resolve()), show, "", by, ""))
        return self._setup.view()

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
        return fault_list(self._recorder(), None if self._open is None else self._open.show)

    def pull(self, item: str, *, back: bool = False) -> FaultListView:
        """Say that an item is tagged and pulled, or is good again and ``back``."""
        from checkapp.journal.taken_out import pulled, returned

        by = self._open.by if self._open else ""
        show = self._open.show if self._open else None
        self._recorder().write(returned(item) if back else pulled(item), show, by or None)
        return self.fault_list()

    @property
    def changeover(self) -> Changeover:
        """From the rig that stands to the one that comes."""
        from checkapp.show.changeover_list import Changeover

        self._changeover = self._changeover or Changeover(self)
        return self._changeover

    @property
    def tags(self) -> TagDesk:
        """The tags of the open rig as it runs. `NothingOpen`: there is none."""
        from checkapp.show.quick_places import quick_places
        from checkapp.show.tag_desk import TagDesk

        rig = self._recorder().running()
        if self._tags is None or self._tags.rig.name != rig.name:
            self._tags = TagDesk(rig, self._home, quick_places)
        return self._tags.on(rig)

    @property
    def tablets(self) -> Tablets:
        """The tablets of the show at work, else of the rig's latest show. `NothingOpen`: no rig is open."""
        from checkapp.show.quick_places import quick_places
        from checkapp.show.tablets import Tablets

        recorder = self._recorder()
        if self._tablets is None or self._tablets.recorder is not recorder:
            self._tablets = Tablets(recorder, self._home, quick_places, self._tell)
        if self._open is not None:
            return self._tablets.at(self._open.show, self._open.key, self._open.by)
        if self._setup is not None:
            return self._tablets.at(self._setup.show, "", self._setup.by)
        shows = recorder.shows()
        return self._tablets.at(shows[-1].name if shows else "", "", "")

    @property
    def history(self) -> HistoryDesk:
        """What failed how often, over all rigs and shows."""
        from checkapp.show.history_desk import HistoryDesk

        if self._log is not None:
            self._log.flush()
        self._desk = self._desk or HistoryDesk(self._journal_path)
        return self._desk

    @property
    def browser(self) -> Browser:
        """Looks into the folders of this machine for files that can be opened."""
        from checkapp.show.browsing import Browser

        self._browser = self._browser or Browser(self._home)
        return self._browser

    @property
    def incoming(self) -> Incoming:
        """A file that comes in from outside, before it is taken."""
        from checkapp.show.incoming import Incoming

        self._incoming = self._incoming or Incoming(self._home, lambda: self.rig)
        return self._incoming
