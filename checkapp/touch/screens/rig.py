"""One rig: what the review says of its plan, its checks, and the start of a new one."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import CheckRow, RigView, Work


class RigScreen(Page):
    """A rig with its findings and checks. The large button is what is next."""

    def rows_of(self, rig: RigView) -> list[listing.RowDict]:
        """The list: the plan in a sentence, the caution, its checks, the findings worst first.

        Where the plan has stops, they come before the checks.
        """
        rows = [listing.words(rig.detail), *([listing.caution(rig.caution)] if rig.caution else [])]
        if rig.faults:
            rows.append(listing.choice(tr("Faults"), rig.faults, tr("see"), self.moves.fault_list))
        checks = [listing.heading(tr("Checks")), *(self._check(check) for check in rig.checks), *self._more_checks(rig)]
        checks += [self._changeover(), self._tablets()]
        found = [listing.heading(tr("Findings")), *listing.numbered(rig.findings)] if rig.findings else []
        return [*rows, *found, *checks] if rig.has_stop else [*rows, *checks, *found]

    def worst_of(self, rig: RigView) -> str:
        """The status of the worst finding; ok when there is none."""
        return listing.LEVEL_MARKS[rig.findings[0].level] if rig.findings else "ok"

    def _check(self, check: CheckRow) -> listing.RowDict:
        word, move = (tr("read"), self.moves.read_check) if check.signed_off else (tr("go on"), self.moves.go_on)
        return listing.choice(check.title, check.detail, word, partial(move, check.key))

    def _more_checks(self, rig: RigView) -> list[listing.RowDict]:
        """What to do where there is no check yet; where one is open, the way to another."""
        if not rig.checks:
            return [listing.words(tr("None yet. Set up first, then check every line; a check can begin at any time."))]
        if "check" in (rig.next_work, rig.other_work):
            return []
        detail = tr("Of another show; the one that is open stays open")
        return [listing.choice(tr("Another check"), detail, tr("start"), partial(self.moves.new_check, rig))]

    def _changeover(self) -> listing.RowDict:
        detail = tr("From another rig to this one: what is plugged otherwise, which lines to check again")
        return listing.choice(tr("Changeover"), detail, tr("pick"), self.moves.old_rigs)

    def _tablets(self) -> listing.RowDict:
        detail = tr("Who has what, whose marks disagree; logs given and taken in")
        return listing.choice(tr("Tablets"), detail, tr("see"), self.moves.tablets)

    def picture(self) -> None:
        """The rig as a picture."""
        self.moves.picture()

    def camera(self) -> None:
        """Scan something, to see its card."""
        self.moves.camera()

    def words_of(self, work: Work, rig: RigView) -> str:
        """What a large button says."""
        return {"go on": tr("go on with the check"), "set up": tr("set up"), "check": rig.start_words}[work]

    def status_of(self, work: Work, rig: RigView, usual: str) -> str:
        """How a large button looks: to start a check of a plan with stops is to be thought about."""
        return "look" if work == "check" and rig.has_stop else usual

    def go(self, work: Work) -> None:
        """Go on with the check, or ask for the show and then set up or start one."""
        if work == "go on":
            self.moves.go_on(self.view.going_on)
        elif work == "set up":
            self.moves.new_setup(self.view)
        else:
            self.moves.new_check(self.view)

    def leave(self) -> None:
        """Back to the rigs."""
        self.moves.rigs()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
