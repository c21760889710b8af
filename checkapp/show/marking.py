"""Marks and repairs from the command line."""

from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple, cast

from checkapp.journal import kinds
from checkapp.journal.disputes import made_over
from checkapp.rig.change import CannotChange, OtherPort, changed
from checkapp.rig.codes import Tag, known_port, read_port
from checkapp.rig.errors import CheckappError, UnknownCode
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.rig.swapped import differences, swapped
from checkapp.rig.whole_tag import whole_tag
from checkapp.rig.words import Symptom
from checkapp.show.recording import Recorder, open_journal, run_of
from checkapp.show.running import Running, names_through
from checkapp.tongue import tr


class SymptomWithoutFault(CheckappError):
    """A symptom was given for a line that is ok."""


class SwapWithItself(CheckappError):
    """An item was to be swapped with itself."""


class Repaired(NamedTuple):
    """A repair that is on the disk: its entry's id, and what is worth a second look, in words."""

    entry_id: str
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Where:
    """Which plan, which show (None: the latest), whose initials, which journal (None: the user's own)."""

    plan: Path
    show: str | None = None
    by: str | None = None
    journal: Path | None = None


def mark(where: Where, line: str, verdict: str, *, symptom: str | None = None, note: str | None = None) -> str:
    """Mark a line; the entry's id, once it is on the disk. Errors: those of the plan, the line and the journal."""
    if verdict == "ok" and symptom is not None:
        raise SymptomWithoutFault(f'"{symptom}" goes with faulty, not with ok; leave --symptom out or mark faulty')
    rig = load_plan(where.plan)
    name = rig.line(line).line
    with open_journal(where.journal) as opened:
        recorder = Recorder(opened, rig)
        show = recorder.need_show(where.show, where.by)
        check = recorder.need_check(show, where.by)
        said: kinds.Verdict = "ok" if verdict == "ok" else "faulty"
        heard = cast(Symptom | None, symptom)
        over = made_over(recorder.state(show, check).marks, name, opened.device)
        draft = kinds.mark(name, said, plan=rig.digest, check=check, symptom=heard, note=note)
        return recorder.write(kinds.over(draft, over), show, where.by).id


def repair(where: Where, item: str, action: str, *, other: str | None = None, cleared: bool = True) -> Repaired:
    """Log a repair of an item of the rig as it runs, or of the plan's.

    With ``other``, a swap puts that in its place from then on, and a bypass of a port moves the line that is on it.
    What is swapped in is an item that nothing uses, or hired gear by its whole tag.

    What happened is logged also where the plan knows no such way (the other one is in use); the doubts say so then.

    Errors: as in `mark`; `SwapWithItself`; `CannotChange`: the other one is of another sort or does not fit.
    """
    rig = load_plan(where.plan)
    run = run_of(rig, where.journal)
    name = run.resolve(item)
    draft, doubts = repair_draft(run, name, cast(kinds.Action, action), other, cleared=cleared)
    with open_journal(where.journal) as opened:
        recorder = Recorder(opened, rig)
        show = recorder.need_show(where.show, where.by)
        return Repaired(recorder.write(draft, show, where.by).id, doubts)


def repair_draft(
    run: Running, name: str, action: kinds.Action, other: str | None, *, cleared: bool, firm: bool = False
) -> tuple[kinds.Draft, tuple[str, ...]]:
    """The repair of an item of the rig as it is logged, and doubts about it; arguments and errors as in `repair`.

    ``firm``: what the rig cannot run with is refused, not only logged.
    """
    if other is None:
        return kinds.repair(name, action, cleared=cleared), ()
    tag = None
    try:
        new = run.resolve(other)
    except UnknownCode:
        tag = whole_tag(other) if action == "swap" else None
        if tag is None:
            raise
        new = tag.code
    if new == name:
        raise SwapWithItself(f"{name} cannot take its own place; name the item put in with --with")
    if action == "swap":
        return _swap(run, name, new, tag, cleared=cleared, firm=firm)
    if action == "bypass" and read_port(name) and read_port(new):
        return _bypass(run, name, new, cleared=cleared, firm=firm)
    return kinds.repair(name, action, cleared=cleared, replacement=new), ()


def _swap(
    run: Running, old: str, new: str, tag: Tag | None, *, cleared: bool, firm: bool
) -> tuple[kinds.Draft, tuple[str, ...]]:
    """A swap, checked; ``tag`` is that of gear which neither the rig nor the plan knows."""
    known = run.rig if new in run.rig.items else run.planned
    owner = tag.owner if tag else known.owner_of(new)
    try:
        swapped(run.rig, old, new, owner)
    except CannotChange as error:
        if firm or tag is not None or not _alike(run.rig, old, new):
            raise
        return kinds.repair(old, "swap", cleared=cleared, replacement=new), (_only_logged(error),)
    doubts = differences(run.rig, old, new)
    if tag is not None:
        if bool(tag.end) != (old in run.rig.cables):
            told = {"tag": tag.text, "old": old}
            if tag.end:
                raise CannotChange(tr("{tag} is the tag of a cable's end, unlike {old}", **told))
            raise CannotChange(tr("{tag} is not the tag of a cable's end, unlike {old}", **told))
        doubts = (tr("the plan does not know {item}: it is taken to be like {old}", item=tag.item, old=old),)
    other = None if owner == run.rig.owner else owner
    lines = names_through(run.rig, old)
    return kinds.repair(old, "swap", cleared=cleared, replacement=new, owner=other, lines=lines), doubts


def _bypass(run: Running, port: str, other: str, *, cleared: bool, firm: bool) -> tuple[kinds.Draft, tuple[str, ...]]:
    """A way round a port: the line that is on it, if one is, goes to the other port."""
    line = next((line.line for line in run.rig.lines if line.port == port), None)
    plain = kinds.repair(port, "bypass", cleared=cleared, replacement=other)
    if line is None:
        return plain, ()
    try:
        path = changed(run.rig, [OtherPort(line, other)]).path(line)
    except CannotChange as error:
        if firm or known_port(port).direction != known_port(other).direction:
            raise
        return plain, (_only_logged(error),)
    return kinds.repair(port, "bypass", cleared=cleared, replacement=other, lines=[line], path=path), ()


def _alike(rig: Rig, old: str, new: str) -> bool:
    """Whether both are items of the rig and of one sort."""
    return any(old in table and new in table for table in (rig.cables, rig.boxes, rig.supplies, rig.sources))


def _only_logged(error: CannotChange) -> str:
    return tr("{error}; it is in the log, and the rig runs as before", error=error)
