"""The rig as it runs: the plan with the swaps and moves that the journal holds made on it."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from checkapp.journal import setup_kinds
from checkapp.journal.changes import RigChange, result_now
from checkapp.journal.kinds import Draft
from checkapp.journal.replay import Fate, Replay
from checkapp.journal.setup_kinds import Moved, Swapped
from checkapp.rig.change import OtherPort, changed
from checkapp.rig.errors import UnknownCode, printable
from checkapp.rig.rig import Rig
from checkapp.rig.swapped import swapped, used_by
from checkapp.show.card_words import lines_through
from checkapp.tongue import tr


@dataclass(frozen=True, slots=True)
class Running:
    """A rig as it runs.

    ``planned`` is the rig of the plan file, ``rig`` the copy with the changes made (the very same where there are
    none), ``made`` those that were made, ``left_out`` in words those that do not fit this plan any more and those that
    gave way to another tablet's. Of a change that the plan has already nothing is said.
    """

    planned: Rig
    rig: Rig
    made: tuple[RigChange, ...] = ()
    left_out: tuple[str, ...] = ()

    def resolve(self, typed: str) -> str:
        """The item that a person typed or scanned: of the rig as it runs, else of the plan. Errors: `Rig.resolve`."""
        try:
            return self.rig.resolve(typed)
        except UnknownCode as unknown:
            if self.rig is self.planned:
                raise
            try:
                return self.planned.resolve(typed)
            except UnknownCode:
                raise unknown from None


def as_run(rig: Rig, changes: Sequence[RigChange]) -> Running:
    """The rig of a plan with these swaps and moves, in the order of the story, made on it."""
    if not changes:
        return Running(rig, rig)
    runs = _RigRuns(rig)
    replay = Replay(runs)
    fates = [(change, replay.make(change)) for change in changes]
    made = tuple(change for change, fate in fates if fate.made)
    return Running(rig, runs.rig, made, tuple(_left_out(runs, fates, changes)))


def swap_draft(rig: Rig, old: str, new: str, owner: str | None = None) -> Draft:
    """The log's words for a swap in the rig as it runs; ``owner`` is that of hired gear. Nothing is checked here."""
    return setup_kinds.swap(old, new, owner=owner, lines=names_through(rig, old))


def move_draft(rig: Rig, line: str, port: str) -> Draft:
    """The log's words for a line of the rig as it runs that goes to a free port. `CannotChange`: it cannot."""
    after = changed(rig, [OtherPort(line, port)])
    return setup_kinds.move(line, rig.line(line).port, port, after.path(line))


def names_through(rig: Rig, item: str) -> tuple[str, ...]:
    """The names of the lines that run through an item."""
    return tuple(line.line for line in lines_through(rig, item))


def words_of(change: RigChange) -> str:
    """A change in words, with who made it: ``SP01 in for XL07, JD``."""
    what = change.what
    if isinstance(what, Swapped):
        done = tr("{new} in for {old}", new=what.new, old=what.old)
    else:
        done = tr("{line} moved to {port}", line=what.line, port=what.to_port)
    return printable(", ".join(filter(None, (done, change.by))), 120)


class _RigRuns:
    """A rig that changes are made on."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig

    def uses(self, item: str) -> bool:
        return bool(used_by(self.rig, item))

    def runs(self, item: str, lines: Collection[str]) -> bool:
        paths = (self.rig.path(line.line) for line in self.rig.lines if line.line in lines)
        return any(on_path.name == item for path in paths for on_path in path)

    def port(self, line: str) -> str | None:
        return next((one.port for one in self.rig.lines if one.line == line), None)

    def swap(self, what: Swapped) -> None:
        owner = None if what.new in self.rig.items else what.owner
        self.rig = swapped(self.rig, what.old, what.new, owner)

    def move(self, what: Moved) -> None:
        self.rig = changed(self.rig, [OtherPort(what.line, what.to_port)])


def _left_out(runs: _RigRuns, fates: Sequence[tuple[RigChange, Fate]], changes: Sequence[RigChange]) -> Iterator[str]:
    for change, fate in fates:
        if fate.over is not None:
            yield tr("{change}: later {other}, which holds", change=words_of(fate.over), other=words_of(change))
        elif fate.why and not _is_so(runs, change, result_now(change, changes)):
            yield f"{words_of(change)}: {fate.why}"


def _is_so(runs: _RigRuns, change: RigChange, result: str) -> bool:
    """Whether the plan has what a change, with all that came after it, brought about."""
    what = change.what
    if isinstance(what, Moved):
        return runs.port(what.line) == result
    if result == what.old:
        return True
    if what.lines:
        return runs.runs(result, what.lines)
    return runs.uses(result) and not runs.uses(what.old)
