"""Writing to the journal: the rig, the show and the check that a mark needs are written before it, each once."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

from checkapp.journal import kinds
from checkapp.journal.changes import CHANGE_KINDS, RigChange, read_changes
from checkapp.journal.check_story import read_story
from checkapp.journal.entry import Entry
from checkapp.journal.errors import NoJournal
from checkapp.journal.going_on import Told, one_more, told
from checkapp.journal.journal import Journal
from checkapp.journal.ran import Ran
from checkapp.journal.state import Show, ShowState, read_shows
from checkapp.journal.story import rigs_used
from checkapp.rig.errors import CheckappError, UnknownCode, printable
from checkapp.rig.rig import Rig
from checkapp.show import clock, places
from checkapp.show.device_record import record_of
from checkapp.show.lasting import Lasting, unless
from checkapp.show.logbook import Log, Logbook
from checkapp.show.machine import machine_name
from checkapp.show.running import Running, as_run
from checkapp.show.session_errors import CheckGone
from checkapp.tongue import tr

_MOST_CHECKS = 2
"""So many checks are kept as they were told last: the one at work, and the one that is looked at."""


class UnknownShow(CheckappError):
    """A show that the journal does not know for this rig."""


class _Check:
    """A check of a show, worked out once for the entries that tell it; the same entries tell the same."""

    def __init__(self, rig: str, show: str, key: str | None) -> None:
        self._asked = (rig, show, key)
        self._entries: list[Entry] = []
        self._told: Told | None = None
        self._lasting: Lasting[Told] = Lasting(one_more)

    def state(self, journal: Log, log: Logbook | None) -> ShowState:
        """Where it stands. KeyError: there is no such check."""
        return self._lasting.now(log, lambda: self._tell(journal)).state

    def _tell(self, journal: Log) -> Told:
        rig, show, key = self._asked
        entries = read_story(journal, rig, show)
        if self._told is None or self._entries != entries:
            self._told, self._entries = told(entries, rig, show, key), entries
        return self._told


@dataclass(slots=True)
class Recorder:
    """A journal, a rig as its plan has it, and the clock that entries are stamped with."""

    journal: Log
    rig: Rig
    now_ms: Callable[[], int] = clock.now_ms
    _known: bool = field(default=False, init=False, repr=False, compare=False)
    _used: dict[str, kinds.RigUsed] = field(default_factory=dict, init=False, repr=False, compare=False)
    _run: tuple[tuple[RigChange, ...], Running] | None = field(default=None, init=False, repr=False, compare=False)
    _changes: Lasting[tuple[RigChange, ...]] = field(
        default_factory=lambda: Lasting(unless(*CHANGE_KINDS)), init=False, repr=False, compare=False
    )
    _shows: Lasting[tuple[Show, ...]] = field(
        default_factory=lambda: Lasting(unless(kinds.SHOW, kinds.CHECK, kinds.VOID)),
        init=False,
        repr=False,
        compare=False,
    )
    _ours: ShowState | None = field(default=None, init=False, repr=False, compare=False)
    _checks: dict[tuple[str, str | None], _Check] = field(default_factory=dict, init=False, repr=False, compare=False)
    _ran: dict[str, tuple[tuple[RigChange, ...], Ran]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def running(self) -> Rig:
        """The rig as it runs: with the swaps and moves of the journal; the same object until one is added or undone."""
        return self.run().rig

    def run(self) -> Running:
        """The rig as it runs, with what was made of the changes and what was left out."""
        changes = self._changes.now(self._log, lambda: read_changes(self.journal, self.rig.name))
        if self._run is None or self._run[0] != changes:
            self._run = (changes, as_run(self.rig, changes))
        return self._run[1]

    def write(self, draft: kinds.Draft, show: str | None, by: str | None) -> Entry:
        """Append one entry; the rig first when its plan is new here.

        With a `Journal` it is on the disk when this returns; with a `Logbook` when it is not among the `unsaved` ones.
        """
        if draft.kind != kinds.RIG:
            self._know_rig()
        return self.journal.append(
            draft.kind,
            now_ms=self.now_ms(),
            new_id=clock.new_id(),
            rig=self.rig.name,
            show=show,
            subject=draft.subject,
            by=by,
            detail=draft.detail,
        )

    def unsaved(self) -> frozenset[str]:
        """The ids of entries that count already and are not on the disk."""
        log = self._log
        return frozenset(one.entry.id for one in log.waiting) if log is not None else frozenset()

    def flush(self) -> bool:
        """Wait until all is on the disk or a try has failed; whether something is not on it."""
        return self._log.flush() if self._log is not None else False

    def _know_rig(self) -> None:
        if self._known:
            return
        known = rigs_used(self.journal.entries(rig=self.rig.name, kind=kinds.RIG), self.rig.name)
        if self.rig.digest not in known:
            self._write_rig()
        self._known = True

    def _write_rig(self) -> None:
        rig = self.rig
        paths = {line.line: [(item.name, item.kind) for item in rig.path(line.line)] for line in rig.lines}
        hired = {tag.code: tag.owner for tag in rig.tags if tag.owner != rig.owner}
        draft = kinds.rig(
            digest=rig.digest,
            owner=rig.owner,
            version=rig.version,
            file=Path(rig.file).name,
            lines=paths,
            owners=hired,
            places={box.code: box.place for box in rig.boxes.values() if box.place},
        )
        self.write(draft, None, None)

    def shows(self) -> tuple[Show, ...]:
        """The shows of this rig, in the order in which they were made."""
        return self._shows.now(self._log, lambda: read_shows(self.journal, self.rig.name))

    def need_show(self, name: str | None, by: str | None) -> str:
        """The show of that name, made with today's date when it is new; without a name the latest."""
        known = [show.name for show in self.shows()]
        if name is None and known:
            return known[-1]
        wanted = name or clock.today()
        if wanted not in known:
            self.write(kinds.show(wanted, date=clock.today()), wanted, by)
        return wanted

    def state(self, show: str, key: str | None = None) -> ShowState:
        """Where a show's check stands.

        While the check is open, marks that were made by another version of the plan do not count any more where that
        has the line run through other items. `CheckGone`: the journal has no such check of this rig.
        """
        if (known := self._checks.get((show, key))) is None:
            while len(self._checks) >= _MOST_CHECKS:
                del self._checks[next(iter(self._checks))]
            known = self._checks[show, key] = _Check(self.rig.name, show, key)
        try:
            state = known.state(self.journal, self._log)
        except KeyError as error:
            words = tr(
                "no such check of {show} is in the journal for this rig; open its rig, or start it again", show=show
            )
            raise CheckGone(words) from error
        return state if state.signed_off else self._by_this_plan(state)

    @property
    def _log(self) -> Logbook | None:
        """The log that tells what came since."""
        return self.journal if isinstance(self.journal, Logbook) else None

    def changed_since(self, show: str) -> tuple[str, ...]:
        """The lines that run otherwise than in the show's last check, in the order of the list, new ones too.

        None while that is open, where the lines are to be marked again, and none that was made by this plan.
        """
        state = self.state(show)
        marks = [mark for mark in state.lines.values() if mark.plan not in (None, self.rig.digest)]
        if not state.signed_off or not marks:
            return ()
        now, known = self.running(), self._ran_by(max(marks, key=lambda mark: mark.at).plan or "")
        found = {mark.line for mark in marks if self._ran_otherwise(mark.line, mark.plan or "", now)}
        names = [line.line for line in self.rig.lines]
        return tuple(name for name in names if name in found or (known is not None and not known.path(name)))

    def _by_this_plan(self, state: ShowState) -> ShowState:
        if state is self._ours:
            return state
        by_others = [mark for mark in state.lines.values() if mark.plan not in (None, self.rig.digest)]
        if not by_others:
            self._ours = state
            return state
        now = self.running()
        again = {mark.line: mark for mark in by_others if self._ran_otherwise(mark.line, mark.plan or "", now)}
        if not again:
            return state
        lines = {line: mark for line, mark in state.lines.items() if line not in again}
        return replace(state, lines=lines, again={**state.again, **again})

    def _ran_otherwise(self, line: str, plan: str, now: Rig) -> bool:
        """Whether a line ran through other items by another version of the plan than it does now, as far as is known.

        Both with the swaps and moves made on them: a swap that was written into the plan changes nothing.
        """
        before = self._ran_by(plan)
        try:
            items = {item.name for item in now.path(line)}
        except UnknownCode:
            return False
        path = before.path(line) if before is not None else ()
        return bool(path) and {name for name, _ in path} != items

    def _ran_by(self, plan: str) -> Ran | None:
        """What lines ran through by another version of the plan; None for one that the journal does not know."""
        changes = self._run[0] if self._run is not None else ()
        known = self._ran.get(plan)
        if known is not None and known[0] is changes:
            return known[1]
        if plan not in self._used:
            self._used |= rigs_used(self.journal.entries(rig=self.rig.name, kind=kinds.RIG), self.rig.name)
        if plan not in self._used:
            return None
        self._ran[plan] = (changes, Ran(self._used[plan].lines, changes))
        return self._ran[plan][1]

    def need_check(self, show: str, by: str | None) -> str:
        """The key of the show's open check, which is opened when there is none."""
        state = self.state(show)
        if state.check is not None and not state.check.signed_off and state.check.key:
            return state.check.key
        return self.write(kinds.check_opened(), show, by).id


def open_journal(path: Path | None, *, create: bool = True, home: Path | None = None) -> Journal:
    """Open the journal at ``path``, or the user's own; it is made when it is not there and ``create`` says so.

    ``home`` is the user's folder, in which this machine remembers what it wrote; None: the usual one.
    """
    at = places.journal_path(path)
    outside = record_of(at, home or places.home(), machine_name())
    return Journal.open(at, new_device=clock.new_device(), create=create, outside=outside)


def run_of(rig: Rig, journal: Path | None) -> Running:
    """A rig as it runs by the journal at ``journal`` (None: the user's own); as planned where there is no journal."""
    try:
        opened = open_journal(journal, create=False)
    except NoJournal:
        return Running(rig, rig)
    with opened:
        return Recorder(opened, rig).run()


def find_show(known: tuple[Show, ...], name: str | None) -> Show | None:
    """The show of that name, without a name the latest, None when there is none at all. `UnknownShow`: no such name."""
    if name is None:
        return known[-1] if known else None
    for show in known:
        if show.name == name:
            return show
    names = ", ".join(printable(show.name, 40) for show in known[-5:])
    raise UnknownShow(f'no show "{printable(name, 60)}"; ' + (f"known are {names}" if names else "none was made yet"))
