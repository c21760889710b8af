"""A row of plain buttons, made from a list of words."""

from dataclasses import dataclass
from functools import partial
from typing import Any

from kivy.properties import ListProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.tongue import shown_word
from checkapp.touch.widgets.buttons import PlainButton


@dataclass(frozen=True, slots=True)
class Choice:
    """A word, whether it can be tapped, and how it stands: ``next`` for the one that is chosen."""

    word: str
    able: bool = True
    status: str = "open"


class Choices(BoxLayout):
    """The buttons, as high as the row, made anew when the choices are others; ``on_choice`` tells the word tapped."""

    choices = ListProperty([])
    __events__ = ("on_choice",)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(choices=self._make)
        self._make()

    def on_choice(self, _word: str) -> None:
        """A button was tapped."""

    def _make(self, *_: object) -> None:
        self.clear_widgets()
        for choice in self.choices:
            button = PlainButton(
                text=shown_word(choice.word), size_hint_y=1, disabled=not choice.able, status=choice.status
            )
            button.bind(on_release=partial(_tapped, self.proxy_ref, choice.word))
            self.add_widget(button)


def _tapped(choices: Choices, word: str, _button: object) -> None:
    choices.dispatch("on_choice", word)
