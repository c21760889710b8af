"""Where the line check of a rig stands."""

from dataclasses import dataclass, field
from pathlib import Path

from checkapp.journal.errors import NoJournal
from checkapp.journal.state import LineMark
from checkapp.review.summary import counted
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.recording import Recorder, UnknownShow, find_show, open_journal
from checkapp.show.running import words_of
from checkapp.show.walk import said_of

_MOST_CHANGES = 4


@dataclass(frozen=True, slots=True)
class Standing:
    """A rig as it runs, the show's name (None when none was made), how many of its checks are over, each line's mark.

    ``again`` are marks that count no more: their lines are to be marked again. ``changes`` are the swaps and moves
    since the plan, ``left_out`` those that do not fit it, in words.
    """

    rig: Rig
    show: str | None
    signed_off: bool
    earlier: int
    marks: dict[str, LineMark]
    again: dict[str, LineMark] = field(default_factory=dict)
    changes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()

    def count(self, verdict: str | None) -> int:
        """How many lines are marked so; with None, how many are not marked."""
        verdicts = [mark.verdict if (mark := self.marks.get(line.line)) else None for line in self.rig.lines]
        return verdicts.count(verdict)  # type: ignore[arg-type]


def state_of(plan: Path, show: str | None, journal: Path | None) -> Standing:
    """Where the check of a show stands, the latest without a name. Nothing is written, and no journal is made."""
    rig = load_plan(plan)
    try:
        opened = open_journal(journal, create=False)
    except NoJournal:
        if show is not None:
            raise UnknownShow(f'no show "{show}"; nothing was marked yet in this journal') from None
        return Standing(rig, None, False, 0, {})
    with opened:
        recorder = Recorder(opened, rig)
        run = recorder.run()
        changes = tuple(map(words_of, run.made))
        found = find_show(recorder.shows(), show)
        if found is None:
            return Standing(run.rig, None, False, 0, {}, {}, changes, run.left_out)
        state = recorder.state(found.name)
        earlier = max(0, len(state.checks) - 1)
        return Standing(run.rig, found.name, state.signed_off, earlier, state.lines, state.again, changes, run.left_out)


def document(found: Standing) -> dict[str, object]:
    """The JSON document of the state."""
    rows: list[dict[str, object]] = []
    for line in found.rig.lines:
        mark = found.marks.get(line.line)
        row: dict[str, object] = {"line": line.line, "name": line.name}
        for key in ("verdict", "symptom", "note", "by", "at"):
            row[key] = getattr(mark, key) if mark else None
        rows.append(row)
    counts = {"ok": found.count("ok"), "faulty": found.count("faulty"), "unmarked": found.count(None)}
    return {"rig": found.rig.name, "show": found.show, "lines": rows, **counts}


def text_of(found: Standing) -> list[str]:
    """The state in words: counts, then the lines that are faulty or open."""
    show = f", {found.show}" if found.show else ", no show yet"
    done = ", signed off" if found.signed_off else ""
    counts = f"{found.count('ok')} ok, {found.count('faulty')} faulty, {found.count(None)} open"
    lines = [f"{found.rig.name}{show}{done}: {counts}"]
    if found.earlier:
        lines.append(f"  before this: {counted(found.earlier, 'check')} of the same show, signed off")
    if found.changes:
        latest = (*found.changes[-_MOST_CHANGES:], *_and_more(len(found.changes) - _MOST_CHANGES))
        lines.append(f"  not as planned: {'; '.join(latest)}")
    lines += [f"  left out, {words}" for words in found.left_out]
    for line in found.rig.lines:
        mark = found.marks.get(line.line)
        if mark is None or mark.verdict == "faulty":
            word = "open  " if mark is None else "faulty"
            lines.append(f"  {word}  {line.line:<7} {line.name}  {said_of(mark) or _before(found, line.line)}".rstrip())
    return lines


def _and_more(count: int) -> list[str]:
    return [f"{count} more before"] if count > 0 else []


def _before(found: Standing, line: str) -> str:
    """What a line was marked before something on its way was repaired, swapped or moved."""
    mark = found.again.get(line)
    return f"again: was {' '.join((mark.verdict, said_of(mark)))}" if mark else ""
