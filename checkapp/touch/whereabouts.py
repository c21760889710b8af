"""The places of the app, each one tap away from every other: their words, their screens, and where one came from."""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from checkapp.tongue import later


class Place(NamedTuple):
    """A place: its name, its word and a shorter one for where there is little room, the screens it is made of.

    The first of the screens is the one that a tap leads to.
    """

    name: str
    word: str
    short: str
    screens: tuple[str, ...]


_RIG_SCREENS: Final = (
    "rig",
    "rigs",
    "first",
    "picture",
    "files",
    "incoming",
    "column",
    "keepcolumns",
    "naming",
    "oldrigs",
    "changeover",
    "tablets",
    "tabletname",
    "settle",
    "tabletlogs",
    "hub",
)
PLACES: Final = (
    Place("rig", later("rig"), later("rig"), _RIG_SCREENS),
    Place("set-up", later("set-up"), later("set-up"), ("setup",)),
    Place("line check", later("line check"), later("check"), ("walk", "symptom", "jump", "lines", "summary", "past")),
    Place("faults", later("faults"), later("faults"), ("faults", "fault", "blame")),
    Place("history", later("history"), later("history"), ("history", "life", "shows", "figures")),
    Place("tags", later("tags"), later("tags"), ("tags", "tagpick", "tagchoice", "tagstart")),
    Place("settings", later("settings"), later("settings"), ("settings",)),
)
WAYS_BACK: Final = {
    "setup": later("set-up"),
    "picture": later("picture"),
    "walk": later("walk"),
    "lines": later("lines"),
    "rig": later("rig"),
    "rigs": later("rigs"),
    "summary": later("summary"),
    "fault": later("suspects"),
    "faults": later("faults"),
    "history": later("history"),
    "tags": later("tags"),
    "settings": later("settings"),
    "changeover": later("changeover"),
    "camera": later("camera"),
}
"""What the way back to a screen is called; ``back`` for the others."""
ASKING: Final = "newcheck"
"""The screen that belongs to the place it asks for."""
SUSPECTS: Final = "suspects"
"""The fault sheet: it belongs to the faults, and is come to from their list as well as from the walk."""
_OF_FILES: Final = frozenset({"files", "incoming", "column", "keepcolumns", "naming"})
_OF_ANY: Final = _OF_FILES | {"rigs", "first", "history", "life", "shows", "figures", "settings"}


def place_of(screen: str, view: Any = None) -> str:
    """The place that a screen belongs to; empty for none, as with a card."""
    if screen == ASKING:
        return "set-up" if getattr(view, "work", "") == "set-up" else "line check"
    return next((place.name for place in PLACES if screen in place.screens), "")


def way_of(screen: str, view: Any = None) -> str:
    """What the way back is kept for: the place of a screen; `SUSPECTS` for the fault sheet and what it leads to."""
    return SUSPECTS if screen in ("fault", "blame") else place_of(screen, view)


def is_of_a_rig(screen: str) -> bool:
    """Whether a screen can only be shown where a rig is open."""
    return bool(screen) and screen not in _OF_ANY


class Trail:
    """Where one came from: a tap on a place, or one that leads to the faults, keeps the screen it was made on.

    A place that one came through already is gone back to, so that the way back never runs in a circle. Whoever reaches
    a place in another way goes back from there as that screen itself has it.
    """

    def __init__(self) -> None:
        self._steps: list[tuple[str, str]] = []

    def visited(self, place: str, came_from: str) -> None:
        """A tap on ``place`` was made on the screen ``came_from``."""
        through = [way_of(screen) for _, screen in self._steps]
        if place in through:
            del self._steps[through.index(place) :]
        elif way_of(came_from) not in (place, "") and place != "rig":
            self._steps.append((place, came_from))

    def shown(self, place: str) -> None:
        """A screen of ``place`` is at the front."""
        while self._steps and place and self._steps[-1][0] != place:
            self._steps.pop()

    def back_from(self, place: str) -> str:
        """The screen that the way back from ``place`` leads to; empty where it is that screen's own."""
        return self._steps[-1][1] if self._steps and self._steps[-1][0] == place else ""

    def back(self) -> None:
        """The way back was taken."""
        self._steps.pop()
