"""One check at work: begin it or go on with it, walk its lines, mark them, sign it off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from checkapp.journal import kinds
from checkapp.journal.disputes import made_over
from checkapp.journal.state import undo_target
from checkapp.rig.errors import CheckappError
from checkapp.rig.planfile import load_plan
from checkapp.rig.words import Symptom
from checkapp.show.at_work import AtWork, said_words
from checkapp.show.bookmark import Bookmark, BookmarkKeeper, read_bookmark
from checkapp.show.check_rows import check_title, read_key, row_key
from checkapp.show.desk import Desk
from checkapp.show.fault_list import pull_words
from checkapp.show.jump import NO_NUMBERS, Numbers, numbers_of
from checkapp.show.line_list import STARTS_ANEW, Going, changed_words, chosen, going_by, gone_on, lines_view, walk_at
from checkapp.show.new_show import named_show
from checkapp.show.pace import Pace
from checkapp.show.recording import find_show
from checkapp.show.saving_words import entries_words, words_of
from checkapp.show.session_errors import CheckSignedOff, NothingOpen, StillUnsaved
from checkapp.show.views import CheckView, LineRow, LinesView, WalkView
from checkapp.show.walk import Walk, check_view, line_rows, walk_view
from checkapp.show.walk_only import ALL, Wanted, only_these, wanted_of
from checkapp.tongue import shown_word, tr

if TYPE_CHECKING:
    from checkapp.journal.state import ShowState
    from checkapp.rig.rig import Rig
    from checkapp.show.checking_order import Order


class Checking(Desk):
    """The moves of a check of the open rig."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._last: tuple[str, str] = ("", "")
        self._open: AtWork | None = None
        self._going = Going()
        self._listed = ALL
        self._numbers: tuple[Rig | None, Numbers] = (None, NO_NUMBERS)
        self._pace = Pace()
        self._bookmark = BookmarkKeeper(self._home)
        self._plan: tuple[Rig | None, str] = (None, "")

    def walk_again(self) -> WalkView | None:
        """The walk as it stands now, with what was said last; None when no check is open."""
        if self._open is None:
            return None
        return self._view(self._walk(), self._said())

    def start_check(self, name: str, venue: str, date: str, by: str, first: Sequence[str] = ()) -> WalkView:
        """Begin a check of a show, which is made when there is none of that name; with the lines ``first``, if any.

        Without them with those that run otherwise than in the show's check before. `NameMissing`: name or initials.
        """
        recorder = self._recorder()
        name, by = named_show(recorder, name, venue, date, by)
        changed = recorder.changed_since(name)
        key = recorder.need_check(name, by)
        return self._begin(AtWork(name, key, by, ""), first or changed, "" if first else changed_words(len(changed)))

    def go_on(self, key: str, by: str = "", first: Sequence[str] = ()) -> WalkView:
        """Go on with a check, by the key of its row; with the lines ``first``, if any.

        `CheckSignedOff`: it takes no more marks. `CheckGone`: it is of another rig, or not in the journal.
        """
        show, check = read_key(key)
        state = self._recorder().state(show, check)
        if state.signed_off:
            raise CheckSignedOff(tr("the check of {show} is signed off; read it, or start a new one", show=show))
        opened_by = state.check.opened_by if state.check else None
        return self._begin(AtWork(show, check, by.strip() or opened_by or "", ""), first)

    def resume(self, plan: str | None = None) -> WalkView | None:
        """Where the walk was when the app was closed or killed; None when it was nowhere, or that is gone.

        With a plan file, only a walk of that plan is gone on with.
        """
        mark = read_bookmark(self._home)
        if mark is None or not mark.check or (plan is not None and Path(plan).resolve() != Path(mark.plan)):
            return None
        try:
            self._rig = load_plan(Path(mark.plan))
            state = self._recorder().state(mark.show, mark.check)
        except CheckappError:
            self._rig = None
            return None
        if state.signed_off:
            return None
        self._going = going_by(
            mark.order, self._recorder(), state, mark.line, mark.first, wanted_of(mark.which, mark.zone)
        )
        taken_up = self._log.taken_up if self._log else 0
        words = [tr("Back where you were.")]
        if taken_up:
            words.append(tr("{entries} of before came in.", entries=entries_words(taken_up)))
        return self._walk_from(AtWork(mark.show, mark.check, mark.by, mark.line), " ".join(words))

    def ok(self, line: str) -> WalkView:
        """Mark a line ok and go to the next open one."""
        return self._mark(line, "ok", None, "")

    def faulty(self, line: str, symptom: str, note: str) -> WalkView:
        """Mark a line faulty with what was heard, and go to the next open one."""
        return self._mark(line, "faulty", symptom, note)

    def skip(self) -> WalkView:
        """Leave the line open and go to the next open one."""
        recorder, at, line = self._recorder(), self._at(), self._walk().line
        self._going = gone_on(recorder, recorder.state(at.show, at.key), self._going, (line,))
        return self._walk_from(replace(at, line=self._walk().next_open()), tr("{line} left open", line=line))

    def back(self) -> WalkView:
        """The line before, in the list."""
        return self._move(-1)

    def forward(self) -> WalkView:
        """The line after, in the list."""
        return self._move(1)

    def go_to(self, line: str) -> WalkView:
        """Any line."""
        return self._walk_from(replace(self._at(), line=self._recorder().rig.line(line).line), "")

    def undo(self) -> WalkView:
        """Take back this device's latest mark of the check, and go to its line."""
        recorder, at = self._recorder(), self._at()
        target = undo_target(recorder.state(at.show, at.key), recorder.journal.device)
        if target is None:
            return self._walk_from(at, tr("Nothing to take back."))
        entry = recorder.write(kinds.void(target.entry_id), at.show, at.by or None)
        verdict = shown_word(target.verdict)
        self._last = (entry.id, tr("Taken back: {line} was {verdict}", line=target.line, verdict=verdict))
        if self._going.only is not None:
            self._going = replace(self._going, only=self._going.only.again(target.line))
        return self._walk_from(replace(at, line=target.line), self._said())

    def lines(self) -> tuple[LineRow, ...]:
        """All lines of the check."""
        return line_rows(replace(self._walk(), unsaved=self._recorder().unsaved()))

    def line_list(self) -> LinesView:
        """The lines that are walked, in their order, and what there is time for."""
        return self.list_only(self._going.wanted)

    def list_only(self, wanted: Wanted) -> LinesView:
        """The lines that are wanted; the walk goes on as before."""
        self._listed = wanted
        recorder, at = self._recorder(), self._at()
        return lines_view(recorder, recorder.state(at.show, at.key), self.lines(), at.line, self._going, wanted)

    def reorder(self, order: Order, minutes: float | None = None) -> LinesView:
        """Walk the lines in another order; what was marked stays. The likeliest first, it begins with that.

        `ImpossibleEvidence`: how likely they are cannot be told.
        """
        recorder, at = self._recorder(), self._at()
        state = recorder.state(at.show, at.key)
        going = chosen(recorder, state, order, minutes, at.line, self._going.first)
        self._going = replace(going, only=self._going.only)
        first = next((name for name in self._going.names if name not in state.lines), at.line)
        self._walk_from(replace(at, line=first) if order in STARTS_ANEW else at, "")
        return self.list_only(self._listed)

    def walk_only(self, wanted: Wanted) -> WalkView:
        """Go through the lines that are wanted only, beginning at the first of them that is to be marked."""
        recorder, at = self._recorder(), self._at()
        only = only_these(recorder.running(), recorder.state(at.show, at.key).lines, wanted)
        self._going = replace(self._going, only=only)
        walk = self._walk()
        todo = walk.only.todo if walk.only is not None else frozenset(walk.open)
        first = next((name for name in walk.gone_through if name in todo), at.line)
        return self._walk_from(replace(at, line=first), "")

    def walk_all(self) -> WalkView:
        """Go through all lines again, from the line that the walk is at, or the next one that is open."""
        self._going = replace(self._going, only=None)
        walk = self._walk()
        line = walk.line if walk.line not in walk.marks else walk.next_open()
        return self._walk_from(replace(self._at(), line=line), tr("All lines again"))

    def summary(self) -> CheckView:
        """The check as a whole."""
        at = self._at()
        return self.read_check(row_key(at.show, at.key))

    def sign_off(self) -> CheckView:
        """Sign the check off, with what is left open named in the log. `StillUnsaved`: there is what is not saved."""
        recorder, at = self._recorder(), self._at()
        if recorder.flush():
            count = entries_words(len(recorder.unsaved()))
            raise StillUnsaved(tr("not saved yet: {entries}; sign off when all is saved", entries=count))
        state = recorder.state(at.show, at.key)
        if not state.signed_off:
            ids = state.check.ids if state.check else (at.key,)
            recorder.write(kinds.check_signed_off(ids, self._walk().open), at.show, at.by or None)
            recorder.flush()
        return self.summary()

    def read_check(self, key: str) -> CheckView:
        """A check to read, by the key of its row, signed off or not. `CheckGone`: of another rig, or not there."""
        recorder = self._recorder()
        show, check = read_key(key)
        state = recorder.state(show, check)
        names = [line.line for line in recorder.rig.lines]
        unsaved = recorder.unsaved()
        walk = Walk(recorder.running(), show, state.lines, names[0] if names else "", unsaved=unsaved)
        title, detail = check_title(state, unsaved)
        view = check_view(walk, title, detail, signed_off=state.signed_off)
        return replace(view, pull=pull_words(recorder))

    def _begin(self, at: AtWork, first: Sequence[str], message: str = "") -> WalkView:
        state = self._recorder().state(at.show, at.key)
        self._going = going_by("changed" if first else "list", self._recorder(), state, "", tuple(first))
        return self._walk_from(at, message)

    def _at(self) -> AtWork:
        if self._open is None:
            raise NothingOpen(tr("no check is open; start one first"))
        return self._open

    def _walk(self, known: ShowState | None = None) -> Walk:
        """The walk; ``known`` is the state of its check where that was read at this moment."""
        recorder, at = self._recorder(), self._at()
        state = known or recorder.state(at.show, at.key)
        show = find_show(recorder.shows(), at.show)
        return walk_at(recorder, state, show.name if show else at.show, at.line, self._going, self._pace)

    def _numbers_of(self, rig: Rig) -> Numbers:
        """The lines by number: the same object as long as the rig is."""
        if self._numbers[0] is not rig:
            self._numbers = (rig, numbers_of(rig.lines))
        return self._numbers[1]

    def _walk_from(self, at: AtWork, message: str, known: Walk | None = None) -> WalkView:
        """Show the walk at a line; ``known`` is the walk at another line of the same moment, where that was read."""
        self._open = at
        walk = self._walk() if known is None else replace(known, line=at.line)
        self._open = replace(at, line=walk.line)
        going, wanted = self._going, self._going.wanted
        plan = self._plan_file(self._recorder().rig)
        mark = Bookmark(plan, at.show, at.key, at.by, walk.line, going.order, going.first, wanted.which, wanted.zone)
        self._bookmark.keep(mark)
        return self._view(walk, message)

    def _view(self, walk: Walk, message: str) -> WalkView:
        """What the screen shows of it, with a message; both as they are at this moment."""
        unsaved, numbers = self._recorder().unsaved(), self._numbers_of(walk.rig)
        return walk_view(replace(walk, unsaved=unsaved, numbers=numbers, message=message))

    def _plan_file(self, rig: Rig) -> str:
        """Where the plan of the rig lies, as it was found first."""
        if self._plan[0] is not rig:
            self._plan = (rig, str(Path(rig.file).resolve()))
        return self._plan[1]

    def _move(self, by: int) -> WalkView:
        walk = self._walk()
        return self._walk_from(replace(self._at(), line=walk.step(by)), "", walk)

    def _mark(self, line: str, verdict: kinds.Verdict, symptom: str | None, note: str) -> WalkView:
        recorder, at = self._recorder(), self._at()
        state = recorder.state(at.show, at.key)
        if state.signed_off:
            raise CheckSignedOff(tr("the check of {show} is signed off; start a new one", show=at.show))
        name = recorder.rig.line(line).line
        over = made_over(state.marks, name, recorder.journal.device)
        heard: Symptom | None = symptom  # type: ignore[assignment]
        draft = kinds.mark(
            name, verdict, plan=recorder.rig.digest, check=at.key, symptom=heard, note=note.strip() or None
        )
        entry = recorder.write(kinds.over(draft, over), at.show, at.by or None)
        self._last = (entry.id, words_of(entry))
        self._open = replace(at, line=name)
        state = recorder.state(at.show, at.key)
        self._going = gone_on(recorder, state, self._going)
        if self._going.only is not None:
            self._going = replace(self._going, only=self._going.only.without(name))
        walk = self._walk(state)
        return self._walk_from(replace(at, line=walk.next_open()), self._said(), walk)

    def _said(self) -> str:
        """The last mark, and whether it is on the disk."""
        return said_words(self._last, self._recorder().unsaved(), self.saving())
