"""The fault sheet at work: who is to blame, what to try next, a test or a repair step by step, what was taken out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from checkapp.diagnose.evidence import faulty_now
from checkapp.diagnose.meaning import meanings
from checkapp.diagnose.private import Hearing
from checkapp.journal import kinds, setup_kinds, taken_out
from checkapp.journal.disputes import made_over
from checkapp.journal.errors import JournalError
from checkapp.journal.heard import HeardMark
from checkapp.rig.errors import CheckappError
from checkapp.show import fault_rows
from checkapp.show.fault_list import out_words
from checkapp.show.fault_step import Step, step_of_repair, step_of_test, step_view, with_other
from checkapp.show.fault_views import FaultView, NextRow, Work
from checkapp.show.learning import Learned, learn
from checkapp.show.seen import see
from checkapp.show.setup_views import Answer
from checkapp.show.suspecting import blamed, heard_in, paths_of, tests_of
from checkapp.tongue import tr

if TYPE_CHECKING:
    from checkapp.diagnose.evidence import Heard
    from checkapp.diagnose.next_test import NextTest
    from checkapp.diagnose.posterior import Diagnosis
    from checkapp.journal.state import ShowState
    from checkapp.rig.rig import Rig
    from checkapp.rig.words import Symptom
    from checkapp.show.recording import Recorder


class NothingToAnswer(CheckappError):
    """An answer was given while no test or repair is under way, or before what goes in was named."""


@dataclass(frozen=True, slots=True)
class _Last:
    """What was logged last from the sheet, and the swap that may be taken back."""

    ids: tuple[str, ...] = ()
    swapped: tuple[str, str] | None = None


class FaultSheet:
    """The faults of one check on one tablet. Every move that changes something is logged before it returns."""

    def __init__(self, recorder: Recorder, show: str, key: str, by: str) -> None:
        self.recorder, self.show, self.key, self.by = recorder, show, key, by
        self._step: Step | None = None
        self._answer: Answer | None = None
        self._asks_pulled = ""
        self._last = _Last()
        self._blamed: tuple[Rig, tuple[Heard, ...], Diagnosis] | None = None
        self._tests: tuple[Rig, tuple[Heard, ...], tuple[NextTest, ...]] | None = None
        self._learned: Learned | None = None

    # -- what is shown

    def view(self) -> FaultView:
        """Everything as it stands now."""
        rig, state, heard = self.rig, self._state(), self._heard()
        diagnosis = self._diagnosis(rig, heard)
        marks = [HeardMark(one.line, tuple(one.path), one.verdict, one.symptom) for one in heard]
        tests = self._rows(rig, state, heard)
        at = fault_rows.line_at_hand(rig, state, faulty_now(paths_of(rig), heard), self._step, tests)
        return FaultView(
            show_title=self.show,
            heading=fault_rows.heading(rig, state),
            faulty=fault_rows.line_rows(rig, state.lines, "faulty"),
            again=fault_rows.line_rows(rig, state.again, None),
            run_title=fault_rows.title_of(rig, at),
            run=fault_rows.run_with_shares(rig, at, diagnosis),
            suspects=tuple(fault_rows.suspect_rows(rig, diagnosis, marks, self.learned.words)),
            nothing=fault_rows.nothing_words(diagnosis) if fault_rows.is_faulty(state) else "",
            confirmed=fault_rows.confirmed_words(state),
            next=tests[0] if tests else None,
            others=tests[1:],
            step=step_view(rig, self._step) if self._step else None,
            answer=self._answer,
            asks_pulled=self._asks_pulled,
            puts_back=self._puts_back(),
            can_undo=bool(self._last.ids),
            look_first=fault_rows.look_words(rig, state),
        )

    def lead(self) -> str:
        """The first suspect and how sure that is: ``hop cable LK02, 71 %``; empty while no line is faulty."""
        rig, heard = self.rig, self._heard()
        if not faulty_now(paths_of(rig), heard):
            return ""
        return fault_rows.lead_words(rig, self._diagnosis(rig, heard))

    @property
    def rig(self) -> Rig:
        """The rig as it runs."""
        return self.recorder.running()

    @property
    def learned(self) -> Learned:
        """What earlier shows taught of the rig's items: read once, so that nothing changes while a fault is sought."""
        if self._learned is None:
            path = self.recorder.journal.path
            try:
                self._learned = learn(self.rig, path, self.show)
            except JournalError:  # what is heard now counts all the same
                self._learned = learn(self.rig, path, self.show, asked=False)
        return self._learned

    @cached_property
    def _hearing(self) -> Hearing:
        """What the chances say of marks, kept from one mark to the next."""
        return Hearing(self.learned.chances)

    def _state(self) -> ShowState:
        return self.recorder.state(self.show, self.key)

    def _heard(self) -> tuple[Heard, ...]:
        return heard_in(self.recorder, self.show, self.key)

    def _diagnosis(self, rig: Rig, heard: tuple[Heard, ...]) -> Diagnosis:
        if self._blamed is None or self._blamed[:2] != (rig, heard):
            self._blamed = (rig, heard, blamed(rig, heard, self._hearing))
        return self._blamed[2]

    def _next_tests(self, rig: Rig, heard: tuple[Heard, ...]) -> tuple[NextTest, ...]:
        if self._tests is None or self._tests[:2] != (rig, heard):
            self._tests = (rig, heard, fault_rows.unlike(tests_of(rig, heard, self._hearing)))
        return self._tests[2]

    def _rows(self, rig: Rig, state: ShowState, heard: tuple[Heard, ...]) -> tuple[NextRow, ...]:
        """What to try: while lines are faulty the best tests, else what is open again."""
        if not fault_rows.is_faulty(state):
            return fault_rows.again_rows(rig, state)
        tests = self._next_tests(rig, heard)
        means = meanings(paths_of(rig), heard, self._hearing, [one.test for one in tests])
        rows = [fault_rows.next_row(rig, one, mean) for one, mean in zip(tests, means, strict=True)]
        reseat = fault_rows.reseat_row(rig, self._diagnosis(rig, heard), state)
        return (*rows[:1], *([reseat] if reseat else []), *rows[1:])

    # -- a test or a repair

    def begin(self, row: NextRow) -> FaultView:
        """Begin a test."""
        marked = row.line in self._state().lines and row.work != "listen"
        return self._set(step_of_test(self.rig, row, marked=marked))

    def repair(self, work: Work, item: str) -> FaultView:
        """Begin a repair of an item; the faulty line through it that depends least on others is listened to then.

        Errors: `checkapp.show.fault_step.NoWayRound`.
        """
        rig, heard = self.rig, self._heard()
        line = fault_rows.line_to_hear(rig, item, self._diagnosis(rig, heard), self._state(), work)
        if not line:
            raise NothingToAnswer(tr("no faulty line runs through {item}", item=item))
        return self._set(step_of_repair(rig, work, item, line))

    @property
    def wants_scan(self) -> bool:
        """Whether a scan tells what goes in, or where a line goes."""
        return self._step is not None and self._step.work in ("swap", "bypass")

    def scan(self, text: str, *, burst: bool = False) -> FaultView:
        """What goes in, or the port that a line goes to, as it was scanned or typed."""
        if self._step is None or not self.wants_scan:
            self._answer = Answer("look", tr("Nothing is to be scanned now"), tr("Begin a swap first."))
            return self.view()
        seen = see(self.rig, text, burst=burst)
        name = seen.foreign.text if seen.foreign else seen.item or seen.name
        if self._step.work == "bypass":
            name = seen.name
        if not name:
            self._answer = seen.answer
            return self.view()
        try:
            step = with_other(self._step, self.recorder.run(), name)
            doubts = ". ".join(filter(None, (step.doubts, out_words(self.recorder, name))))
            self._step, self._answer = replace(step, doubts=doubts), None
        except CheckappError as error:
            self._answer = Answer("faulty", str(error), tr("Scan another, or give up."))
        return self.view()

    def untagged(self) -> FaultView:
        """What goes in has no tag."""
        step = self._under_way()
        return self._set(Step(step.work, step.item, step.kind, step.line, untagged=True, symptom=step.symptom))

    def give_up(self) -> FaultView:
        """Nothing was done."""
        self._step = None
        self._answer = Answer("open", tr("Cancelled"), tr("Nothing is logged: leave everything plugged as it was."))
        return self.view()

    def ok(self) -> FaultView:
        """The line is ok now."""
        step = self._answered()
        before = fault_rows.is_faulty(self._state())
        drafts = [*step.drafts(self.recorder.run(), cleared=True), self._mark(step.line, "ok", None)]
        self._log(drafts)
        if step.work == "swap":
            self._asks_pulled = step.item
        self._answer = fault_rows.cleared_answer(self.rig, step, self._state(), before)
        return self.view()

    def faulty(self, symptom: str = "", note: str = "") -> FaultView:
        """The line is faulty still, as before, or with another symptom."""
        step = self._answered()
        drafts = list(step.drafts(self.recorder.run(), cleared=False))
        if symptom or step.work == "listen":
            drafts.append(self._mark(step.line, "faulty", symptom or None, note))
        self._log(drafts)
        if step.work == "swap" and step.other:
            new = kinds.text_of(drafts[0].detail.get("with")) or ""
            self._last = _Last(self._last.ids, (new, step.item))
        self._answer = fault_rows.still_faulty_answer(self.rig, step, symptom)
        return self.view()

    def _under_way(self) -> Step:
        if self._step is None:
            raise NothingToAnswer(tr("nothing is under way; choose what to try first"))
        return self._step

    def _answered(self) -> Step:
        step = self._under_way()
        if not step.ready:
            raise NothingToAnswer(tr("scan what goes in for {item} first, or say that it has no tag", item=step.item))
        return step

    def _set(self, step: Step) -> FaultView:
        self._step, self._answer, self._asks_pulled = step, None, ""
        self._last = _Last()
        return self.view()

    def _mark(self, line: str, verdict: kinds.Verdict, symptom: str | None, note: str = "") -> kinds.Draft:
        heard: Symptom | None = symptom  # type: ignore[assignment]
        plan, said = self.recorder.rig.digest, note.strip() or None
        marks = self.recorder.state(self.show, self.key).marks
        over = made_over(marks, line, self.recorder.journal.device)
        return kinds.over(kinds.mark(line, verdict, plan=plan, check=self.key, symptom=heard, note=said), over)

    def _log(self, drafts: Iterable[kinds.Draft]) -> None:
        ids = tuple(self._write(draft) for draft in drafts)
        self._step, self._last = None, _Last(ids)

    def _write(self, draft: kinds.Draft) -> str:
        return self.recorder.write(draft, self.show, self.by or None).id

    # -- afterwards

    def _puts_back(self) -> str:
        """What may be put back in its place: a swap did not help."""
        return self._last.swapped[1] if self._last.swapped else ""

    def put_back(self) -> FaultView:
        """What was swapped and was not to blame goes back where it was."""
        if self._last.swapped:
            new, old = self._last.swapped
            self._write(setup_kinds.swap(new, old, lines=[line.line for line in fault_rows.through(self.rig, new)]))
            self._last = _Last()
            self._answer = Answer(
                "open", tr("{item} is back in its place", item=old), tr("{item} is free again.", item=new)
            )
        return self.view()

    def undo(self) -> FaultView:
        """Take back what was logged last from the sheet."""
        for entry_id in reversed(self._last.ids):
            self._write(kinds.void(entry_id))
        self._answer = Answer("open", tr("Taken back") if self._last.ids else tr("Nothing to take back"))
        self._last, self._step, self._asks_pulled = _Last(), None, ""
        return self.view()

    def pulled(self, item: str) -> FaultView:
        """What was taken out is tagged and pulled: it does not go back into the trunk."""
        self._write(taken_out.pulled(item))
        self._asks_pulled = ""
        self._answer = Answer(
            "ok", tr("{item} is tagged and pulled", item=item), tr("It stays on the list for load-out.")
        )
        return self.view()

    def later(self) -> FaultView:
        """Whether it was pulled is asked at load-out again."""
        item, self._asks_pulled = self._asks_pulled, ""
        if item:
            self._answer = Answer(
                "look",
                tr("{item} is still to be tagged and pulled", item=item),
                tr("The list of faults reminds of it."),
            )
        return self.view()
