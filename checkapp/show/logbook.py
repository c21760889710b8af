"""The journal of a tablet at work: what is done counts at once and is written behind it; what was read is remembered.

There are two connections to one file: one to write, on a thread of its own, one to read. So reading never waits for
the disk that writes. What waits to be written is read along with what is written, after all of it. Where the file
cannot be read any more, what was read and written before takes its place.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from contextlib import suppress
from typing import TYPE_CHECKING, Final, Protocol

from checkapp.journal.changes import CHANGE_KINDS
from checkapp.journal.clock import ZERO, is_clock
from checkapp.journal.entry import NO_ENTRY, Entry, drafted
from checkapp.journal.errors import (
    DiskFull,
    EntryExists,
    JournalDamaged,
    JournalError,
    JournalGone,
    JournalLocked,
    JournalNotWritable,
    JournalTooNew,
    NoJournal,
    NotAJournal,
    told,
)
from checkapp.journal.journal import Journal
from checkapp.journal.kinds import VOID
from checkapp.journal.story import Entries
from checkapp.show.lasting import Moment, Since
from checkapp.show.unsaved import Unsaved, Waiting
from checkapp.tongue import later

if TYPE_CHECKING:
    from pathlib import Path

    from checkapp.show.kept_file import KeptFile

_LAST_CLOCK: Final = "f" * 12 + "-" + "f" * 4  # after the clock of every entry that is written
_READ_WAIT_MS: Final = 250
_MOST_QUESTIONS: Final = 64
_OPEN_ANEW: Final = (JournalGone, JournalNotWritable, JournalDamaged, NotAJournal, NoJournal)
"""What a connection does not get over, even when the cause is gone."""

Found = list[Entry]


class Log(Entries, Protocol):
    """Where a recorder reads and writes; a `checkapp.journal.journal.Journal` is one."""

    @property
    def path(self) -> Path:
        """Where the journal is."""

    @property
    def device(self) -> str:
        """The name of the device that the next entry is numbered for."""

    def append(  # noqa: PLR0913 - one argument a column
        self,
        kind: str,
        *,
        now_ms: int,
        new_id: str,
        rig: str | None = None,
        show: str | None = None,
        subject: str | None = None,
        by: str | None = None,
        detail: Mapping[str, object] | None = None,
    ) -> Entry:
        """Write one entry."""


class Logbook:
    """The log of one run of the app.

    ``open_journal`` opens the journal at ``path`` to write; called with True it makes one where there is none. Made on
    the thread that asks; all else but ``told`` happens there, too: `checkapp.show.unsaved.Unsaved`. ``wait_s`` is how
    long `append` waits for the disk, None: until the entry is on it or a try has failed.
    """

    def __init__(
        self,
        path: Path,
        open_journal: Callable[[bool], Journal],
        kept: KeptFile,
        told: Callable[[], None],
        wait_s: float | None = None,
    ) -> None:
        self.path, self._open_journal, self._kept, self._wait_s = path, open_journal, kept, wait_s
        self._journal: Journal | None = None
        self._reader: Journal | None = None
        self._opened_again = False
        self._opened = self._reader_opened = object()  # another one after the file was opened anew
        found = self._open()
        self._notice, self._device = found.notice, found.device
        self._answers: dict[object, Found] = {}
        self._voids: dict[str, Entry] = {}
        self._own: dict[str, Entry] = {}
        self._state = object()
        self._number = 0
        self._unsaved = Unsaved(self._write, self._keep, told)
        self.taken_up = 0
        if self._notice is None:
            old = [Waiting(self._numbered(one.entry), one.now_ms) for one in kept.take_up()]
            self.taken_up = len(old)
            self._unsaved.add(old, wait_s)

    def _open(self) -> Journal:
        """The journal, to write; where it can only be read for now, all that is done waits from the start."""
        try:
            self._journal = self._open_journal(True)
        except (DiskFull, JournalLocked, JournalNotWritable) as error:
            try:
                self._reader = Journal.read(self.path, wait_ms=_READ_WAIT_MS)
            except JournalError:
                raise error from None
            return self._reader
        return self._journal

    # -- writing

    @property
    def device(self) -> str:
        """As in `Log`."""
        return self._device

    @property
    def waiting(self) -> tuple[Waiting, ...]:
        """What is not on the disk, first things first."""
        return self._unsaved.waiting

    @property
    def trouble(self) -> JournalError | None:
        """Why it is not, when a try has failed."""
        trouble = self._unsaved.trouble
        return trouble if isinstance(trouble, JournalError) else None

    @property
    def kept_at(self) -> Path | None:
        """The file that holds what waits, once a try has failed and a place for it was found."""
        return self._kept.path

    def append(  # noqa: PLR0913 - one argument a column
        self,
        kind: str,
        *,
        now_ms: int,
        new_id: str,
        rig: str | None = None,
        show: str | None = None,
        subject: str | None = None,
        by: str | None = None,
        detail: Mapping[str, object] | None = None,
    ) -> Entry:
        """Queue an entry, which counts from now on; whether it is on the disk, `waiting` tells.

        Errors: `NotStorable`, `JournalTooNew`; nothing is queued then.
        """
        if self._notice is not None:
            raise JournalTooNew(self._notice)
        draft = drafted(kind, now_ms=now_ms, new_id=new_id, rig=rig, show=show, subject=subject, by=by, detail=detail)
        entry = self._numbered(draft)
        self._unsaved.add([Waiting(entry, now_ms)], self._wait_s)
        return entry

    def flush(self) -> bool:
        """Wait until all is on the disk or a try has failed; whether something is not on it."""
        self._unsaved.add([])
        return bool(self._unsaved.waiting)

    def try_now(self) -> None:
        """Try to write what could not be written."""
        self._unsaved.try_now()

    def close(self) -> tuple[Waiting, ...]:
        """Write all that waits, and close the journal; what could not be written and is kept at `kept_at`."""
        left = self._unsaved.close()
        for journal in (self._reader, self._journal):  # the one that writes last: it tidies up
            _close(journal)
        self._journal = self._reader = None
        return left

    def _numbered(self, draft: Entry) -> Entry:
        """A draft as an entry of this device after all others, which it will be."""
        self._number += 1
        return draft.chained(self._device, self._number, _LAST_CLOCK, NO_ENTRY)

    def _write(self, waiting: Waiting) -> None:
        """On the writing thread: one entry onto the disk."""
        try:
            journal = self._journal = self._journal or self._opened_anew()
            try:
                entry = journal.put(waiting.entry, waiting.now_ms)
                self._device = entry.device
            except EntryExists:  # an earlier try came through, though the disk said that it did not
                entry, self._state = waiting.entry, object()
        except _OPEN_ANEW:
            _close(self._journal)
            self._journal, self._state = None, object()
            raise
        self._own[entry.id] = entry
        if self._opened_again:
            self._opened_again, self._opened = False, object()

    def _opened_anew(self) -> Journal:
        """The journal that was lost sight of; another one in its place is none of ours."""
        try:
            journal = self._open_journal(False)
        except NoJournal as error:
            raise JournalGone(
                told(self.path, later("the journal is not at its place"), later("put its disk back"))
            ) from error
        self._refuse_another(journal)
        self._opened_again = True
        return journal

    def _refuse_another(self, journal: Journal) -> None:
        """Close a journal that lies where ours was and has nothing of what we know. `JournalGone`: it is such a one."""
        known = [*self._own, *(entry.id for answer in list(self._answers.values()) for entry in answer)]
        if known and not any(map(journal.has, known)):
            _close(journal)
            raise JournalGone(told(self.path, later("another journal is in its place"), later("put its own disk back")))

    def _keep(self, waiting: tuple[Waiting, ...]) -> None:
        """On the writing thread: have what waits in another place, too."""
        self._kept.keep(waiting, self._highest_clock() if waiting else ZERO)

    def _highest_clock(self) -> str:
        answers = (entry for answer in list(self._answers.values()) for entry in answer)
        clocks = (entry.clock for some in (list(self._own.values()), answers) for entry in some)
        return max((clock for clock in clocks if is_clock(clock) and clock < _LAST_CLOCK), default=ZERO)

    # -- reading

    def entries(
        self,
        *,
        rig: str | None = None,
        show: str | None = None,
        kind: str | Collection[str] | None = None,
    ) -> list[Entry]:
        """As in `checkapp.journal.story.Entries`."""
        kinds = {kind} if isinstance(kind, str) else kind if kind is None else set(kind)

        def asked(entry: Entry) -> bool:
            wanted = rig in (None, entry.rig) and show in (None, entry.show)
            return wanted and (kinds is None or entry.kind in kinds)

        key = ("entries", rig, show, None if kinds is None else frozenset(kinds))
        return self._answer(key, lambda journal: journal.entries(rig=rig, show=show, kind=kind), asked)

    def changes(self, rig: str) -> list[Entry]:
        """As in `checkapp.journal.story.Entries`."""

        def asked(entry: Entry) -> bool:
            return entry.rig == rig and entry.kind != VOID and entry.kind in CHANGE_KINDS

        return self._answer(("changes", rig), lambda journal: journal.changes(rig), asked)

    def undoing(self, ids: Iterable[str]) -> list[Entry]:
        """As in `checkapp.journal.story.Entries`."""
        wanted = set(ids)
        later = [one.entry for one in self.waiting if one.entry.kind == VOID]
        try:
            found = self._reading(lambda journal: journal.undoing(wanted))
            self._voids.update((void.id, void) for void in found)
        except JournalError:
            own = (entry for entry in list(self._own.values()) if entry.kind == VOID)
            found = _undoing({**self._voids, **{void.id: void for void in own}}.values(), wanted)
        return [*found, *_undoing(later, wanted | {void.id for void in found})]

    def moment(self) -> Moment | None:
        """This moment, to ask later what came `since`; None: it cannot be told."""
        journal, reader, state, written = self._journal, self._reader, (self._state, self._opened), len(self._own)
        if journal is None or reader is None or self._reader_opened is not self._opened:
            return None
        try:
            anybody = reader.others_wrote()
            others = journal.others_wrote()
        except JournalError:
            return None
        waiting = tuple(one.entry for one in self.waiting)
        unchanged = written == len(self._own) and state == (self._state, self._opened)
        return Moment(state, anybody, others, written, waiting) if unchanged else None

    def since(self, moment: Moment) -> Since | None:
        """What was done here after a moment; None: others may have written, and all is to be read."""
        now = self.moment()
        return moment.until(now, self._own.values()) if now is not None else None

    def _answer(self, key: object, ask: Callable[[Journal], Found], asked: Callable[[Entry], bool]) -> Found:
        """What the journal answers, else what is remembered; and after it what waits."""
        waiting = [one.entry for one in self.waiting if asked(one.entry)]
        try:
            found = self._answers[key] = self._once(self._reading(ask))
            while len(self._answers) > _MOST_QUESTIONS:
                del self._answers[next(iter(self._answers))]
        except JournalError:
            if not self._answers:
                raise
            found = self._remembered(asked)
        known = {entry.id for entry in found}
        return [*found, *(entry for entry in waiting if entry.id not in known)]

    def _once(self, found: Found) -> Found:
        """The same with the entries that were made here held once, not anew in each answer that is remembered."""
        own = self._own
        return [made if (made := own.get(entry.id)) == entry else entry for entry in found]

    def _remembered(self, asked: Callable[[Entry], bool]) -> Found:
        known = {entry.id: entry for answer in self._answers.values() for entry in answer}
        known |= dict(list(self._own.items()))
        return sorted((entry for entry in known.values() if asked(entry)), key=lambda entry: entry.order)

    def _reading(self, ask: Callable[[Journal], Found]) -> Found:
        try:
            return ask(self._to_read())
        except JournalError as error:
            self._state = object()
            if not isinstance(error, JournalLocked):
                self._drop_reader()
            raise

    def _to_read(self) -> Journal:
        if self._reader_opened is not self._opened:
            self._reader_opened = self._opened
            self._drop_reader()
        if self._reader is None:
            reader = Journal.read(self.path, wait_ms=_READ_WAIT_MS)
            self._refuse_another(reader)
            self._reader = reader
        return self._reader

    def _drop_reader(self) -> None:
        _close(self._reader)
        self._reader = None


def _undoing(voids: Iterable[Entry], ids: Collection[str]) -> Found:
    """Those of ``voids`` that undo the entries with these ids, those that undo these, and so on."""
    left, wanted, found = list(voids), set(ids), []
    while some := [void for void in left if void.subject in wanted]:
        found += some
        wanted = {void.id for void in some}
        left = [void for void in left if void not in some]
    return found


def _close(journal: Journal | None) -> None:
    if journal is not None:
        with suppress(JournalError):
            journal.close()
