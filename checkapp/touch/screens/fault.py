"""The fault sheet: who is to blame on the run, what to try next, and the way through it step by step."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from checkapp.tongue import later, shown_word, tr
from checkapp.touch import listing
from checkapp.touch.keys import ESCAPE, WALK_KEYS
from checkapp.touch.page import Page
from checkapp.touch.widgets import field as _field  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import foot as _foot  # noqa: F401
from checkapp.touch.widgets import notice as _notice  # noqa: F401
from checkapp.touch.widgets import rows as _rows  # noqa: F401
from checkapp.touch.widgets import run as _run  # noqa: F401
from checkapp.touch.widgets import setup_body as _setup_body  # noqa: F401
from checkapp.touch.widgets import suspects as _suspects  # noqa: F401
from checkapp.touch.widgets import tasks as _tasks  # noqa: F401
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.fault_views import FaultView, StepView

Move = Callable[[], None]
_UNDO, _LIST, _GIVE_UP = later("undo"), later("all faults"), later("cancel")
_NO_TAG, _CAMERA, _BACK = later("it has no tag"), later("camera"), later("put back")
_OTHERS: Final = later("Or")


class FaultScreen(Page):
    """The A2's screen when a line is bad.

    ``wide``: the suspects stand beside the rest. ``roomy``: what is next has a place of its own; on a small screen it
    is the first row of the list.
    """

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    run_px = NumericProperty(0.0)
    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """A new view is there: what was being saved is; what is next is in sight."""
        self.saving = ""
        if self.ids:
            self.ids.list.bring(0)
            self.ids.code.text = ""

    # -- what is shown

    def answer_of(self, view: FaultView, roomy: bool) -> tuple[str, str, str]:
        """What was said last: status, words and more."""
        said = view.answer
        return (said.status, said.words, said.more) if said is not None and roomy else ("open", "", "")

    def next_words_of(self, view: FaultView) -> tuple[str, str]:
        """What to do now, and why: the step that is under way, else the best thing to try."""
        if view.step is not None:
            return view.step.title, "\n".join(f"{at}  {step}" for at, step in enumerate(view.step.steps, 1))
        if view.next is not None:
            return view.next.title, view.next.more
        if view.over:
            return tr("Go on with the walk"), ""
        return tr("Choose what to do about a suspect"), tr("No test tells more now.")

    def next_of(self, view: FaultView) -> Move | None:
        """What a tap on that does."""
        if view.step is not None:
            return None
        if view.next is not None:
            return partial(self.moves.try_next, view.next)
        if view.over:
            walk_on: Move = self.moves.walk_on
            return walk_on
        return None

    def caution_of(self, view: FaultView) -> str:
        """What to mind in the step under way."""
        return view.step.caution if view.step is not None else ""

    def rows_of(self, view: FaultView, roomy: bool) -> list[listing.RowDict]:
        """The list: on a small screen what was said and what is next; then suspects, other tests, what is open."""
        rows = [] if roomy else self._said_rows(view)
        if view.step is None or roomy:
            rows += self._suspects(view)
        if view.step is None:
            rows += self._others(view)
            rows += [listing.heading(tr("Confirmed")), *map(listing.words, view.confirmed)] if view.confirmed else []
            rows += listing.lines_under(tr("Still to hear"), view.again, None)
            rows += listing.lines_under(tr("Faulty"), view.faulty, None)
        return rows

    def _said_rows(self, view: FaultView) -> list[listing.RowDict]:
        said = view.answer
        rows = [listing.notice(said.status, said.words, said.more, None)] if said is not None else []
        rows += [listing.caution(self.caution_of(view))] if self.caution_of(view) else []
        tapped = self.next_of(view)
        rows.append(listing.notice("next" if tapped else "open", *self.next_words_of(view), tapped, bool(tapped)))
        return [*rows, listing.run(view.run)]

    def _suspects(self, view: FaultView) -> list[listing.RowDict]:
        if not view.suspects or not view.faulty:
            return []
        tapped = self.moves.blame if view.step is None else None
        rows = [listing.suspect(row, tapped) for row in view.suspects]
        rows = [listing.words(view.look_first), *rows] if view.look_first else rows
        return [listing.heading(tr("Suspected")), *rows, listing.words(view.nothing)]

    def _others(self, view: FaultView) -> list[listing.RowDict]:
        rows = [
            listing.choice(row.title, row.more, tr("try"), partial(self.moves.try_next, row)) for row in view.others
        ]
        return [listing.heading(shown_word(_OTHERS)), *rows] if rows else []

    def choices_of(self, view: FaultView) -> list[Choice]:
        """The small buttons at the foot."""
        step = view.step
        if step is not None:
            scans = [Choice(_NO_TAG), Choice(_CAMERA)] if step.asks else []
            return [Choice(_GIVE_UP), *scans]
        back = [Choice(_BACK)] if view.puts_back else []
        return [Choice(_UNDO, view.can_undo), *back, Choice(_LIST)]

    def asks_of(self, view: FaultView) -> str:
        """What is to be scanned or typed; empty when nothing is."""
        return view.step.asks if view.step is not None else ""

    def question_of(self, view: FaultView) -> str:
        """What the large buttons answer, where that is no line."""
        return (
            tr("Is {item} tagged and pulled?", item=view.asks_pulled) if view.asks_pulled and view.step is None else ""
        )

    def verdict_of(self, view: FaultView) -> str:
        """The word of the button for a line that is bad; empty while nothing is to be answered."""
        if view.step is None:
            return tr("pulled") if view.asks_pulled else ""
        if not view.step.ready:
            return ""
        return tr("faulty") if view.step.symptom else tr("still faulty")

    def good_of(self, view: FaultView) -> str:
        """The word of the other large button."""
        if view.step is None:
            return tr("not yet") if view.asks_pulled else ""
        return tr("ok") if view.step.ready else ""

    # -- what is done

    def good(self) -> None:
        """The line is ok; or the item is pulled later: a second tap on ok must not say that it is."""
        step = self.view.step
        if step is not None:
            self.moves.fault_ok(step.line)
        else:
            self.moves.later()

    def bad(self) -> None:
        """The line is faulty; or the item is pulled."""
        step = self.view.step
        if step is None:
            self.moves.tagged(self.view.asks_pulled)
        elif step.symptom:
            self.moves.ask_what_is_heard(step)
        else:
            self.moves.still_faulty(step.line)

    def chose(self, word: str) -> None:
        """A button at the foot was tapped."""
        does: dict[str, Move] = {
            _UNDO: self.moves.undo_fault,
            _LIST: self.moves.fault_list,
            _GIVE_UP: self.moves.give_up,
            _NO_TAG: self.moves.untagged,
            _CAMERA: self.moves.camera,
            _BACK: self.moves.put_back,
        }
        does[word]()

    def typed(self, text: str) -> None:
        """A code was typed where a scan would do."""
        self.ids.code.text = ""
        self.moves.scanned(text)

    def leave(self) -> None:
        """Back to the walk."""
        self.moves.walk_on()

    def on_leave(self) -> None:
        """Let the keyboard go."""
        self.ids.code.focus = False

    def key(self, key: int) -> bool:
        """Space and F answer, as on the walk; the way back first gives up what is under way."""
        if key == ESCAPE and self.view.step is not None:
            self.moves.give_up()
            return True
        step: StepView | None = self.view.step
        word = WALK_KEYS.get(key)
        if step is None or not step.ready or word not in ("ok", "faulty"):
            return bool(super().key(key))
        if word == "ok":
            self.good()
        else:
            self.bad()
        return True


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
