"""The walk through the lines of a show: where it stands, what the screen shows of one line, which line is next."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, islice
from typing import Final, NamedTuple
from weakref import WeakKeyDictionary

from checkapp.journal.state import LineMark
from checkapp.rig.model import Input, Item, Line
from checkapp.rig.rig import Rig
from checkapp.show.cautions import MUTE_PHANTOM, PHANTOM
from checkapp.show.jump import NO_NUMBERS, Numbers
from checkapp.show.pace import left_words, pace_words
from checkapp.show.saving_words import marked_words, saved_words
from checkapp.show.views import NOTHING_COMES, CheckView, Coming, LineRow, RunItem, Status, WalkView
from checkapp.show.walk_only import Only, only_words
from checkapp.tongue import language, shown_names, shown_word, tr

_KEPT: Final = 4
"""Of so many lines of a rig what is shown is kept."""
_SHOWN: Final[WeakKeyDictionary[Rig, dict[tuple[str, str], Coming]]] = WeakKeyDictionary()
"""What is shown of lines, by line and language, for each rig as long as that is there."""


class Counts(NamedTuple):
    """How many lines of a check stand so; each line is counted once.

    ``ok`` and ``faulty`` are marked so, on the disk, and no other tablet's mark disagrees. ``waiting`` have a mark that
    is not on the disk yet, ``disputed`` two that disagree, ``open`` none.
    """

    ok: int
    faulty: int
    waiting: int
    disputed: int
    open: int


@dataclass(frozen=True)
class Walk:
    """A check of one rig at one moment: the latest mark of each line, and the line that is being looked at.

    ``unsaved`` are the ids of entries that are not on the disk yet: marks of these are counted apart. ``order`` names
    the lines in the order in which they are walked, empty: as in the list; lines that it does not name come after it.
    ``only`` are the lines that are gone through, None: all. ``each_s`` is the usual time of a line in seconds.
    """

    rig: Rig
    show_title: str
    marks: Mapping[str, LineMark]
    line: str
    message: str = ""
    can_undo: bool = False
    unsaved: frozenset[str] = frozenset()
    order: tuple[str, ...] = ()
    only: Only | None = None
    each_s: float | None = None
    numbers: Numbers = NO_NUMBERS

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names of all lines, in the order in which they are walked."""
        lines = self.rig.lines_by_name
        names = tuple(lines)
        if not self.order or self.order == names:
            return names
        return tuple(dict.fromkeys((*(name for name in self.order if name in lines), *names)))

    @cached_property
    def open(self) -> tuple[str, ...]:
        """The lines that are not marked."""
        return tuple(name for name in self.names if name not in self.marks)

    @cached_property
    def counts(self) -> Counts:
        """How the lines stand, in numbers."""
        lines, marks = self.rig.lines_by_name, self.marks
        if not marks.keys() <= lines.keys():
            marks = {name: mark for name, mark in marks.items() if name in lines}
        odd = [
            mark
            for mark in marks.values()
            if mark.verdict != "ok" or mark.against is not None or mark.entry_id in self.unsaved
        ]
        waiting = sum(mark.entry_id in self.unsaved for mark in odd)
        disputed = sum(mark.against is not None and mark.entry_id not in self.unsaved for mark in odd)
        return Counts(
            ok=len(marks) - len(odd),
            faulty=len(odd) - waiting - disputed,
            waiting=waiting,
            disputed=disputed,
            open=len(lines) - len(marks),
        )

    @cached_property
    def disputed(self) -> frozenset[str]:
        """The lines with two marks that disagree, on the disk."""
        marks = ((name, self.marks[name]) for name in self.names if name in self.marks)
        return frozenset(name for name, mark in marks if mark.against and mark.entry_id not in self.unsaved)

    @property
    def gone_through(self) -> tuple[str, ...]:
        """The lines that the walk goes through, in its order; the line that it is at is always one of them."""
        if self.only is None:
            return self.names
        return tuple(name for name in self.names if name in self.only.names or name == self.line)

    def step(self, by: int) -> str:
        """The line so many places on in the walk; at its ends it stays."""
        names = self.gone_through
        return names[min(max(names.index(self.line) + by, 0), len(names) - 1)]

    def next_open(self) -> str:
        """The next line to be marked, from the start again after the end; the same line when none is left."""
        return next(self.coming(), self.line)

    def coming(self) -> Iterator[str]:
        """The lines that are still to be marked in the order in which the walk comes to them, its own line last."""
        at = self.names.index(self.line) + 1
        for name in chain(islice(self.names, at, None), islice(self.names, at)):
            if name not in self.marks if self.only is None else name in self.only.todo:
                yield name


def walk_view(walk: Walk) -> WalkView:
    """What the walk screen shows."""
    rig, names = walk.rig, walk.names
    line = rig.line(walk.line)
    at = names.index(walk.line)
    shown = _shown_of(rig, line)
    counts = walk.counts
    left = counts.open
    next_ones = tuple(rig.line(name) for name in islice((one for one in walk.coming() if one != walk.line), 3))
    then = tuple(_called(one) for one in next_ones)
    return WalkView(
        show_title=walk.show_title,
        line=walk.line,
        number=number_of(line),
        name=line.name,
        facts=shown.facts,
        caution=shown_word(PHANTOM) if _takes_phantom(line) else "",
        run=shown.run,
        status=status_of(walk.marks.get(walk.line), walk.unsaved),
        said=said_of(walk.marks.get(walk.line), walk.unsaved),
        then=then[:2],
        marked=len(names) - left,
        total=len(names),
        ok=counts.ok,
        faulty=counts.faulty,
        open=left,
        progress=_progress(at, names),
        counts=counts_words(walk),
        message=walk.message,
        can_undo=walk.can_undo,
        complete=left == 0 and not counts.disputed,
        waiting=counts.waiting,
        disputed=counts.disputed,
        say=shown.say,
        left=left_words(walk.each_s, left),
        pace=pace_words(walk.each_s),
        only=only_words(walk.only),
        short_caution=shown_word(MUTE_PHANTOM) if _takes_phantom(line) else "",
        numbers=walk.numbers,
        coming=_what_comes(walk, next_ones[0], then[1:]) if then else NOTHING_COMES,
    )


def _what_comes(walk: Walk, line: Line, then: tuple[str, ...]) -> Coming:
    """What is shown of the next line, after the walk's own was marked ok."""
    shown = _shown_of(walk.rig, line)
    progress = _progress(walk.names.index(line.line), walk.names)
    return shown._replace(progress=progress, then=then, message=saved_words(marked_words(walk.line, "ok")))


def _shown_of(rig: Rig, line: Line) -> Coming:
    """What is shown of a line as long as the rig and the language are the same: of what comes it is asked twice."""
    kept, wanted = _SHOWN.setdefault(rig, {}), (line.line, language())
    if wanted not in kept:
        if len(kept) == _KEPT:
            kept.clear()
        kept[wanted] = Coming(run_of(rig, line), facts_of(rig, line), say_of(line))
    return kept[wanted]


def _progress(at: int, names: tuple[str, ...]) -> str:
    return tr("{at} of {count}", at=at + 1, count=len(names))


def _takes_phantom(line: Line) -> bool:
    return isinstance(line, Input) and line.phantom


def _called(line: Line) -> str:
    return f"{number_of(line)}  {line.name}"


def say_of(line: Line) -> str:
    """What is read out after the line's name: its zone, where the plan gives one, and its port."""
    return ", ".join(word for word in (line.zone, line.port) if word)


def counts_words(walk: Walk) -> str:
    """``41 ok, 2 faulty, 5 open``; what is not saved yet, and where two marks disagree, before what is open."""
    found = walk.counts
    counts = [tr("{count} ok", count=found.ok), tr("{count} faulty", count=found.faulty)]
    if found.waiting:
        counts.append(tr("{count} not saved yet", count=found.waiting))
    if found.disputed:
        counts.append(tr("{count} to settle", count=found.disputed))
    return ", ".join((*counts, tr("{count} open", count=found.open)))


def number_of(line: Line) -> str:
    """An input's number, or ``out 2``: what is said first."""
    return str(line.number) if isinstance(line, Input) else line.line


def facts_of(rig: Rig, line: Line) -> tuple[str, ...]:
    """Cable, level and phantom, each where the plan gives it; then stand and note."""
    cable = line.cable or ""
    if cable and rig.cable_kind(rig.cables[cable]).ways > 1:
        cable = tr("{cable} way {way}", cable=cable, way=line.way)
    facts: list[str | None] = [cable]
    if isinstance(line, Input):
        facts += [shown_word(line.level), tr("phantom") if line.phantom else "", line.stand]
    return tuple(fact for fact in (*facts, line.note) if fact)


def run_of(rig: Rig, line: Line) -> tuple[RunItem, ...]:
    """The line's path as it is drawn, from source (or load) to desk."""
    return tuple(RunItem(item.name, item.kind, _label(item, line)) for item in rig.path(line.line))


def _label(item: Item, line: Line) -> str:
    if item.kind == "source" and " " in item.name:
        return tr("source") if isinstance(line, Input) else tr("load")
    return tr("desk") if item.kind == "desk" else shown_names(item.name)


def status_of(mark: LineMark | None, unsaved: frozenset[str] = frozenset()) -> Status:
    """The status that a line's mark gives it: one that is not saved yet, or that another tablet's disagrees with, is
    neither ok nor faulty."""
    if mark is None:
        return "open"
    if mark.entry_id in unsaved or mark.against is not None:
        return "look"
    return "ok" if mark.verdict == "ok" else "faulty"


def said_of(mark: LineMark | None, unsaved: frozenset[str] = frozenset()) -> str:
    """The mark in words: symptom, note, who; before them, of one that is not saved yet, that and the verdict.

    Of two that disagree, both verdicts and who said them.
    """
    if mark is None:
        return ""
    if mark.against is not None and mark.entry_id not in unsaved:
        return two_marks(mark, mark.against)
    verdict = shown_word(mark.verdict)
    waits = tr("{verdict}, not saved yet", verdict=verdict) if mark.entry_id in unsaved else ""
    return ", ".join(word for word in (waits, shown_word(mark.symptom or ""), mark.note, mark.by) if word)


def two_marks(one: LineMark, other: LineMark) -> str:
    """Two marks that disagree, the earlier one first: ``two marks disagree: ok JD, faulty AB``."""
    first, second = (f"{shown_word(mark.verdict)} {mark.by or ''}".strip() for mark in (other, one))
    return tr("two marks disagree: {first}, {second}", first=first, second=second)


def line_rows(walk: Walk) -> tuple[LineRow, ...]:
    """All lines as a list."""
    return tuple(_row(walk, name) for name in walk.names)


def _row(walk: Walk, name: str) -> LineRow:
    line, mark = walk.rig.line(name), walk.marks.get(name)
    status, said = status_of(mark, walk.unsaved), said_of(mark, walk.unsaved)
    return LineRow(name, number_of(line), line.name, line.port, line.zone or "", status, said)


def check_view(walk: Walk, title: str, detail: str, *, signed_off: bool) -> CheckView:
    """The check as a whole, with what is left open by name."""
    rows = line_rows(walk)
    left = [row for row in rows if row.status == "open"]
    faulty = [row for row in rows if row.status == "faulty"]
    disputed = [row for row in rows if row.line in walk.disputed]
    waiting = [row for row in rows if row.status == "look" and row not in disputed]
    words = _sign_off_words(len(disputed), len(faulty), len(left), signed_off=signed_off)
    if waiting:
        words = tr("{count} not saved yet", count=len(waiting))
    return CheckView(
        title=title,
        detail=detail,
        counts=counts_words(walk),
        signed_off=signed_off,
        can_sign_off=not signed_off and not waiting and len(left) < len(rows),
        sign_off_words=words,
        faulty=tuple(faulty),
        open=tuple(left),
        ok=tuple(row for row in rows if row.status == "ok"),
        waiting=tuple(waiting),
        disputed=tuple(disputed),
    )


def _sign_off_words(disputed: int, faulty: int, left: int, *, signed_off: bool) -> str:
    counts = (
        tr("{count} to settle", count=disputed) if disputed else "",
        tr("{count} faulty", count=faulty) if faulty else "",
        tr("{count} open", count=left) if left else "",
    )
    words = ", ".join(filter(None, counts))
    if signed_off:
        return tr("signed off with {counts}", counts=words) if words else tr("signed off")
    return tr("sign off with {counts}", counts=words) if words else tr("sign off")
