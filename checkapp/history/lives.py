"""What happened to each item over all rigs, shows and tours: the plain data that history starts from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from checkapp.rig.words import ItemKind


@dataclass(frozen=True, slots=True)
class Life:
    """An item, known by owner and code (``SM.XL07``), whatever rig it was in.

    ``exposures``: how many checks marked at least one line through it. ``faults``: for each confirmed fault, a repair
    that named it and cleared, the number of the exposure (1, 2, ...) in which that was, in order; one before the first
    exposure counts as in the first. ``first_at`` and ``last_at``: the times of its first and last exposure (UTC, ISO
    8601, empty without). ``pulled_at`` is when it was pulled, None while it is not out; ``pulled_at_last`` tells that
    it was pulled at its last fault and not exposed since. ``bench``: the latest bench result, True for passed.
    """

    item: str
    kind: ItemKind
    exposures: int
    faults: tuple[int, ...] = ()
    first_at: str = ""
    last_at: str = ""
    pulled_at: str | None = None
    pulled_at_last: bool = False
    bench: bool | None = None


@dataclass(frozen=True, slots=True)
class FaultMade:
    """A confirmed fault: the item, when and where it was cleared, what was heard before, what was done.

    ``lines`` are those that were faulty through it, ``symptoms`` what was heard on them (those that were said),
    ``open_minutes`` how long the first of them was faulty before it was cleared (None: not known). ``again`` tells that
    the item had been repaired before and failed once more.
    """

    item: str
    kind: ItemKind
    at: str
    rig: str
    show: str
    place: str
    by: str
    action: str
    put_in: str | None
    lines: tuple[str, ...]
    symptoms: tuple[str, ...]
    open_minutes: float | None
    again: bool


@dataclass(frozen=True, slots=True)
class Unconfirmed:
    """A line that was faulty in a check and that no repair cleared."""

    line: str
    at: str
    rig: str
    show: str
    symptom: str | None
    by: str


@dataclass(frozen=True, slots=True)
class CheckDone:
    """A check: its show, when it began, how many lines were marked, and how long that took from first to last mark."""

    rig: str
    show: str
    venue: str
    date: str
    at: str
    lines: int
    faulty: int
    minutes: float
    crew: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BenchDone:
    """A test of an item on the bench: when, by whom, its loop resistance where it was measured, whether it passed."""

    item: str
    at: str
    by: str
    ohms: float | None
    passed: bool


@dataclass(frozen=True, slots=True)
class Tally:
    """All that a journal tells of what failed. Items by name, everything else by time."""

    lives: tuple[Life, ...]
    faults: tuple[FaultMade, ...] = ()
    unconfirmed: tuple[Unconfirmed, ...] = ()
    checks: tuple[CheckDone, ...] = ()
    benched: tuple[BenchDone, ...] = ()
