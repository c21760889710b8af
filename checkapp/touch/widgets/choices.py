"""A row of plain buttons, made from a list of words and what each does."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from kivy.properties import ListProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.widgets.buttons import PlainButton


@dataclass(frozen=True, slots=True)
class Choice:
    """A word, what a tap on it does, and whether it can be tapped."""

    word: str
    tapped: Callable[[], None]
    able: bool = True


class Choices(BoxLayout):
    """The buttons, as high as the row, made anew when the choices are others."""

    choices = ListProperty([])

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(choices=self._make)
        self._make()

    def _make(self, *_: object) -> None:
        self.clear_widgets()
        for choice in self.choices:
            button = PlainButton(text=choice.word, size_hint_y=1, disabled=not choice.able)
            button.bind(on_release=lambda _button, tapped=choice.tapped: tapped())
            self.add_widget(button)
