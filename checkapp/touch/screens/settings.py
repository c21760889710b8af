"""How this tablet is set: its look, its language and its units, each with all its choices."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.factory import Factory
from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.tongue import tr
from checkapp.touch.key_words import key_words
from checkapp.touch.page import Page
from checkapp.touch.theme import theme
from checkapp.touch.widgets import foot as _foot  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import tape as _tape  # noqa: F401
from checkapp.touch.widgets.options import Options

if TYPE_CHECKING:
    from checkapp.show.settings import SettingsView


class SettingsScreen(Page):
    """A sample that shows what a choice does, the choices, the keys and the cautions; ``came_from`` is the way back."""

    wide = BooleanProperty(True)
    roomy = BooleanProperty(True)
    came_from = StringProperty("")
    tried = StringProperty("")

    def on_kv_post(self, _base: object) -> None:
        """Show the settings that it was built with, and all that come after."""
        self._foot = SettingsFoot()
        self.bind(view=self._fill, roomy=self._place_foot)
        self._fill(self, self.view)

    def leave(self) -> None:
        """Back to what lies under the settings."""
        self.moves.under()

    def choose(self, name: str, value: object) -> None:
        """Set one thing."""
        self.moves.choose(self.view, name, value)

    @staticmethod
    def tried_words(tried: str) -> str:
        """What the sample says: its buttons can be tried."""
        if tried:
            return tr("You tapped {word}. This is a sample, nothing is marked.", word=tried)
        return tr("A sample: try it with your hand. Nothing is marked.")

    def _fill(self, _screen: object, view: SettingsView) -> None:
        place = self.ids.settings
        place.clear_widgets()
        self._foot.show(view)
        for one in view.settings:
            options = Options(title=one.title, hint=one.hint, options=list(one.options))
            options.bind(on_option=partial(_chosen, self.proxy_ref, one.name))
            place.add_widget(options)
        self._place_foot()

    def _place_foot(self, *_: object) -> None:
        """Below the sample where there is room for it, else below the settings."""
        if self._foot.parent is not None:
            self._foot.parent.remove_widget(self._foot)
        (self.ids.aside if self.roomy else self.ids.settings).add_widget(self._foot)


class SettingsFoot(BoxLayout):
    """What the keys do, the cautions, and the version."""

    def show(self, view: SettingsView) -> None:
        """Say it anew."""
        self.clear_widgets()
        heading = Factory.Words(text=tr("Keys"), bold=True)
        heading.font_size = theme.code_px
        self.add_widget(heading)
        for keys, does in key_words():
            self.add_widget(Factory.Words(text=tr("{keys}: {does}", keys=keys, does=does)))
        for words in (*view.cautions, view.version):
            self.add_widget(Factory.Note(text=words))


def _chosen(screen: SettingsScreen, name: str, _options: Options, value: object) -> None:
    screen.choose(name, value)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
