"""What must be known before a check or a set-up: the show, and who does it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.lang import Builder

from checkapp.tongue import tr
from checkapp.touch.asking import CHANGED, SETUP
from checkapp.touch.page import Page
from checkapp.touch.widgets import field as _field  # noqa: F401  its layout is used in ours

if TYPE_CHECKING:
    from checkapp.show.views import CheckRow

_PLACES: Final = ("name", "venue", "date", "by")
"""Where something is typed."""


class NewCheckScreen(Page):
    """Show, venue, date and initials, with what is likely filled in."""

    def on_enter(self) -> None:
        """Begin at the first place that must be filled and is not."""
        places = [self.ids[name] for name in ("name", "by")]
        first = next((place for place in places if not place.text.strip()), None)
        if first is not None:
            first.typing = True
            if self.view.going is None and self.ids.fields.height > self.ids.all.height:
                self.ids.all.scroll_to(first)

    def on_pre_leave(self) -> None:
        """What was typed stays typed until it is used."""
        typed = replace(self.view, **{name: self.ids[name].text for name in _PLACES})
        self.moves.keep_asked(self.view, typed)
        self.view = typed

    def on_leave(self) -> None:
        """Let the keyboard go."""
        for name in _PLACES:
            self.ids[name].typing = False

    def leave(self) -> None:
        """Back to the rig, or to the changeover list."""
        if self.view.work == CHANGED:
            self.moves.changeover_again()
        else:
            self.moves.rig()

    def going_words(self, going: CheckRow | None) -> str:
        """What the button says that goes on with a check instead; nothing where there is none."""
        return tr("go on with {check}", check=going.title) if going is not None else ""

    def go_on(self) -> None:
        """Go on with the open check."""
        self.moves.go_on(self.view.going.key)

    def start(self, name: str, venue: str, date: str, by: str) -> None:
        """Start the check or the set-up."""
        others = {SETUP: self.moves.set_up, CHANGED: self.moves.start_changed}
        start = others.get(self.view.work, self.moves.start_check)
        start(name.strip(), venue.strip(), date.strip(), by.strip())


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
