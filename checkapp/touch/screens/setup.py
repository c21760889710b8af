"""Set-up: what was scanned and what came of it, what to do next, and everything there is to do, place by place."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty

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

Mode = str


class SetUpScreen(Page):
    """The stagehand's screen.

    ``wide``: the list stands beside the rest. ``roomy``: the answer and the next thing have a place of their own; on a
    small screen they are the first rows of the list.
    """

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    saving = StringProperty("")
    _by_hand = False

    def on_view(self, *_: object) -> None:
        """A new view is there: after a scan the next thing comes into sight, after a tick in the list nothing moves."""
        self.saving = ""
        by_hand, self._by_hand = self._by_hand, False
        if not by_hand:
            self._bring()

    def on_roomy(self, *_: object) -> None:
        """The list has other rows."""
        self._bring()

    def _bring(self) -> None:
        if self.ids:
            self.ids.list.bring(self.first_of(self.view, self.roomy))

    # -- what is shown

    def title_of(self, view: SetUpView, roomy: bool) -> str:
        """The show, for the head."""
        return f"Set-up, {view.show_title}" if roomy else view.show_title

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
            said.append(listing.notice(view.answer.status, view.answer.words, view.answer.more, self.card))
        return [*said, listing.notice("next", self.next_words_of(view), "", self.next_card, firm=False)]

    def _task(self, row: SetUpRow, is_next: bool) -> listing.RowDict:
        return listing.task(row, is_next, partial(self.moves.card, row.item), partial(self.tick, row))

    def first_of(self, view: SetUpView, roomy: bool) -> int:
        """The number of the row that must be in sight: the next thing's; on a small screen that of what was said."""
        rows = [row for place in view.places for row in (None, *place.rows)]
        return rows.index(view.next_row) if roomy and view.next_row in rows else 0

    def next_words_of(self, view: SetUpView) -> str:
        """The next thing; in a swap or a move what to scan for it."""
        return view.prompt or view.to_do

    def choices_of(self, view: SetUpView) -> list[Choice]:
        """The buttons at the foot."""
        camera = Choice("camera", self.moves.camera)
        if view.mode != "check":
            return [Choice("cancel", self.check), camera]
        return [Choice("undo", self.undo, view.can_undo), Choice("swap", self.swap), Choice("move", self.move), camera]

    # -- what is done

    def tick(self, row: SetUpRow) -> None:
        """Say that something of the list is done, or take that back."""
        self._by_hand = True
        done = row.status == "ok"
        if row.end:
            (self.moves.untick if done else self.moves.tick)(row.end, row.port)
        else:
            (self.moves.unplace if done else self.moves.place)(row.item)

    def typed(self, text: str) -> None:
        """A code was typed where a scan would do."""
        self.ids.code.text = ""
        self.moves.scanned(text)

    def card(self) -> None:
        """The card of what was scanned last."""
        if self.view.card is not None:
            self.moves.card(self.view.card.item)

    def next_card(self) -> None:
        """The card of the next thing; once all is done, the rig, where the check starts."""
        if self.view.complete:
            self.moves.rig()
        elif self.view.next_row is not None:
            self.moves.card(self.view.next_row.item)

    def undo(self) -> None:
        """Take back what was done last."""
        self.moves.undo_setup()

    def swap(self) -> None:
        """Another item in place of one."""
        self.moves.setup_mode("swap")

    def move(self) -> None:
        """A line to another port."""
        self.moves.setup_mode("move")

    def check(self) -> None:
        """Give up a swap or a move."""
        self.moves.setup_mode("check")

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
            self.check()
            return True
        return bool(super().key(key))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
