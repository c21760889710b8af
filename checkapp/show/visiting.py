"""The places of the app, each one tap away: where a tap on one leads, as things stand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.show.session import Session
    from checkapp.show.views import RigView

Target = Literal["first", "rigs", "rig", "setup", "ask set-up", "walk", "ask check", "faults"]
OF_A_RIG: Final = frozenset({"set-up", "line check", "faults", "tags"})
"""The places that there are only where a rig is open."""


@dataclass(frozen=True, slots=True)
class Visit:
    """What is shown, its view, and what there is to say to it; ``ask ...`` is asked of the rig that is the view."""

    target: Target
    view: Any
    words: str = ""


def visit(session: Session, place: str, again: bool = False) -> Visit:
    """Where a tap on a place leads; ``again`` tells that it was tapped where one was there already."""
    if session.rig is None:
        return _pick_first(session, place)
    return _WAYS[place](session, again)


def _pick_first(session: Session, place: str) -> Visit:
    """No rig is open: to where one is picked."""
    words = tr("No rig is open. Pick one first.") if place in OF_A_RIG else ""
    first = session.first_view()
    return Visit("rigs", session.rigs(), words) if first is None else Visit("first", first, words)


def _to_rig(session: Session, again: bool) -> Visit:
    """The open rig, and from there the rigs."""
    return Visit("rigs", session.rigs()) if again else Visit("rig", session.rig_view())


def _to_setup(session: Session, _again: bool) -> Visit:
    """The set-up as it stands, else what it needs to know."""
    view = session.setup_again()
    return Visit("ask set-up", session.rig_view()) if view is None else Visit("setup", view)


def _to_check(session: Session, _again: bool) -> Visit:
    """The walk as it stands, else the check of the show at hand, else what a new one needs to know."""
    walk = session.check_again()
    if walk is not None:
        return Visit("walk", walk)
    rig: RigView = session.rig_view()
    return Visit("walk", session.go_on(rig.going_on)) if rig.going_on else Visit("ask check", rig)


def _to_faults(session: Session, _again: bool) -> Visit:
    """All faults of the rig, and what is to be pulled."""
    return Visit("faults", session.fault_list())


_WAYS: Final[dict[str, Callable[[Session, bool], Visit]]] = {
    "rig": _to_rig,
    "set-up": _to_setup,
    "line check": _to_check,
    "faults": _to_faults,
}
