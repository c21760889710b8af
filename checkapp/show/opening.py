"""Before the touch app opens: is there a display, and is the plan a plan. Nothing heavy is loaded without need."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.rig.errors import CheckappError

if TYPE_CHECKING:
    from checkapp.show.session import Session

_WAIT_S = 0.05
"""So long a move waits for the disk before the screen goes on; what is not written by then is shown as waiting."""
_NAMES = ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")


class NoDisplay(CheckappError):
    """There is no display for the touch app."""


def check_display(plan: Path | None) -> None:
    """Refuse early what cannot be opened.

    `PlanRefused`: the plan is no file, or there is no display and it has faults; with a display the app shows the
    faults, and reads the plan after its first frame. `NoDisplay`: there is nowhere to show anything.
    """
    missing = sys.platform.startswith("linux") and not any(os.environ.get(name) for name in _NAMES)
    if plan is not None and (missing or not plan.is_file()):
        from checkapp.rig.planfile import load_plan

        load_plan(plan)
    if missing:
        raise NoDisplay(
            "no display here for the touch app; without one these work: "
            "checkapp review PLAN, tags, card, mark, repair, state, demo"
        )


def session_maker(journal: Path | None) -> Callable[[], Session]:
    """A maker of the session, to be called where the journal may be opened; its library is loaded only then."""

    def make() -> Session:
        from checkapp.show.session import Session

        return Session(journal, wait_s=_WAIT_S)

    return make
