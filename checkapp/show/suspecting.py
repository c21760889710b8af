"""Who is to blame for what was heard, and what to try next: from the journal, or from a CSV of marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast

from checkapp.diagnose.chances import chances_of
from checkapp.diagnose.evidence import Heard, faulty_now
from checkapp.diagnose.next_test import NextTest, minutes_of, next_tests
from checkapp.diagnose.posterior import Diagnosis, diagnose
from checkapp.journal.errors import NoJournal
from checkapp.journal.heard import HeardMark, read_heard
from checkapp.rig.change import CannotChange, OtherPort, changed
from checkapp.rig.codes import known_port
from checkapp.rig.model import Item
from checkapp.rig.occupied import free_ports, ports_used
from checkapp.rig.planfile import load_plan
from checkapp.rig.words import ITEM_KINDS, Symptom
from checkapp.show.learning import learn
from checkapp.show.recording import Recorder, UnknownShow, find_show, open_journal

if TYPE_CHECKING:
    from checkapp.diagnose.chances import Chances
    from checkapp.diagnose.private import Hearing
    from checkapp.rig.rig import Rig

LEAST: Final = 1e-4
"""A suspect that is less likely than this is not named."""
_MOST_MOVED: Final = 12
"""Free ports are looked for for so many faulty lines at most."""


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A rig as it runs, the show (None: no show, or marks from a file), what was heard, and what follows from it."""

    rig: Rig
    show: str | None
    heard: tuple[Heard, ...]
    diagnosis: Diagnosis
    tests: tuple[NextTest, ...]

    @property
    def faulty(self) -> tuple[str, ...]:
        """The lines that are marked faulty now."""
        return faulty_now(paths_of(self.rig), self.heard)


def suspects_of(plan: Path, show: str | None, journal: Path | None, *, history: bool = True) -> Suspicion:
    """From the journal: the latest show's current check, or that of ``show``. No journal is made.

    ``history``: what failed before sharpens the chances, unless the plan forbids it.

    Errors: those of the plan and of the journal; `UnknownShow`; `checkapp.diagnose.errors.ImpossibleEvidence`.
    """
    rig = load_plan(plan)
    try:
        opened = open_journal(journal, create=False)
    except NoJournal:
        if show is not None:
            raise UnknownShow(f'no show "{show}"; nothing was marked yet in this journal') from None
        return suspicion(rig, None, ())
    with opened:
        recorder = Recorder(opened, rig)
        run, found = recorder.running(), find_show(recorder.shows(), show)
        if found is None:
            return suspicion(run, None, ())
        chances = learn(run, opened.path, found.name, asked=history).chances
        return suspicion(run, found.name, heard_in(recorder, found.name), chances)


def suspects_by_marks(plan: Path, marks: Path) -> Suspicion:
    """From a CSV of ``line,verdict,symptom``, and nothing else. Errors: those of the plan and of the file."""
    from checkapp.show.marks_csv import read_marks

    rig = load_plan(plan)
    heard = (
        Heard(one.line, rig.path(one.line), "faulty" if one.faulty else "ok", one.symptom)
        for one in read_marks(marks, rig)
    )
    return suspicion(rig, None, tuple(heard))


def heard_in(recorder: Recorder, show: str, key: str | None = None) -> tuple[Heard, ...]:
    """What was heard in a check of a show, as the evidence for suspects; ``key`` as in `Recorder.state`."""
    rig = recorder.running()
    paths = {line.line: tuple((item.name, item.kind) for item in rig.path(line.line)) for line in rig.lines}
    found = read_heard(recorder.journal, recorder.rig.name, show, paths, key)
    return tuple(_heard(one) for one in found)


def suspicion(
    rig: Rig, show: str | None, heard: Sequence[Heard], chances: Chances | Hearing | None = None
) -> Suspicion:
    """What follows from what was heard on a rig; ``chances`` as in `blamed`."""
    return Suspicion(rig, show, tuple(heard), blamed(rig, heard, chances), tests_of(rig, heard, chances))


def blamed(rig: Rig, heard: Sequence[Heard], chances: Chances | Hearing | None = None) -> Diagnosis:
    """Who is to blame for what was heard on a rig; ``chances``: those learned, in place of the plan's."""
    return diagnose(paths_of(rig), heard, chances or chances_of(rig.plan.diagnose))


def tests_of(rig: Rig, heard: Sequence[Heard], chances: Chances | Hearing | None = None) -> tuple[NextTest, ...]:
    """What to try next, best first; ``chances`` as in `blamed`."""
    paths = paths_of(rig)
    free = {line: list(_free(rig, line)) for line in faulty_now(paths, heard)[:_MOST_MOVED]}
    settings = rig.plan.diagnose
    return next_tests(paths, heard, chances or chances_of(settings), minutes_of(settings), free)


def paths_of(rig: Rig) -> dict[str, tuple[Item, ...]]:
    """What each line runs through."""
    return {line.line: rig.path(line.line) for line in rig.lines}


def _heard(one: HeardMark) -> Heard:
    """A mark of the journal; items of kinds that this program does not know are passed over."""
    path = tuple(Item(name, kind) for name, kind in one.path if kind in ITEM_KINDS)
    return Heard(one.line, path, one.verdict, cast("Symptom | None", one.symptom), one.again)


def _free(rig: Rig, line: str) -> Iterator[tuple[str, tuple[Item, ...]]]:
    """The first free port of the line's own box, and the first one elsewhere, that the line can go to."""
    port, used = known_port(rig.line(line).port), ports_used(rig)
    own = [box for code, box in rig.boxes.items() if code == port.code]
    others = [box for code, box in rig.boxes.items() if code != port.code and not rig.box_kind(box).passive]
    for boxes in (own, others):
        ports = (free for box in boxes for free in free_ports(rig, box, port.direction, used))
        for to in ports:
            try:
                after = changed(rig, [OtherPort(line, str(to))])
            except CannotChange:
                continue
            yield str(to), after.path(line)
            break


def document(found: Suspicion) -> dict[str, object]:
    """The JSON document of the suspects."""
    diagnosis = found.diagnosis
    named = [
        {"item": one.item.name, "kind": one.item.kind, "probability": one.probability}
        for one in diagnosis.suspects
        if one.probability >= LEAST
    ]
    tests = [_test(one) for one in found.tests]
    return {"suspects": named, "none": diagnosis.none, "left_out": diagnosis.left_out, "next": tests}


def _test(one: NextTest) -> dict[str, object]:
    test = one.test
    more = {} if test.port is None else {"port": test.port}
    return {
        "test": test.kind,
        "line": test.line,
        "swap": test.swap.name if test.swap else None,
        "minutes": test.minutes,
        "bits": one.bits,
        **more,
    }
