"""A setting: what it is, and all its choices side by side, or one below the other where they are wide."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ColorProperty, ListProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.measure import width_of
from checkapp.touch.theme import theme

if TYPE_CHECKING:
    from checkapp.show.settings import Option


class OptionButton(ButtonBehavior, BoxLayout):
    """A choice: the one that is ``chosen`` has a filled square, a strong frame and says so."""

    word = StringProperty("")
    chosen = BooleanProperty(False)
    ink = ColorProperty(theme.text)


class Options(BoxLayout):
    """A setting with its choices; ``on_option`` tells the value of the one that was tapped."""

    title = StringProperty("")
    hint = StringProperty("")
    options = ListProperty([])
    __events__ = ("on_option",)

    def on_kv_post(self, _base: object) -> None:
        """Make the buttons."""
        self.bind(options=self._make)
        self._make()

    def on_option(self, _value: object) -> None:
        """A choice was tapped."""

    @staticmethod
    def columns(options: Sequence[Option], width_px: float, code_px: float, note_px: float) -> int:
        """How many columns the choices take: one each, or one for all where the widest word does not fit."""
        widest = max((width_of(option.word, code_px, bold=True) for option in options), default=0.0)
        each = 1.05 * max(widest, 4 * note_px) + 7.5 * float(theme.unit)
        count = max(1, len(options))
        return count if count * (each + theme.unit) <= width_px else 1

    def _make(self, *_: object) -> None:
        buttons: Any = self.ids.buttons
        buttons.clear_widgets()
        for option in self.options:
            button = OptionButton(word=option.word, chosen=option.chosen)
            button.bind(on_release=partial(_tapped, self.proxy_ref, option.value))
            buttons.add_widget(button)


def _tapped(options: Options, value: object, _button: object) -> None:
    options.dispatch("on_option", value)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
