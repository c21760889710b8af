"""The rigs that can be opened, and the open rig with what the review says of it."""

from collections import Counter
from collections.abc import Callable, Collection, Sequence
from itertools import count
from pathlib import Path

from checkapp.journal.setup_state import read_setup_state
from checkapp.journal.state import Show
from checkapp.review.summary import cautions_of, counted, detail_of, summary_of
from checkapp.rig.connections import connections
from checkapp.rig.errors import PlanRefused
from checkapp.rig.planfile import load_plan
from checkapp.rig.rig import Rig
from checkapp.show.beginning import RigRow, plan_files
from checkapp.show.check_rows import read_key
from checkapp.show.recording import Recorder
from checkapp.show.reviewing import reviewed, rows_of
from checkapp.show.setup_rows import Standing, counts
from checkapp.show.views import CheckRow, RigView
from checkapp.tongue import tr, trn


def rig_rows(home: Path) -> tuple[RigRow, ...]:
    """The plans of the user's own folder, then those that came with the program; files of kinds are passed over.

    Plans of one rig are told apart by their files.
    """
    rows = [row for path in plan_files(home) if (row := rig_row(path)) is not None]
    titles = Counter(row.title for row in rows)
    return tuple(row if titles[row.title] == 1 else _with_file(row) for row in rows)


def _with_file(row: RigRow) -> RigRow:
    return row._replace(detail=f"{Path(row.plan).name}: {row.detail}")


def rig_row(path: Path) -> RigRow | None:
    """A plan file as a rig that can be opened, with how many faults it has; None for a file of kinds."""
    try:
        rig = load_plan(path)
    except PlanRefused as refused:
        if all(fault.table == "rig" for fault in refused.faults):
            return None
        count = len(refused.faults)
        return RigRow(
            path.stem,
            trn("cannot be used: {count} fault in the file", "cannot be used: {count} faults in the file", count),
            str(path),
        )
    return RigRow(rig.name, detail_of(rig), str(path))


def rig_view(
    rig: Rig, checks: tuple[CheckRow, ...], shows: Sequence[Show], today: str, is_set_up: Callable[[str], bool]
) -> RigView:
    """The rig screen; ``shows`` are those there are, oldest first, ``today`` as ``2031-05-02``.

    ``is_set_up`` tells of a show whether everything is placed, set and connected.
    """
    found = reviewed(rig)
    over = {read_key(row.key)[0] for row in checks if row.signed_off}
    show = at_hand(shows, over, today)
    stops = sum(1 for one in found.findings if one.level == "stop")
    return RigView(
        title=rig.name,
        detail=detail_of(rig),
        summary=summary_of(found),
        findings=rows_of(found.findings),
        checks=checks,
        caution=" ".join(cautions_of(rig, found)),
        start_words=tr("{stops}: check anyway", stops=counted(stops, "stop")) if stops else tr("start a check"),
        suggested_show=next_show(shows, over, today),
        suggested_date=today,
        is_set_up=bool(show) and is_set_up(show),
        going_on=going_on(checks, shows, today),
    )


def going_on(checks: Sequence[CheckRow], shows: Sequence[Show], today: str) -> str:
    """The key of the newest check of ``checks``, newest first, that takes marks and whose show's day is not past."""
    dates = {show.name: show.date or today for show in shows}
    still = (row.key for row in checks if not row.signed_off and dates.get(read_key(row.key)[0], today) >= today)
    return next(still, "")


def at_hand(shows: Sequence[Show], over: Collection[str], today: str) -> str:
    """The latest show, unless its check is ``over`` or its day is past; empty when there is none."""
    if not shows or shows[-1].name in over or (shows[-1].date or today) < today:
        return ""
    return shows[-1].name


def is_set_up(recorder: Recorder, show: str) -> bool:
    """Whether everything is placed, set and connected for a show, and saved."""
    rig = recorder.running()
    state = read_setup_state(recorder.journal, recorder.rig.name, show)
    standing = Standing(rig, connections(rig), state, recorder.unsaved())
    placed, boxes, connected, ends = counts(standing)
    return (placed, connected) == (boxes, ends) and not any(map(standing.unset, rig.boxes.values()))


def next_show(shows: Sequence[Show], over: Collection[str], today: str) -> str:
    """The show that was made for today, unless its check is ``over``.

    Else a new name: ``Night 3`` after two shows, or the next that is free.
    """
    if shows and shows[-1].date == today and shows[-1].name not in over:
        return shows[-1].name
    names = [show.name for show in shows]
    return next(name for number in count(len(names) + 1) if (name := f"Night {number}") not in names)
