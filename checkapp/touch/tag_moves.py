"""What a tap on the tags screens sets off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from checkapp.tongue import tr
from checkapp.touch.way import Way

if TYPE_CHECKING:
    from checkapp.show.tag_views import ChoiceView, PickView, StartView, TagsView


class TagMoves(Way):
    """The moves of the tags screens; the others are `checkapp.touch.moves.Moves`."""

    def tags(self) -> None:
        """Tags of the open rig."""
        self._tap(lambda session: session.tags.view(), self._show_tags)

    def tag_pick(self) -> None:
        """What tags are wanted for."""
        self._tap(lambda session: session.tags.picking(), self._show_pick)

    def tag_pick_all(self, picked: bool) -> None:
        """Everything, or nothing."""
        self._tap(lambda session: session.tags.pick_all(picked), self._renew_pick)

    def tag_pick_kind(self, kind: str) -> None:
        """All of a kind, or none of it."""
        self._tap(lambda session: session.tags.pick_kind(kind), self._renew_pick)

    def tag_pick_group(self, key: str) -> None:
        """All of a kind at one place, or none."""
        self._tap(lambda session: session.tags.pick_group(key), self._renew_pick)

    def tag_pick_one(self, code: str) -> None:
        """A thing, or not."""
        self._tap(lambda session: session.tags.pick(code), self._renew_pick)

    def tag_stocks(self) -> None:
        """What it can be printed on."""
        self._tap(lambda session: session.tags.stocks(), self._show_choice)

    def tag_stock(self, name: str) -> None:
        """Print on that stock."""
        self._tap(lambda session: session.tags.take_stock(name), self._show_tags)

    def tag_start(self) -> None:
        """Where the first sheet begins."""
        self._tap(lambda session: session.tags.starting(), self._show_start)

    def tag_start_at(self, start: int) -> None:
        """Begin there."""
        self._tap(lambda session: session.tags.start_at(start), self._show_start)

    def tag_words(self) -> None:
        """Tags that last, or tags for this show."""
        self._tap(lambda session: session.tags.turn_words(), self._renew_tags)

    def tag_turn(self, pages: int) -> None:
        """Look at another page."""
        self._tap(lambda session: session.tags.turn(pages), self._renew_tags)

    def tag_folders(self) -> None:
        """Where the file can be saved."""
        self._tap(lambda session: session.tags.save_places(), self._show_choice)

    def tag_folder(self, folder: str) -> None:
        """Save there from now on."""
        self._tap(lambda session: session.tags.save_in(folder), self._show_tags)

    def save_tags(self) -> None:
        """Write the file."""
        self._mark(("save tags",), lambda session: session.tags.save(), self._renew_tags, tr("writing"))

    def print_tags(self) -> None:
        """Send it to the printer."""
        self._mark(("print tags",), lambda session: session.tags.print_out(), self._renew_tags, tr("printing"))

    def _show_tags(self, view: TagsView) -> None:
        self._pages.show("tags", view)

    def _renew_tags(self, view: TagsView) -> None:
        self._pages.saving("")
        self._pages.renew("tags", view)

    def _show_pick(self, view: PickView) -> None:
        self._pages.show("tagpick", view)

    def _renew_pick(self, view: PickView) -> None:
        self._pages.renew("tagpick", view)

    def _show_choice(self, view: ChoiceView) -> None:
        self._pages.show("tagchoice", view)

    def _show_start(self, view: StartView) -> None:
        self._pages.show("tagstart", view)
