"""What a tap on the tablets screens sets off."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from checkapp.rig.errors import CheckappError
from checkapp.tongue import tr
from checkapp.touch.way import Way

if TYPE_CHECKING:
    from checkapp.journal.kinds import Verdict
    from checkapp.show.session import Session
    from checkapp.show.tablet_views import Dispute, HubView, LogsView, TabletNameView, TabletsView
    from checkapp.show.views import WalkView

Stands = tuple["TabletsView", "WalkView | None"]


class TabletMoves(Way):
    """The moves of the tablets screens; the others are `checkapp.touch.moves.Moves`."""

    def tablets(self) -> None:
        """Who has what at the show."""
        self._tap(lambda session: session.tablets.opened(), self._show_tablets)

    def tablets_again(self) -> None:
        """Back to the tablets, with what was said last."""
        self._tap(lambda session: session.tablets.view(), self._show_tablets)

    def tablet_name(self, device: str) -> None:
        """What a tablet is called."""
        self._tap(lambda session: session.tablets.naming(device), self._show_tablet_name)

    def name_tablet(self, device: str, name: str) -> None:
        """Call a tablet so from now on."""
        self._tap(lambda session: session.tablets.name(device, name), self._show_tablets)

    def dispute(self, dispute: Dispute) -> None:
        """Two marks that disagree."""
        if self._taken():
            self._pages.show("settle", dispute)

    def settle(self, line: str, verdict: Verdict, symptom: str) -> None:
        """Say which it is, by a new mark."""
        call = _and_walk(lambda session: session.tablets.settle(line, verdict, symptom))
        self._mark(("settle", line), call, self._show_both)

    def give_log(self) -> None:
        """Where to give this tablet's log."""
        self._tap(lambda session: session.tablets.to_give(), self._show_logs)

    def give_log_to(self, folder: str) -> None:
        """Give it there."""
        call = _and_walk(lambda session: session.tablets.give(folder))
        self._mark(("give", folder), call, self._show_both, tr("writing"))

    def take_log(self) -> None:
        """Whose log to take in."""
        self._tap(lambda session: session.tablets.to_take(), self._show_logs)

    def take_log_in(self, file: str) -> None:
        """Take that in."""
        call = _and_walk(lambda session: session.tablets.take(file))
        self._mark(("take", file), call, self._show_both, tr("reading"))

    def hub(self) -> None:
        """The hub's address."""
        self._tap(lambda session: session.tablets.hub(), self._show_hub)

    def set_hub(self, url: str) -> None:
        """Sync with that hub from now on."""
        self._tap(lambda session: session.tablets.set_hub(url), self._show_tablets)

    def sync(self) -> None:
        """Bring this tablet and the hub together."""
        self._tap(lambda session: session.tablets.sync(), self._show_tablets)

    def _show_tablets(self, view: TabletsView) -> None:
        self._pages.show("tablets", view)

    def _show_both(self, stands: Stands) -> None:
        view, walk = stands
        self._pages.saving("")
        if walk is not None:
            self._pages.renew("walk", walk)
        self._show_tablets(view)

    def _show_logs(self, view: LogsView) -> None:
        self._pages.show("tabletlogs", view)

    def _show_tablet_name(self, view: TabletNameView) -> None:
        self._pages.show("tabletname", view)

    def _show_hub(self, view: HubView) -> None:
        self._pages.show("hub", view)


def _and_walk(call: Callable[[Session], TabletsView]) -> Callable[[Session], Any]:
    """What came of it, and the walk as it stands after it."""

    def both(session: Session) -> Stands:
        view, walk = call(session), None
        with suppress(CheckappError):
            walk = session.walk_again()
        return view, walk

    return both
