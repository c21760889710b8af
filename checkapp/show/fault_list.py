"""All faults of a rig that are not cleared, over its shows, and what is to be tagged and pulled at load-out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from checkapp.journal.changes import read_changes
from checkapp.journal.setup_kinds import Moved
from checkapp.journal.taken_out import read_taken_out
from checkapp.review.summary import counted
from checkapp.show.clock import local_time
from checkapp.show.fault_views import FaultListView, OutRow
from checkapp.show.views import LineRow, Status
from checkapp.show.walk import number_of, said_of
from checkapp.tongue import shown_word, tr, trn

if TYPE_CHECKING:
    from checkapp.journal.changes import RigChange
    from checkapp.journal.state import LineMark
    from checkapp.journal.taken_out import TakenOut
    from checkapp.rig.model import Line
    from checkapp.rig.rig import Rig
    from checkapp.show.recording import Recorder

Found = tuple[str, "LineMark", bool]
"""Where a line stands: the show, its mark, and whether the check that holds it is signed off."""


def fault_list(recorder: Recorder, at_work: str | None = None) -> FaultListView:
    """The faults of the rig as it runs; ``at_work`` is the show whose check is open, None where none is."""
    rig, found = recorder.running(), _latest(recorder)
    faulty = [(line, found[line.line]) for line in rig.lines if line.line in found]
    faulty = [(line, at) for line, at in faulty if at[1].verdict == "faulty"]
    out = read_taken_out(recorder.journal, recorder.rig.name)
    pull = tuple(_out_row(one) for one in out if one.is_to_be_pulled)
    pulled = tuple(_out_row(one) for one in out if one.is_pulled)
    rows = {signed: tuple(_row(line, at) for line, at in faulty if at[2] == signed) for signed in (False, True)}
    around = tuple(_around(rig, recorder))
    view = FaultListView(
        title=tr("All faults"),
        summary=_summary(len(rows[False]), len(rows[True]), len(pull)),
        open=rows[False],
        known=rows[True],
        around=around,
        pull=pull,
        pulled=pulled,
        can_walk=at_work is not None,
        has_sheet=any(at[0] == at_work and not at[2] for _, at in faulty),
    )
    return replace(view, to_do=_to_do(view))


def _to_do(view: FaultListView) -> str:
    """What to do next about the faults of a list."""
    if view.has_sheet:
        return tr("See what is likeliest to blame, and try that.")
    if view.open:
        return tr("Go on with the line check: a faulty line leads to what is to blame.")
    if view.pull:
        return tr("Tag and pull what is listed, then tap it here.")
    if view.known:
        return tr("They were signed off as they are. A new line check hears them again.")
    return tr("A line that is marked faulty in the line check stands here until it is cleared.")


def faults_found(recorder: Recorder) -> tuple[int, str]:
    """How many faults are open, and in words how many are open or known and what is to be pulled; empty for none."""
    view = fault_list(recorder)
    return len(view.open), view.summary if view.open or view.known or view.pull else ""


def pull_words(recorder: Recorder) -> str:
    """What is still to be tagged and pulled; empty for nothing."""
    items = [one.item for one in read_taken_out(recorder.journal, recorder.rig.name) if one.is_to_be_pulled]
    return tr("Still to be tagged and pulled: {items}", items=", ".join(items)) if items else ""


def _latest(recorder: Recorder) -> dict[str, Found]:
    """The latest mark that counts of each line, over all shows."""
    found: dict[str, Found] = {}
    for show in recorder.shows():
        for check in recorder.state(show.name).checks:
            state = recorder.state(show.name, check.key)
            for line in state.again:
                found.pop(line, None)
            found.update({line: (show.name, mark, state.signed_off) for line, mark in state.lines.items()})
    return found


def _row(line: Line, at: Found) -> LineRow:
    show, mark, known = at
    status: Status = "look" if known else "faulty"
    said = ", ".join(filter(None, (said_of(mark), show, tr("known") if known else "")))
    return LineRow(line.line, number_of(line), line.name, line.port, line.zone or "", status, said)


def _around(rig: Rig, recorder: Recorder) -> list[LineRow]:
    """Lines that were led round a port by a repair that cleared, and still are."""
    changes = read_changes(recorder.journal, recorder.rig.name)
    moved = {made.what.line: made for made in changes if isinstance(made.what, Moved)}
    rows = []
    for line in rig.lines:
        made = moved.get(line.line)
        if made is not None and made.cleared and isinstance(made.what, Moved) and made.what.to_port == line.port:
            rows.append(_around_row(line, made, made.what))
    return rows


def _around_row(line: Line, made: RigChange, what: Moved) -> LineRow:
    said = ", ".join(filter(None, (tr("round {port}", port=what.from_port), made.by, local_time(made.at))))
    return LineRow(line.line, number_of(line), line.name, line.port, line.zone or "", "look", said)


def out_words(recorder: Recorder, item: str) -> str:
    """Whether an item was taken out because of a fault and is tagged and pulled, or still has to be; empty for any
    other item."""
    for one in read_taken_out(recorder.journal, recorder.rig.name):
        if one.item == item and one.is_pulled:
            return tr("{item} is tagged and pulled", item=item)
        if one.item == item and one.is_to_be_pulled:
            return tr("{item} is still to be tagged and pulled", item=item)
    return ""


def _out_row(one: TakenOut) -> OutRow:
    if one.is_pulled:
        words = ", ".join(filter(None, (tr("tagged and pulled"), one.pulled_by, local_time(one.pulled_at or ""))))
    else:
        done = shown_word(one.why)
        if one.other and one.why in ("swap", "bypass"):
            swapped = one.why == "swap"
            done = tr("swapped for {item}", item=one.other) if swapped else tr("led round to {port}", port=one.other)
        words = ", ".join(filter(None, (done, one.show, one.by, local_time(one.at))))
    return OutRow(one.item, words, one.is_pulled)


def _summary(faulty: int, known: int, pull: int) -> str:
    words = [counted(faulty, "open fault")] if faulty else []
    words += [tr("{count} known", count=known)] if known else []
    words += (
        [trn("{count} item to be tagged and pulled", "{count} items to be tagged and pulled", pull)] if pull else []
    )
    return ", ".join(words) or tr("No open fault, nothing to pull")
