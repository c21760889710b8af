"""The changeover list on screen: what is done from one rig to the next, and the check that begins with what changed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from checkapp.changeover.words import reason_words
from checkapp.review.summary import detail_of
from checkapp.rig.planfile import load_plan
from checkapp.show.changeover_groups import groups, headline
from checkapp.show.changeover_views import ChangeoverView, OldRigsView
from checkapp.show.comparing import Compared, cautions, compared
from checkapp.show.session_errors import NothingOpen
from checkapp.show.views import LineRow
from checkapp.show.walk import number_of
from checkapp.tongue import tr, trn

if TYPE_CHECKING:
    from checkapp.changeover.again import Again
    from checkapp.rig.rig import Rig
    from checkapp.show.session import Session
    from checkapp.show.views import RigView, WalkView


class Changeover:
    """From the rig that stands to the one that comes, both as they run."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._plans: tuple[Path, Path] | None = None
        self._first: tuple[str, ...] = ()

    def choices(self) -> OldRigsView:
        """The rigs that can have stood before the open one: other plans of the same rig come first."""
        new = self._session.rig
        if new is None:
            raise NothingOpen(tr("no rig is open; pick the one that comes first"))
        same = detail_of(new)  # a copy of the plan elsewhere has its digest, too, and is the same rig
        rows = (row for row in self._session.rigs() if Path(row.plan).resolve() != Path(new.file).resolve())
        others = [row for row in rows if row.title != new.name or not row.detail.endswith(same)]
        others.sort(key=lambda row: row.title != new.name)
        title = tr("The changeover goes from it to {rig}.", rig=new.name)
        return OldRigsView(title if others else tr("There is no other plan to come from."), new.file, tuple(others))

    def between(self, old: Path, new: Path) -> ChangeoverView:
        """The list from one plan to another, which becomes the open rig. Errors: `PlanRefused`."""
        self._plans = (old, new)
        return self.view()

    def view(self) -> ChangeoverView:
        """The list as it stands now. Errors: `PlanRefused`; `NothingOpen`: no rig was chosen to come from."""
        if self._plans is None:
            raise NothingOpen(tr("no changeover is open; choose the rig that stands now"))
        old, new = load_plan(self._plans[0]), load_plan(self._plans[1])
        rig = self._opened(new)
        found = compared(self._session.as_run(old), self._session.as_run(new))
        self._first = tuple(one.line.line for one in found.again)
        return _view(found, rig, self._marked(rig.going_on))

    def start(self, name: str, venue: str, date: str, by: str) -> WalkView:
        """Begin or go on with a check of the new rig, the lines to check again first. Errors as in `start_check`."""
        return self._session.start_check(name, venue, date, by, first=self._first)

    def go_on(self, key: str) -> WalkView:
        """Go on with a check of the new rig, the lines to check again first. Errors as in `Session.go_on`."""
        return self._session.go_on(key, first=self._first)

    def _opened(self, new: Rig) -> RigView:
        is_open = self._session.rig
        if is_open is None or (is_open.digest, Path(is_open.file).resolve()) != (new.digest, Path(new.file).resolve()):
            return self._session.open_rig(new.file)
        return self._session.rig_view()

    def _marked(self, key: str) -> dict[str, LineRow]:
        """The lines of the open check by name; none where no check is open."""
        if not key:
            return {}
        check = self._session.read_check(key)
        return {row.line: row for row in (*check.faulty, *check.open, *check.ok, *check.waiting)}


def _view(found: Compared, rig: RigView, marks: dict[str, LineRow]) -> ChangeoverView:
    again = tuple(_again_row(one, marks) for one in found.again)
    left = sum(row.status == "open" for row in again)
    return ChangeoverView(
        title=tr("From {old} to {new}", old=_called(found.old, found), new=_called(found.new, found)),
        headline=headline(found, left),
        cautions=cautions(found),
        groups=tuple(groups(found)),
        again=again,
        again_title=trn("Check this line again", "Check these {count} lines again", len(again)) if again else "",
        check_words=_check_words(len(again), left),
        can_check=bool(again),
        rig=rig,
    )


def _again_row(one: Again, marks: dict[str, LineRow]) -> LineRow:
    line, mark = one.line, marks.get(one.line.line)
    if mark is not None and mark.status != "open":
        return mark
    why = "; ".join(map(reason_words, one.reasons))
    return LineRow(line.line, number_of(line), line.name, line.port, line.zone or "", "open", why)


def _check_words(again: int, left: int) -> str:
    if not again:
        return tr("no line to check again")
    if not left:
        return tr("go on with the check")
    return trn("check this line", "check these {count} lines", left)


def _called(rig: Rig, found: Compared) -> str:
    """A rig by its name; where both have the same, with the version or else the file."""
    if found.old.name != found.new.name:
        return rig.name
    return f"{rig.name} {rig.version}" if found.old.version != found.new.version else Path(rig.file).name
