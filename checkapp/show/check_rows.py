"""The checks of a rig's shows as a list to go on with or to read, newest first."""

from checkapp.journal.checks import Check
from checkapp.journal.state import ShowState
from checkapp.show.clock import local_time
from checkapp.show.recording import Recorder
from checkapp.show.views import CheckRow
from checkapp.tongue import tr
from checkapp.tongue.numbers import day

_BETWEEN = "\x1f"


def row_key(show: str, check: str) -> str:
    """One text for a show's name and its check's key."""
    return f"{show}{_BETWEEN}{check}"


def read_key(key: str) -> tuple[str, str]:
    """The show's name and the check's key of a row."""
    show, _, check = key.rpartition(_BETWEEN)
    return show, check


def check_rows(recorder: Recorder) -> tuple[CheckRow, ...]:
    """Every check of every show of the rig, newest first."""
    rows: list[CheckRow] = []
    for show in recorder.shows():
        for check in recorder.state(show.name).checks:
            rows.append(_row(recorder.state(show.name, check.key), check, recorder.unsaved()))
    return tuple(reversed(rows))


def _row(state: ShowState, check: Check, unsaved: frozenset[str]) -> CheckRow:
    title, detail = check_title(state, unsaved)
    return CheckRow(row_key(state.name, check.key), title, detail, check.signed_off)


def check_title(state: ShowState, unsaved: frozenset[str] = frozenset()) -> tuple[str, str]:
    """A check's title (show, venue, date) and how it stands in words; marks with the ids ``unsaved`` stand apart."""
    show = state.show
    known = (state.name, show.venue, day(show.date or "")) if show else (state.name,)
    words = list(dict.fromkeys(word for word in known if word))
    saved = [mark for mark in state.lines.values() if mark.entry_id not in unsaved]
    faulty = sum(1 for mark in saved if mark.verdict == "faulty")
    counts = tr("{ok} ok, {faulty} faulty", ok=len(saved) - faulty, faulty=faulty)
    if len(saved) < len(state.lines):
        counts += ", " + tr("{count} not saved yet", count=len(state.lines) - len(saved))
    if state.check is None or not state.check.signed_off:
        return ", ".join(words), tr("going on, {counts}", counts=counts)
    end, when = state.check.signed_off_order, local_time(state.check.signed_off_at or "")
    by = state.check.signed_off_by
    done = tr("signed off by {who} {when}", who=by, when=when) if by else tr("signed off {when}", when=when)
    said = [done, counts, tr("{count} open", count=len(state.check.left_open))]
    said += [tr("the sign-off not saved yet")] if end is not None and end[-1] in unsaved else []
    return ", ".join(words), ", ".join(said)
