"""What a tap sets off: one call on the session through the door, and the screen that shows the answer."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from checkapp.rig.errors import CheckappError
from checkapp.tongue import tr
from checkapp.touch.asking import CHECK, SETUP
from checkapp.touch.change_moves import ChangeMoves
from checkapp.touch.check_moves import CheckMoves
from checkapp.touch.fault_moves import FaultMoves, scanned_at_fault
from checkapp.touch.file_moves import FileMoves
from checkapp.touch.place_moves import PlaceMoves
from checkapp.touch.scangate import ScanGate
from checkapp.touch.settings_moves import SettingsMoves
from checkapp.touch.tablet_moves import TabletMoves
from checkapp.touch.tag_moves import TagMoves
from checkapp.touch.typed_moves import TypedMoves
from checkapp.touch.way import Call

if TYPE_CHECKING:
    from checkapp.show.beginning import RigRow
    from checkapp.show.card import Card
    from checkapp.show.checking_order import Order
    from checkapp.show.fault_views import FaultView
    from checkapp.show.picturing import PictureView
    from checkapp.show.session import Session
    from checkapp.show.setup_views import Answer, Mode, ScanView, SetUpView
    from checkapp.show.views import CheckView, LinesView, RigView, Saving, WalkView
    from checkapp.touch.door import Door
    from checkapp.touch.pages import Pages


class Moves(
    FaultMoves, CheckMoves, ChangeMoves, FileMoves, TagMoves, TabletMoves, SettingsMoves, PlaceMoves, TypedMoves
):
    """The moves of the app. Each takes what was on the screen when it was tapped, so that a late answer cannot bend it.

    A tap within 300 ms of the last is taken for the same tap reported twice and does nothing.
    """

    def __init__(self, door: Door, pages: Pages, now_s: Callable[[], float]) -> None:
        super().__init__(door, pages, now_s)
        self._scans = ScanGate()
        self._looking = False

    # -- from the start to the walk

    def start(self, plan: str | None) -> None:
        """Come back to where the app was; failing that open ``plan``; failing that offer the rigs."""
        self._door.submit(lambda session: _first(session, plan), self._begin, self._first_failed)

    def rigs(self) -> None:
        """Which rigs there are."""
        self._tap(_rigs, self._show_named)

    def open_rig(self, plan: str) -> None:
        """Open a rig and show what the review says of it."""
        self._asked.forget_show()
        self._tap(lambda session: session.open_rig(plan), self._show_rig)

    def rig(self) -> None:
        """Back to the open rig."""
        self._tap(lambda session: session.rig_view(), self._show_rig)

    def picture(self) -> None:
        """The open rig as a picture."""
        self._tap(lambda session: session.picture(), self._show_picture)

    def card(self, item: str) -> None:
        """What there is to know of an item of the open rig."""
        self._tap(lambda session: session.card(item), self._show_card)

    def under(self) -> None:
        """Put the card or the camera away: back to what it was opened from, as it stands."""
        if self._taken():
            self._pages.front(self._pages.under)

    def new_check(self, rig: RigView) -> None:
        """Ask for what a new check needs to know."""
        if self._taken():
            self._pages.show("newcheck", self._asked.asking(CHECK, rig))

    def start_check(self, name: str, venue: str, date: str, by: str) -> None:
        """Open a check for a show and walk it."""
        self._asked.answered(CHECK, name, venue, date, by)
        self._tap(lambda session: session.start_check(name, venue, date, by), self._begun(self._show_walk))

    def go_on(self, key: str) -> None:
        """Go on with a check."""
        self._tap(lambda session: session.go_on(key), self._show_walk)

    def read_check(self, key: str) -> None:
        """Read a check that was signed off."""
        self._tap(lambda session: session.read_check(key), self._show_past)

    # -- on the walk

    def ok(self, line: str) -> None:
        """Mark the line ok. The same mark twice while it is being saved is one mark."""
        words = tr("{line} ok, writing", line=line)
        self._mark(("ok", line), lambda session: session.ok(line), self._renew_walk, words)

    def ask_symptom(self, walk: WalkView) -> None:
        """Ask what was heard on the line that is shown."""
        self._hearing = "walk"
        if self._taken():
            self._pages.show("symptom", walk)

    def faulty(self, line: str, symptom: str, note: str) -> None:
        """Mark the line faulty, and go back to where it was asked."""
        if self._hearing == "fault":
            self.fault_heard(line, symptom, note)
        else:
            done = self._noted(self._show_walk)
            self._mark(("faulty", line), lambda session: session.faulty(line, symptom, note), done)

    def unheard(self) -> None:
        """Back to where it was asked, nothing marked."""
        if self._taken():
            self._pages.front(self._hearing)

    def skip(self, line: str) -> None:
        """Leave the line open and go on."""
        self._step(line, lambda session: session.skip())

    def back(self, line: str) -> None:
        """The line before."""
        self._step(line, lambda session: session.back())

    def forward(self, line: str) -> None:
        """The line after."""
        self._step(line, lambda session: session.forward())

    def _step(self, line: str, step: Call) -> None:
        """A step from the line that was shown, also when a mark that moves on is still being saved."""
        late = bool(self._under_way)
        self._tap(lambda session: (session.go_to(line) if late else None, step(session))[1], self._renew_walk)

    def go_to(self, line: str) -> None:
        """Go to any line."""
        self._tap(lambda session: session.go_to(line), self._show_walk)

    def undo(self) -> None:
        """Take the last mark back."""
        self._tap(lambda session: session.undo(), self._renew_walk, tr("writing"))

    def walk(self) -> None:
        """Back to the walk as it stands."""
        if self._taken():
            self._pages.front("walk")

    # -- set-up

    def new_setup(self, rig: RigView) -> None:
        """Ask for what set-up needs to know."""
        if self._taken():
            self._pages.show("newcheck", self._asked.asking(SETUP, rig))

    def set_up(self, name: str, venue: str, date: str, by: str) -> None:
        """Begin the set-up of a show, or go on with it."""
        self._asked.answered(SETUP, name, venue, date, by)
        self._tap(lambda session: session.set_up(name, venue, date, by), self._begun(self._show_setup))

    def tick(self, end: str, port: str) -> None:
        """Say by hand that an end is plugged into its port, or that something is set on a box."""
        self._mark(("tick", end, port), lambda session: session.setup.tick(end, port), self._renew_setup)

    def untick(self, end: str, port: str) -> None:
        """Take that back, or what a scan said of it."""
        self._mark(("untick", end, port), lambda session: session.setup.untick(end, port), self._renew_setup)

    def place(self, item: str) -> None:
        """Say by hand that a box stands where it belongs."""
        self._mark(("place", item), lambda session: session.setup.place(item), self._renew_setup)

    def unplace(self, item: str) -> None:
        """Take that back."""
        self._mark(("unplace", item), lambda session: session.setup.unplace(item), self._renew_setup)

    def undo_setup(self) -> None:
        """Take back what was done last on this tablet."""
        self._tap(lambda session: session.setup.undo(), self._seek_setup, tr("writing"))

    def setup_mode(self, mode: Mode) -> None:
        """Begin a swap or a move; ``check`` gives it up."""
        self._tap(lambda session: session.setup.mode(mode), self._seek_setup)

    def confirm(self) -> None:
        """Go on with what is asked."""
        self._tap(lambda session: session.setup.confirm(), self._seek_setup, tr("writing"))

    # -- scans

    def scanned(self, text: str, burst: bool = False) -> None:
        """A scan, or a code that was typed; ``burst`` tells that a hand scanner sent it.

        It is no tap: it waits for none and none waits for it. Scans are taken one after another, in their order,
        however quickly they come; the very same text again within a second is the same scan.
        """
        if not text.strip() or not self._scans.take(text, self._now_s()):
            return
        if self._pages.base == "setup":
            self._pages.saving(tr("reading"))
            self._ask(lambda session: session.setup.scan(text, burst=burst), self._show_setup_scan)
        elif self._pages.base == "fault":
            self._ask(lambda session: scanned_at_fault(session, text, burst), self._show_fault_scan)
        else:
            self._ask(lambda session: session.scanned(text, burst=burst), self._show_scan)

    def camera(self) -> None:
        """Scan with the camera."""
        if self._taken():
            self._pages.show("camera", None)

    # -- the check as a whole

    def lines(self, here: str) -> None:
        """All lines, with the one at hand in sight."""
        self._tap(lambda session: session.line_list(), lambda view: self._show_lines(replace(view, here=here)))

    def reorder(self, order: Order, minutes: float | None) -> None:
        """Walk the lines in another order."""
        self._tap(lambda session: session.reorder(order, minutes), self._show_lines)

    def summary(self) -> None:
        """What was found and what is left."""
        self._tap(lambda session: session.summary(), self._show_summary)

    def sign_off(self) -> None:
        """Close the check; it can be read from then on."""
        self._tap(lambda session: session.sign_off(), self._show_past)

    # -- what becomes of it

    def look_at_saving(self) -> None:
        """Saving stands otherwise than it was shown: show it, and what it changes on the screens that tell of it."""
        if self._looking:
            return
        self._looking = True
        at, base = self._pages.at, self._pages.base

        def shown(stands: tuple[Saving, tuple[str, ...], list[tuple[str, Any]]]) -> None:
            self._looking = False
            saving, news, views = stands
            if news:
                self._pages.say(news)
            self._pages.unsaved(saving.trouble)
            for name, view in views:
                self._pages.renew(name, view)

        def failed(_error: CheckappError) -> None:
            self._looking = False

        self._door.submit(lambda session: _stands(session, at, base), shown, failed)

    # -- how answers are shown

    def _show_named(self, first: tuple[str, Any]) -> None:
        name, view = first
        self._pages.show(name, view)

    def _begin(self, first: tuple[str, Any]) -> None:
        """Show where it begins; what stands there already stays as it is, and whoever taps it is not kept off."""
        if first != (self._pages.at, self._pages.shown.view):
            self._show_named(first)
            self._taken()

    def _first_failed(self, error: CheckappError) -> None:
        """Say what is wrong with the plan that was named, over the rigs that can be picked instead."""
        self._failed(error)
        self._ask(lambda session: session.rigs(), self._show_rigs)

    def _show_rigs(self, rigs: tuple[RigRow, ...]) -> None:
        self._pages.show("rigs", rigs)

    def _show_rig(self, rig: RigView) -> None:
        self._pages.show("rig", rig)

    def _show_picture(self, picture: PictureView) -> None:
        self._pages.show("picture", picture)

    def _show_card(self, card: Card) -> None:
        self._pages.show("card", card)

    def _show_setup(self, setup: SetUpView) -> None:
        self._seek_setup(setup)
        self._pages.front("setup")

    def _seek_setup(self, setup: SetUpView) -> None:
        self._renew_setup(setup)
        self._pages.seek("setup")

    def _renew_setup(self, setup: SetUpView) -> None:
        self._pages.renew("setup", setup)

    def _show_setup_scan(self, setup: SetUpView) -> None:
        self._seek_setup(setup)
        if setup.answer is not None:
            self._show_answer(setup.answer, setup.card if setup.card_first else None, "setup")

    def _show_scan(self, scan: ScanView) -> None:
        self._show_answer(scan.answer, scan.card, "")

    def _show_answer(self, answer: Answer, card: Card | None, name: str) -> None:
        """What came of a scan: on the card where that says more, else in the camera's picture or on the named screen,
        else over whatever is at the front. What was said of an earlier scan goes away."""
        from checkapp.show.setup_views import ScanView

        self._pages.put_away()
        self._pages.blink(answer.status)
        if card is not None:
            self._pages.show("card", ScanView(answer, card))
        elif self._pages.at == "camera":
            self._pages.renew("camera", answer)
        elif name:
            self._pages.front(name)
        else:
            self._pages.say([words for words in (answer.words, answer.more) if words])

    def _show_fault_scan(self, seen: FaultView | ScanView) -> None:
        from checkapp.show.setup_views import ScanView

        if isinstance(seen, ScanView):
            self._show_scan(seen)
        else:
            self._pages.put_away()
            self._show_fault(seen)

    def _renew_walk(self, walk: WalkView) -> None:
        self._pages.renew("walk", walk)
        self._tell_lead(walk)

    def _show_lines(self, lines: LinesView) -> None:
        self._pages.show("lines", lines)

    def _show_summary(self, check: CheckView) -> None:
        self._pages.show("summary", check)

    def _show_past(self, check: CheckView) -> None:
        self._pages.show("past", check)


def _stands(session: Session, at: str, base: str) -> tuple[Saving, tuple[str, ...], list[tuple[str, Any]]]:
    """How saving stands, what happened to the journal, and the screens that tell of it."""
    return session.saving(), session.news(), _seen_again(session, at, base)


def _seen_again(session: Session, at: str, base: str) -> list[tuple[str, Any]]:
    """The screens that tell what is saved and what is not, with how they stand now; none that cannot be shown now."""
    views: list[tuple[str, Any]] = []
    with suppress(CheckappError):
        if base == "setup":
            views.append(("setup", session.setup.view()))
        elif base == "tablets":
            views.append(("tablets", session.tablets.view()))
        elif base in ("walk", "symptom", "lines", "summary"):
            views.append(("walk", session.walk_again()))
            if at == "summary":
                views.append(("summary", session.summary()))
    return [(name, view) for name, view in views if view is not None]


def _first(session: Session, plan: str | None) -> tuple[str, Any]:
    """The first screen's name and view: the walk or the set-up that was left, else the plan that was named, else the
    rigs; on a machine that is new what it begins with.

    A plan that was named is not passed over for what was left in another one.
    """
    walk = session.resume(plan)
    if walk is not None:
        return "walk", walk
    setup = session.resume_setup(plan)
    if setup is not None:
        return "setup", setup
    return ("rig", session.open_rig(plan)) if plan is not None else _rigs(session, session.rigs_to_begin_with)


def _rigs(session: Session, read: Callable[[], tuple[RigRow, ...]] | None = None) -> tuple[str, Any]:
    """The rigs, as they are ``read``; on a machine that is new what it begins with."""
    first = session.first_view()
    return ("rigs", (read or session.rigs)()) if first is None else ("first", first)
