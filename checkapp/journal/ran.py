"""What each line ran through at any moment: the plan's paths with the swaps and moves made on them, one by one."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Mapping, Sequence
from operator import itemgetter
from typing import TYPE_CHECKING

from checkapp.journal.replay import Replay
from checkapp.rig.change import CannotChange
from checkapp.rig.swapped import renamed
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.journal.changes import RigChange
    from checkapp.journal.entry import Order
    from checkapp.journal.kinds import Path
    from checkapp.journal.setup_kinds import Moved, Swapped


class Ran:
    """The paths of a plan's lines, as a `rig` entry holds them, through the story of a rig.

    ``changes`` are that rig's, in the order of the story.
    """

    def __init__(self, planned: Mapping[str, Path], changes: Sequence[RigChange]) -> None:
        self._changes = changes
        self._orders = [change.order for change in changes]
        paths = _Paths(planned)
        replay = Replay(paths)
        self._told: dict[str, list[tuple[int, Path]]] = {line: [(0, path)] for line, path in planned.items()}
        for number, change in enumerate(changes, 1):
            replay.make(change)
            for line in paths.take_changed():
                self._told[line].append((number, paths.paths[line]))

    def path(self, line: str, order: Order | None = None) -> Path:
        """What a line ran through at that place in the story, what happened just there left out; None: at its end.

        Empty for a line that the plan does not have.
        """
        moment = len(self._changes) if order is None else bisect_left(self._orders, order)
        return self._at(line, moment)

    def after(self, line: str, order: Order) -> Iterator[tuple[RigChange, Path, Path]]:
        """The changes from that place in the story on, each with what the line ran through before and after it."""
        for number in range(bisect_left(self._orders, order), len(self._changes)):
            yield self._changes[number], self._at(line, number), self._at(line, number + 1)

    def versions(self) -> Iterator[tuple[str, int, Path]]:
        """Each line's paths: from how many changes made on it ran so; the lines one by one, in the plan's order."""
        for line, told in self._told.items():
            for moment, path in told:
                yield line, moment, path

    def _at(self, line: str, moment: int) -> Path:
        told = self._told.get(line, ())
        return told[bisect_right(told, moment, key=itemgetter(0)) - 1][1] if told else ()


class _Paths:
    """Paths that changes are made on."""

    def __init__(self, planned: Mapping[str, Path]) -> None:
        self.paths = dict(planned)
        self._changed: dict[str, None] = {}
        self._lines: dict[str, set[str]] = {}
        for line in planned:
            self._note(line)

    def _note(self, line: str) -> None:
        for name, _ in self.paths[line]:
            self._lines.setdefault(name, set()).add(line)

    def _set(self, line: str, path: Path) -> None:
        for name, _ in self.paths[line]:
            self._lines[name].discard(line)
        self.paths[line] = path
        self._changed[line] = None
        self._note(line)

    def take_changed(self) -> tuple[str, ...]:
        """The lines whose paths were changed since this was last asked."""
        changed, self._changed = tuple(self._changed), {}
        return changed

    def uses(self, item: str) -> bool:
        return bool(self._lines.get(item))

    def runs(self, item: str, lines: Collection[str]) -> bool:
        return not self._lines.get(item, set()).isdisjoint(lines)

    def port(self, line: str) -> str | None:
        return next((name for name, kind in self.paths.get(line, ()) if kind == "port"), None)

    def swap(self, what: Swapped) -> None:
        if self.uses(what.new):
            raise CannotChange(tr("{item} is in use", item=what.new))
        for line in tuple(self._lines[what.old]):
            path = tuple((renamed(name, what.old, what.new), kind) for name, kind in self.paths[line])
            self._set(line, path)

    def move(self, what: Moved) -> None:
        if self.uses(what.to_port):
            raise CannotChange(tr("{item} is in use", item=what.to_port))
        path = self.paths[what.line]
        at = self.port(what.line)
        head, tail = path[: _first_port(path)], what.path[_first_port(what.path) :]
        if not tail or tail[0][0] != what.to_port:
            tail = tuple((what.to_port if name == at else name, kind) for name, kind in path[len(head) :])
        self._set(what.line, (*head, *tail))


def _first_port(path: Path) -> int:
    return next((number for number, (_, kind) in enumerate(path) if kind == "port"), len(path))
