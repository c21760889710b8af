"""Set-up: what was scanned and what came of it, what to do next, and everything there is to do, place by place."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty

from checkapp.tongue import later, tr
from checkapp.touch import listing
from checkapp.touch.keys import ESCAPE
from checkapp.touch.page import Page
from checkapp.touch.widgets import field as _field  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import notice as _notice  # noqa: F401
from checkapp.touch.widgets import rows as _rows  # noqa: F401
from checkapp.touch.widgets import setup_body as _setup_body  # noqa: F401
from checkapp.touch.widgets import tasks as _tasks  # noqa: F401
from checkapp.touch.widgets.choices import Choice

if TYPE_CHECKING:
    from checkapp.show.setup_views import SetUpRow, SetUpView

Move = Callable[[], None]
_MODES: Final = {later("swap"): "swap", later("other port"): "move", later("cancel"): "check"}
"""The mode that each button brings about."""


class SetUpScreen(Page):
    """The stagehand's screen.

    ``wide``: the list stands beside the rest. ``roomy``: the answer and the next thing have a place of their own; on a
    small screen they are the first rows of the list. ``upright``: a small screen with room for more lines in its head.
    """

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    upright = BooleanProperty(False)
    saving = StringProperty("")

    def on_view(self, *_: object) -> None:
        """A new view is there: what was being saved is."""
        self.saving = ""

    def on_roomy(self, *_: object) -> None:
        """The list has other rows."""
        self.seek()

    def seek(self) -> None:
        """See to it that the next thing is in sight; on a small screen what was said."""
        if self.ids:
            self.ids.list.bring(self.first_of(self.view, self.roomy))

    # -- what is shown

    def title_of(self, view: SetUpView, roomy: bool) -> str:
        """The show, for the head."""
        return tr("Set-up, {show}", show=view.show_title) if roomy else view.show_title

    def wrong_of(self, view: SetUpView) -> int:
        """How many ends were found where they do not belong."""
        return sum(row.status == "faulty" for place in view.places for row in place.rows)

    def progress_of(self, view: SetUpView) -> str:
        """How far it is, in words, and how much of it is wrong."""
        wrong = self.wrong_of(view)
        return tr("{progress}, {count} wrong", progress=view.progress, count=wrong) if wrong else view.progress

    def rows_of(self, view: SetUpView, roomy: bool) -> list[listing.RowDict]:
        """The list: on a small screen what was said and what is next, then place by place what there is to do."""
        rows = [] if roomy else self._said_rows(view)
        for place in view.places:
            rows.append(listing.place(place))
            rows += [self._task(row, row == view.next_row) for row in place.rows]
        return rows

    def _said_rows(self, view: SetUpView) -> list[listing.RowDict]:
        said = []
        if view.answer is not None:
            more = view.answer.short or view.answer.more
            said.append(listing.notice(view.answer.status, view.answer.words, more, self.card_of(view)))
        return [*said, listing.notice("next", self.next_words_of(view), "", self.next_of(view), firm=False)]

    def _task(self, row: SetUpRow, is_next: bool) -> listing.RowDict:
        done = row.status in ("ok", "look")  # to look at is what is not saved yet
        if row.end:
            ticked = partial(self.moves.untick if done else self.moves.tick, row.end, row.port)
        else:
            ticked = partial(self.moves.unplace if done else self.moves.place, row.item)
        return listing.task(row, is_next, partial(self.moves.card, row.item), ticked)

    def card_of(self, view: SetUpView) -> Move | None:
        """The card of what was scanned last."""
        return partial(self.moves.card, view.card.item) if view.card is not None else None

    def next_of(self, view: SetUpView) -> Move | None:
        """The card of the next thing; once all is done the line check."""
        if view.complete:
            return partial(self.moves.visit, "line check")
        return partial(self.moves.card, view.next_row.item) if view.next_row is not None else None

    def first_of(self, view: SetUpView, roomy: bool) -> int:
        """The number of the row that must be in sight: the next thing's; on a small screen that of what was said."""
        rows = [row for place in view.places for row in (None, *place.rows)]
        return rows.index(view.next_row) if roomy and view.next_row in rows else 0

    def next_words_of(self, view: SetUpView) -> str:
        """The next thing; in a swap or a move what to scan for it."""
        return view.prompt or view.to_do

    def choices_of(self, view: SetUpView) -> list[Choice]:
        """The buttons at the foot."""
        if view.mode != "check":
            return [Choice("cancel"), Choice("camera")]
        return [Choice("undo", view.can_undo), Choice("swap"), Choice("other port"), Choice("camera")]

    # -- what is done

    def chose(self, word: str) -> None:
        """A button at the foot was tapped."""
        if word in _MODES:
            self.moves.setup_mode(_MODES[word])
        elif word == "undo":
            self.moves.undo_setup()
        else:
            self.moves.camera()

    def typed(self, text: str) -> None:
        """A code was typed where a scan would do."""
        self.ids.code.text = ""
        self.moves.scanned(text)

    def confirm(self) -> None:
        """Go on with what is asked."""
        self.moves.confirm()

    def leave(self) -> None:
        """Back to the rig."""
        self.moves.rig()

    def on_leave(self) -> None:
        """Let the keyboard go."""
        self.ids.code.focus = False

    def key(self, key: int) -> bool:
        """The way back first gives up a swap or a move."""
        if key == ESCAPE and self.view.mode != "check":
            self.chose("cancel")
            return True
        return bool(super().key(key))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
