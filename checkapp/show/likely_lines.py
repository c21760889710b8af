"""How likely each line of a check is faulty, from all that the journal tells of its show."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from checkapp.diagnose.chances import chances_of
from checkapp.diagnose.doubt import Round, doubted
from checkapp.diagnose.likely import faulty_chances
from checkapp.journal.handled import Handled, read_handling
from checkapp.show.suspecting import heard_in, paths_of

if TYPE_CHECKING:
    from checkapp.diagnose.doubt import Doubted
    from checkapp.diagnose.evidence import Heard
    from checkapp.journal.state import ShowState
    from checkapp.rig.rig import Rig
    from checkapp.show.recording import Recorder


def open_lines(rig: Rig, state: ShowState | None) -> tuple[str, ...]:
    """The lines that are still to be checked: those without a mark, all of them once the check is signed off.

    ``state`` is None where there is no show yet.
    """
    marked = state.lines if state is not None and not state.signed_off else {}
    return tuple(line.line for line in rig.lines if line.line not in marked)


def likely_lines(recorder: Recorder, state: ShowState | None) -> dict[str, float]:
    """The chance that each open line of a check would be marked faulty now; ``state`` as in `open_lines`.

    What earlier checks of the same show heard counts, as far as nothing was plugged again since. `ImpossibleEvidence`:
    the marks cannot all be true with the plan's chances.
    """
    told = evidence_of(recorder, state)
    return faulty_chances(told.paths, told.heard, told.chances, open_lines(recorder.running(), state))


def as_new(rig: Rig) -> dict[str, float]:
    """The chance of every line where nothing was heard."""
    return faulty_chances(paths_of(rig), (), chances_of(rig.plan.diagnose))


def evidence_of(recorder: Recorder, state: ShowState | None) -> Doubted:
    """Paths, evidence and chances to reckon with in a check, or, once it is signed off, in the one after it."""
    rig = recorder.running()
    handling = read_handling(recorder.journal, rig.name, state.name if state is not None else None)
    rounds = list(_rounds(recorder, rig, state, handling.steps)) if state is not None else []
    return doubted(paths_of(rig), rounds, chances_of(rig.plan.diagnose), handling.times_cleared)


def _rounds(recorder: Recorder, rig: Rig, state: ShowState, steps: tuple[Handled, ...]) -> Iterator[Round]:
    """The checks of the show up to this one, each with what was done since the one before."""
    before = None
    for check in state.checks:
        end = check.signed_off_order
        since = [one for one in steps if (before is None or one.order > before) and (end is None or one.order < end)]
        yield _round(rig, since, heard_in(recorder, state.name, check.key))
        before = end
        if check == state.check:
            break
    if state.signed_off:
        yield _round(rig, [one for one in steps if before is None or one.order > before], ())


def _round(rig: Rig, since: list[Handled], heard: tuple[Heard, ...]) -> Round:
    replugged = frozenset(name for one in since for name in _plugged(rig, one))
    return Round(heard, replugged, frozenset(one.item for one in since if one.mended))


def _plugged(rig: Rig, one: Handled) -> Iterator[str]:
    """The item; with a new box all of its ports too."""
    yield one.item
    if one.is_new and one.item in rig.boxes:
        yield from rig.ports(rig.boxes[one.item])
