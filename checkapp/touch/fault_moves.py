"""What a tap on the fault sheet and on the list of faults sets off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any, NamedTuple

from checkapp.rig.errors import CheckappError
from checkapp.tongue import tr
from checkapp.touch.way import Way
from checkapp.touch.whereabouts import SUSPECTS

if TYPE_CHECKING:
    from checkapp.show.fault_views import FaultListView, FaultView, NextRow, StepView, SuspectRow, Work
    from checkapp.show.history_pictures import FiguresView, Look
    from checkapp.show.history_views import Chosen, HistoryView, LifeView, ShowChoice
    from checkapp.show.session import Session
    from checkapp.show.setup_views import ScanView
    from checkapp.show.views import WalkView
    from checkapp.touch.door import Door
    from checkapp.touch.pages import Pages


class ShowsAsked(NamedTuple):
    """The shows that can be chosen, and the kind of item that is looked at."""

    kind: str
    shows: tuple[ShowChoice, ...]


class FaultMoves(Way):
    """The moves of the fault sheet; the others are `checkapp.touch.moves.Moves`."""

    _noted: Any

    def __init__(self, door: Door, pages: Pages, now_s: Callable[[], float]) -> None:
        super().__init__(door, pages, now_s)
        self._hearing = "walk"

    def fault_sheet(self) -> None:
        """Who is to blame, and what to try next."""
        self._pages.leave_for(SUSPECTS)
        self._tap(lambda session: session.faults.view(), self._show_fault)

    def sheet_again(self) -> None:
        """Back to the fault sheet as it was."""
        if self._taken():
            self._pages.front("fault")

    def walk_on(self) -> None:
        """Back to the walk, as it stands now."""
        self._tap(lambda session: session.walk_again(), self._show_walk)

    def blame(self, suspect: SuspectRow) -> None:
        """What can be done about a suspect."""
        if self._taken():
            self._pages.show("blame", suspect)

    def try_next(self, row: NextRow) -> None:
        """Begin a test."""
        self._tap(lambda session: session.faults.begin(row), self._show_fault)

    def repair(self, work: Work, item: str) -> None:
        """Begin a repair."""
        self._tap(lambda session: session.faults.repair(work, item), self._show_fault)

    def untagged(self) -> None:
        """What goes in has no tag."""
        self._tap(lambda session: session.faults.untagged(), self._show_fault)

    def give_up(self) -> None:
        """Nothing was tried."""
        self._tap(lambda session: session.faults.give_up(), self._show_fault)

    def fault_ok(self, line: str) -> None:
        """The line is ok after what was done."""
        self._mark(("ok", line), lambda session: session.faults.ok(), self._show_fault)

    def still_faulty(self, line: str) -> None:
        """The line is as faulty as before."""
        self._mark(("faulty", line), lambda session: session.faults.faulty(), self._show_fault)

    def ask_what_is_heard(self, step: StepView) -> None:
        """Ask what was heard on the line of the test."""
        self._hearing = "fault"
        if self._taken():
            self._pages.show("symptom", step)

    def fault_heard(self, line: str, symptom: str, note: str) -> None:
        """The line of the test is faulty, and sounds like that."""
        done = self._noted(self._show_fault)
        self._mark(("faulty", line), lambda session: session.faults.faulty(symptom, note), done)

    def put_back(self) -> None:
        """What was swapped and is not to blame goes back."""
        self._tap(lambda session: session.faults.put_back(), self._show_fault, tr("writing"))

    def undo_fault(self) -> None:
        """Take back what was answered last."""
        self._tap(lambda session: session.faults.undo(), self._show_fault, tr("writing"))

    def tagged(self, item: str) -> None:
        """What was taken out is tagged and pulled."""
        self._tap(lambda session: session.faults.pulled(item), self._show_fault, tr("writing"))

    def later(self) -> None:
        """It is asked again at load-out."""
        self._tap(lambda session: session.faults.later(), self._show_fault)

    def fault_list(self) -> None:
        """All faults of the rig, and what is to be pulled."""
        self._pages.leave_for("faults")
        self._tap(lambda session: session.fault_list(), self._show_faults)

    def pull(self, item: str) -> None:
        """An item of the list is tagged and pulled."""
        self._tap(lambda session: session.pull(item), self._show_faults, tr("writing"))

    def returned(self, item: str) -> None:
        """An item that was pulled is good again and back."""
        self._tap(lambda session: session.pull(item, back=True), self._show_faults, tr("writing"))

    def history(self) -> None:
        """What failed how often, over all shows."""
        self._tap(lambda session: session.history.opened(), self._show_history, tr("reading"))

    def history_of(self, chosen: Chosen) -> None:
        """What failed how often of a kind, at a show, in a period."""
        self._tap(lambda session: session.history.view(chosen), self._show_history, tr("reading"))

    def history_shows(self, kind: str) -> None:
        """Which show the history is to be of; the kind that is looked at stays."""
        self._tap(lambda session: ShowsAsked(kind, session.history.shows()), self._show_shows, tr("reading"))

    def history_figures(self, chosen: Chosen, look: Look) -> None:
        """The figures of what is looked at."""
        self._tap(lambda session: session.history.figures(chosen, look), self._show_figures, tr("drawing"))

    def life_figure(self, item: str, look: Look) -> None:
        """The figure of an item's life."""
        self._tap(lambda session: session.history.life_figure(item, look), self._show_figures, tr("drawing"))

    def figures_again(self, view: FiguresView, look: Look) -> None:
        """Figures that were let go of, drawn anew; whoever went on meanwhile has no need of them."""

        def drawn(figures: FiguresView) -> None:
            if self._pages.at == "figures":
                self._pages.renew("figures", figures)

        def failed(error: CheckappError) -> None:
            drawn(replace(view, missing=True))
            self._failed(error)

        self._submit(lambda session: session.history.drawn_again(view, look), drawn, failed)

    def history_again(self) -> None:
        """Back to the history as it was."""
        if self._taken():
            self._pages.front("history")

    def life_again(self) -> None:
        """Back to the item's life as it was."""
        if self._taken():
            self._pages.front("life")

    def life(self, item: str) -> None:
        """An item's whole life."""
        self._tap(lambda session: session.history.life(item), self._show_life)

    def _show_history(self, history: HistoryView) -> None:
        self._pages.show("history", history)

    def _show_shows(self, shows: ShowsAsked) -> None:
        self._pages.show("shows", shows)

    def _show_figures(self, figures: FiguresView) -> None:
        self._pages.show("figures", figures)

    def _show_life(self, life: LifeView) -> None:
        self._pages.show("life", life)

    def _show_fault(self, fault: FaultView) -> None:
        self._pages.show("fault", fault)

    def _show_faults(self, faults: FaultListView) -> None:
        self._pages.show("faults", faults)

    def _show_walk(self, walk: WalkView) -> None:
        self._pages.show("walk", walk)
        self._tell_lead(walk)

    def _tell_lead(self, walk: WalkView) -> None:
        """Say on the walk who is to blame the most, once that is known: nobody waits for it."""
        if not walk.faulty and not walk.waiting:
            self._pages.lead("")
            return
        self._door.submit(lambda session: session.faults.lead(), self._pages.lead, _not_known)


def _not_known(_error: CheckappError) -> None:
    """Who is to blame cannot be told: the fault sheet says why when it is asked for."""


def scanned_at_fault(session: Session, text: str, burst: bool) -> FaultView | ScanView:
    """A scan on the fault sheet: what goes in, where a swap or a move is under way, else as everywhere."""
    if session.faults.wants_scan:
        return session.faults.scan(text, burst=burst)
    return session.scanned(text, burst=burst)
