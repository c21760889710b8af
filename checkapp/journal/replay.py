"""Swaps and moves made again, one after the other, on whatever can run: a rig, or no more than its lines' paths.

They are told of one plan and may be made on a later one, and two tablets may have told of the same place: what is made,
what gives way and what does not fit is decided here, once.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple, Protocol

from checkapp.journal.setup_kinds import Moved, Swapped
from checkapp.rig.change import CannotChange
from checkapp.rig.codes import read_port
from checkapp.rig.swapped import renamed

if TYPE_CHECKING:
    from checkapp.journal.changes import RigChange


class Runs(Protocol):
    """What swaps and moves are made on."""

    def uses(self, item: str) -> bool:
        """Whether anything runs through the item."""

    def runs(self, item: str, lines: Collection[str]) -> bool:
        """Whether one of those lines runs through the item."""

    def port(self, line: str) -> str | None:
        """The port that a line is on; None for no such line."""

    def swap(self, what: Swapped) -> None:
        """Let an item take the place of another. `CannotChange`: it cannot."""

    def move(self, what: Moved) -> None:
        """Let a line go to another port. `CannotChange`: it cannot."""


class Fate(NamedTuple):
    """What became of a change: whether it was made, over which earlier one, and why not (empty: it was so already)."""

    made: bool
    over: RigChange | None = None
    why: str = ""


class Replay:
    """Makes changes on something that runs, in the order in which they are given."""

    def __init__(self, on: Runs) -> None:
        self._on = on
        self._out: dict[str, tuple[str, RigChange]] = {}
        self._left: dict[str, dict[str, RigChange]] = {}

    def make(self, change: RigChange) -> Fate:
        """Make a change, or tell why not."""
        what = change.what
        try:
            return self._swap(change, what) if isinstance(what, Swapped) else self._move(change, what)
        except CannotChange as error:
            return Fate(False, None, str(error))

    def _swap(self, change: RigChange, what: Swapped) -> Fate:
        old, over = self._now(what.old)
        if old == what.new:
            return Fate(False)
        if not self._on.uses(old):
            return Fate(False, None, f"{what.old} is not in use")
        if what.lines and not self._on.runs(old, what.lines):
            return Fate(False, None, f"{old} has another place in this plan")
        self._on.swap(replace(what, old=old))
        self._out[old] = (what.new, change)
        self._out.pop(what.new, None)
        for line, ports in self._left.items():
            self._left[line] = {renamed(port, old, what.new): moved for port, moved in ports.items()}
        return Fate(True, over)

    def _move(self, change: RigChange, told: Moved) -> Fate:
        called = self._called_now
        path = tuple((called(name), kind) for name, kind in told.path)
        what = Moved(told.line, called(told.from_port), called(told.to_port), path)
        at, left = self._on.port(what.line), self._left.setdefault(what.line, {})
        if at == what.to_port:
            return Fate(False)
        if at is None or (at != what.from_port and what.from_port not in left):
            return Fate(False, None, f"{what.line} is on {at} in this plan" if at else f"there is no {what.line}")
        self._on.move(what)
        over = None if at == what.from_port else left[what.from_port]
        left[at] = change
        return Fate(True, over)

    def _now(self, item: str) -> tuple[str, RigChange | None]:
        """What sits in the place of an item that is out of use since a swap, and the change that put it there."""
        over = None
        while not self._on.uses(item) and item in self._out:
            item, over = self._out[item]
        return item, over

    def _called_now(self, name: str) -> str:
        """An item or a port by its name of now, where it was told by one that another tablet had swapped."""
        port = read_port(name)
        return self._now(name)[0] if port is None else renamed(name, port.code, self._now(port.code)[0])
