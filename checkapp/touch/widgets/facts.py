"""The facts of a line, side by side, in as many rows as they need."""

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import ListProperty, NumericProperty
from kivy.uix.stacklayout import StackLayout

from checkapp.touch.theme import theme
from checkapp.touch.widgets.written import Trim


class Fact(Trim):
    """One fact, with a short stroke before it."""


class Facts(StackLayout):
    """Words for one line, each as wide as it is, none wider than the place; those ``coming`` are painted ahead."""

    facts = ListProperty([])
    coming = ListProperty([])
    size_px = NumericProperty("24sp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"size_px": theme.sp(24), **kwargs})

    def on_facts(self, _facts: object, words: list[str]) -> None:
        """Show these words, in the labels that are there as far as they go."""
        there = list(reversed(self.children))
        for label, word in zip(there, words, strict=False):
            label.text = word
        for word in words[len(there) :]:
            self.add_widget(Fact(text=word))
        self.clear_widgets(there[len(words) :])

    def on_coming(self, _facts: object, words: list[str]) -> None:
        """Have these words painted ahead, as far as there are labels for them."""
        for label, word in zip(reversed(self.children), words, strict=False):
            label.coming = word


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
