"""Plain buttons in a row, made from a list of words."""

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.factory import Factory
from kivy.lang import Builder
from kivy.properties import ListProperty, NumericProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.tongue import shown_word
from checkapp.touch.measure import width_of
from checkapp.touch.theme import theme
from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.places import rows_of
from checkapp.touch.widgets.scroll import Scroll

_ROOM_EM: Final = 1.5
"""Room beside a word, in sizes of its type."""
_LEAST: Final = 0.7
"""Words go on into a further row before their type is smaller than this, in that of the body."""
_MOST_EM: Final = 14.0
"""A button is no wider than so many sizes of its type: longer words take more lines, or are smaller."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A word, whether it can be tapped, and how it stands: ``next`` for the one that is chosen; ``why`` it is shut."""

    word: str
    able: bool = True
    status: str = "open"
    why: str = ""


class Choices(BoxLayout):
    """The buttons, each as wide as its word needs it, in several rows; ``on_choice`` tells the word tapped.

    They are made anew when the choices are others. `high` is the height of ``rows`` rows. Where they would take more
    than ``most_rows`` in ``room_px`` they stand in one row that is ``needs_px`` wide, 0 where they do not. 0 is any
    number of rows, and all the width that there is.
    """

    choices = ListProperty([])
    rows = NumericProperty(0)
    most_rows = NumericProperty(0)
    room_px = NumericProperty(0.0)
    needs_px = NumericProperty(0.0)
    __events__ = ("on_choice",)

    def __init__(self, **kwargs: Any) -> None:
        self._made: object = None
        self._is_laid_out = False
        super().__init__(orientation="vertical", **kwargs)
        remake = Clock.create_trigger(self._make, -1)
        for name in ("choices", "spacing", "room_px"):
            self.fbind(name, remake)
        self.fbind("width", Clock.create_trigger(self._laid_out))
        self._remake = remake
        theme.follow(self._restyle, "target", "body_px")
        self._make()

    def on_choice(self, _word: str) -> None:
        """A button was tapped."""

    @staticmethod
    def high(rows: int, row_px: float, gap_px: float) -> float:
        """The height in pixels of so many rows."""
        return rows * row_px + max(0, rows - 1) * gap_px

    def _laid_out(self, *_: object) -> None:
        """Part the words by the width that there is, once it is no width on the way to that."""
        self._is_laid_out = True
        self._make()

    def _restyle(self, *_: object) -> None:
        self._remake()

    def _make(self, *_: object) -> None:
        words = [shown_word(choice.word) for choice in self.choices]
        rows = self._parted(words)
        over = 0 < self.most_rows < len(rows)
        self.needs_px = sum(self._wide(words, theme.body_px, 2.0 * theme.unit)) - float(self.spacing) if over else 0
        rows = [list(range(len(words)))] if over else rows
        if (rows, self.choices, self.spacing) == self._made:
            return
        self._made = (rows, list(self.choices), self.spacing)
        self.clear_widgets()
        for row in rows:
            line = BoxLayout(spacing=self.spacing)
            for number in row:
                line.add_widget(self._button(self.choices[number]))
            self.add_widget(line)
        self.rows = len(rows)

    def _parted(self, words: list[str]) -> list[list[int]]:
        """The numbers of the words in each row."""
        if not words or not self._is_laid_out:
            return [list(range(len(words)))] if words else []
        wide = self._wide(words, _LEAST * theme.body_px, theme.unit)
        return rows_of(wide, (self.room_px or self.width) + float(self.spacing))

    def _wide(self, words: list[str], size_px: float, beside_px: float) -> list[float]:
        """How wide each button is with its words in that size and so much beside them, and the gap after it."""
        gap = float(self.spacing)
        widest = _MOST_EM * size_px
        wide = [min(width_of(word, size_px, bold=True), widest) + beside_px for word in words]
        return [max(theme.target, one) + gap for one in wide]

    def _button(self, choice: Choice) -> Any:
        word = shown_word(choice.word)
        button = Factory.ChoiceButton(text=word, disabled=not choice.able, status=choice.status, reason=choice.why)
        button.size_hint_x = _ROOM_EM + width_of(word, 1.0, bold=True)
        button.bind(on_release=partial(_tapped, self.proxy_ref, choice.word))
        return button


class ChoiceStrip(Scroll):
    """The same over a list: in ``most_rows`` at most, else in one that scrolls, with a bar that says so.

    ``step_px`` is the height of a row.
    """

    choices = ListProperty([])
    step_px = NumericProperty("48dp")
    most_rows = NumericProperty(2)
    __events__ = ("on_choice",)

    def on_choice(self, _word: str) -> None:
        """A button was tapped."""


def _tapped(choices: Choices, word: str, _button: object) -> None:
    choices.dispatch("on_choice", word)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
