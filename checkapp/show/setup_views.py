"""What the set-up screens show: plain values, words ready to be read, no toolkit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from checkapp.show.views import Status

if TYPE_CHECKING:
    from checkapp.show.card import Card

Mode = Literal["check", "swap", "move"]


@dataclass(frozen=True, slots=True)
class Answer:
    """What is said to the last scan or tap: how it stands, what is so or what to do, and why or what else.

    ``short`` is what of ``more`` must be seen where there is little room; empty: all of it.
    """

    status: Status
    words: str
    more: str = ""
    short: str = ""


@dataclass(frozen=True, slots=True)
class SetUpRow:
    """One thing to do in set-up: a box to place (``end`` is empty, ``item`` its code), or a cable's end to plug.

    ``port`` is where the end goes (the first of its ports there); both go back with a tap that ticks it. ``title`` is
    what is read first, ``detail`` the rest; ``said`` tells who did it and when, or what was found wrong.
    """

    item: str
    end: str
    port: str
    title: str
    detail: str
    status: Status
    said: str


@dataclass(frozen=True, slots=True)
class SetUpPlace:
    """A place on stage, or an area, and what is to do there."""

    name: str
    done: int
    total: int
    rows: tuple[SetUpRow, ...]


@dataclass(frozen=True, slots=True)
class SetUpView:
    """The set-up screen.

    ``here`` is the box that ends are checked against, or the end that waits for its box, in words; empty for neither.
    ``to_do`` is the next thing in words, ``next_row`` its row. In the modes swap and move ``prompt`` says what to scan;
    ``confirm`` is the word of the one button that goes on from there, empty when a scan is awaited. ``card`` is that of
    what was scanned last, ``card_first`` whether it says more than the answer does (a box, a supply, a source was
    scanned for itself, not to check an end); ``to_set`` counts the settings on boxes that are still to be made.
    """

    title: str
    show_title: str
    boxes_placed: int
    boxes: int
    ends_connected: int
    ends: int
    progress: str
    here: str
    answer: Answer | None
    to_do: str
    next_row: SetUpRow | None
    places: tuple[SetUpPlace, ...]
    can_undo: bool
    mode: Mode = "check"
    prompt: str = ""
    confirm: str = ""
    card: Card | None = None
    card_first: bool = False
    to_set: int = 0

    @property
    def complete(self) -> bool:
        """Whether everything is placed, set and connected."""
        return self.boxes_placed == self.boxes and self.ends_connected == self.ends and not self.to_set


@dataclass(frozen=True, slots=True)
class ScanView:
    """What a scan outside set-up shows: the answer, and the card where the code names something of the rig."""

    answer: Answer
    card: Card | None
