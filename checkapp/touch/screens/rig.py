"""One rig: what the review says of its plan, its checks, and the start of a new one."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder

from checkapp.tongue import tr
from checkapp.touch import listing
from checkapp.touch.page import Page
from checkapp.touch.widgets import rows as _rows  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import CheckRow, RigView


class RigScreen(Page):
    """A rig with its findings and checks. The large button is what is next: set-up until all of it is done."""

    SET_UP: Final = "set up"

    def rows_of(self, rig: RigView) -> list[listing.RowDict]:
        """The list: the plan in a sentence, the caution, its checks, the findings worst first.

        Where the plan has stops, they come before the checks.
        """
        rows = [listing.words(rig.detail), *([listing.caution(rig.caution)] if rig.caution else [])]
        if rig.faults:
            rows.append(listing.choice("Faults", rig.faults, "see", self.moves.fault_list))
        checks = [listing.heading("Checks"), *(self._check(check) for check in rig.checks)] if rig.checks else []
        checks.append(self._changeover())
        found = [listing.heading("Findings"), *listing.numbered(rig.findings)] if rig.findings else []
        return [*rows, *found, *checks] if rig.has_stop else [*rows, *checks, *found]

    def worst_of(self, rig: RigView) -> str:
        """The status of the worst finding; ok when there is none."""
        return listing.LEVEL_MARKS[rig.findings[0].level] if rig.findings else "ok"

    def _check(self, check: CheckRow) -> listing.RowDict:
        word, move = ("read", self.moves.read_check) if check.signed_off else ("go on", self.moves.go_on)
        return listing.choice(check.title, check.detail, word, partial(move, check.key))

    def _changeover(self) -> listing.RowDict:
        detail = tr("From another rig to this one: what is plugged otherwise, which lines to check again")
        return listing.choice(tr("Changeover"), detail, tr("pick"), self.moves.old_rigs)

    def picture(self) -> None:
        """The rig as a picture."""
        self.moves.picture()

    def camera(self) -> None:
        """Scan something, to see its card."""
        self.moves.camera()

    def go(self, word: str) -> None:
        """Ask for the show, then set up, or start a check."""
        if word == self.SET_UP:
            self.moves.new_setup(self.view)
        else:
            self.moves.new_check(self.view)

    def leave(self) -> None:
        """Back to the rigs."""
        self.moves.rigs()


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
