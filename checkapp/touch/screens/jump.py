"""The number pad: a line's number is typed, its name is shown while it is, one tap goes there."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from checkapp.show.jump import MOST_DIGITS, meant
from checkapp.touch.keys import JUMP_KEYS, NUMBER_KEYS
from checkapp.touch.page import Page
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import tape as _tape  # noqa: F401

if TYPE_CHECKING:
    from checkapp.show.jump import Meant
    from checkapp.touch.check_moves import JumpAsked


class JumpScreen(Page):
    """A number is typed; ``out`` tells that it is an output's, ``meant`` what it means so far."""

    wide = BooleanProperty(True)
    typed = StringProperty("")
    out = BooleanProperty(False)
    meant = ObjectProperty(None, rebind=True)

    def on_view(self, *_: object) -> None:
        """A number is asked for anew."""
        self.typed, self.out = self.view.typed, self.view.here.startswith("out")

    def meant_by(self, asked: JumpAsked, typed: str, out: bool) -> Meant:
        """The line that is meant so far, or which there are."""
        return meant(asked.numbers, typed, out=out)

    def number_of(self, typed: str, out: bool) -> str:
        """The number as it is typed, with whether it is an input's or an output's."""
        return f"{'out' if out else 'in'} {typed}"

    def digit(self, digit: str) -> None:
        """One more digit."""
        self.typed = (self.typed + digit)[-MOST_DIGITS:]

    def delete(self) -> None:
        """Take the last digit away."""
        self.typed = self.typed[:-1]

    def to_inputs(self) -> None:
        """Mean an input."""
        self.out = False

    def to_outputs(self) -> None:
        """Mean an output."""
        self.out = True

    def switch(self) -> None:
        """Mean an output instead of an input, or the other way round."""
        self.out = not self.out

    def go(self) -> None:
        """Go to the line that is meant."""
        line = self.meant_by(self.view, self.typed, self.out).line
        if line:
            self.moves.go_to(line)

    def leave(self) -> None:
        """Back to the walk, where it was."""
        self.moves.walk()

    def key(self, key: int) -> bool:
        """Digits, delete, I and O for in and out, Enter to go."""
        if key in NUMBER_KEYS:
            self.digit(NUMBER_KEYS[key])
        elif key in JUMP_KEYS:
            getattr(self, JUMP_KEYS[key])()
        else:
            return bool(super().key(key))
        return True


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
