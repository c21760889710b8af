"""Marks and repairs from the command line."""

from dataclasses import dataclass
from pathlib import Path
from typing import cast

from checkapp.journal import kinds
from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.rig.words import Symptom
from checkapp.show.recording import Recorder, open_journal


class SymptomWithoutFault(CheckappError):
    """A symptom was given for a line that is ok."""


class SwapWithItself(CheckappError):
    """An item was to be swapped with itself."""


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
        draft = kinds.mark(name, said, plan=rig.digest, check=check, symptom=heard, note=note)
        return recorder.write(draft, show, where.by).id


def repair(where: Where, item: str, action: str, *, other: str | None = None, cleared: bool = True) -> str:
    """Log a repair of an item; the entry's id, once it is on the disk. Errors: as in `mark`."""
    rig = load_plan(where.plan)
    name = rig.resolve(item)
    replacement = None if other is None else rig.resolve(other)
    if replacement == name:
        raise SwapWithItself(f"{name} cannot take its own place; name the item put in with --with")
    with open_journal(where.journal) as opened:
        recorder = Recorder(opened, rig)
        show = recorder.need_show(where.show, where.by)
        draft = kinds.repair(name, cast(kinds.Action, action), cleared=cleared, replacement=replacement)
        return recorder.write(draft, show, where.by).id
