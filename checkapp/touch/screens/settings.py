"""How this tablet is set: its look, its language and its units, each with all its choices."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.clock import Clock
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
    """A sample that shows what a choice does, the choices, the keys and the cautions; ``came_from`` is the way back.

    The sample ``stands`` above the choices, or beside them, where there is room for that; else it scrolls with them.
    """

    wide = BooleanProperty(True)
    stands = BooleanProperty(True)
    roomy = BooleanProperty(True)
    came_from = StringProperty("")
    tried = StringProperty("")

    def on_kv_post(self, _base: object) -> None:
        """Show the settings that it was built with, and all that come after."""
        self._foot = SettingsFoot()
        self._sample, self._tablets = self.ids.sample.__self__, self.ids.tablets.__self__
        self.bind(view=self._fill, roomy=self._place, stands=self._place)
        self._sought: tuple[str, float] | None = None
        self._again = Clock.create_trigger(self._seek, -1)
        self.ids.settings.bind(height=self._again)
        self.ids.all.bind(height=self._again, on_scroll_start=self._let_go)
        self._fill(self, self.view)

    def leave(self) -> None:
        """Back to what lies under the settings."""
        self.moves.under()

    def choose(self, name: str, value: object) -> None:
        """Set one thing."""
        self.moves.choose(self.view, name, value)

    def tablets(self) -> None:
        """The tablets of the show."""
        self.moves.tablets()

    @staticmethod
    def tried_words(tried: str) -> str:
        """What the sample says: its buttons can be tried."""
        if tried:
            return tr("You tapped {word}. This is a sample, nothing is marked.", word=tried)
        return tr("A sample: try it with your hand. Nothing is marked.")

    def below_px(self, name: str) -> float:
        """How far below the top of the list a setting is."""
        group, shown = self._groups[name], self.ids.all
        return float(shown.to_window(0, shown.top)[1] - group.to_window(0, group.top)[1])

    def bring(self, name: str, below_px: float) -> None:
        """Have a setting so far below the top of the list, where the list is long enough, until a finger scrolls."""
        self._sought = name, below_px
        self._seek()

    def _seek(self, *_: object) -> None:
        if self._sought is None:
            return
        (name, below_px), box, all_of_it = self._sought, self.ids.settings, self.ids.all
        over, gone = box.height - all_of_it.height, box.top - self._groups[name].top - below_px
        all_of_it.scroll_y = 1.0 - min(1.0, max(0.0, gone / over)) if over > 0 else 1.0
        all_of_it.be_still()

    def _let_go(self, *_: object) -> None:
        self._sought = None

    def _fill(self, _screen: object, view: SettingsView) -> None:
        self._foot.show(view)
        self._groups = {
            one.name: Options(title=one.title, hint=one.hint, options=list(one.options)) for one in view.settings
        }
        for name, options in self._groups.items():
            options.bind(on_option=partial(_chosen, self.proxy_ref, name), pos=self._again)
        self._place()

    def _place(self, *_: object) -> None:
        """The sample above the choices or first among them; the foot below the sample, else below the choices."""
        for widget in (self._sample, self._foot):
            if widget.parent is not None:
                widget.parent.remove_widget(widget)
        box = self.ids.settings
        box.clear_widgets()
        if self.stands:
            self.ids.body.add_widget(self._sample, 1)
        else:
            box.add_widget(self._sample)
        for options in (self._tablets, *self._groups.values()):
            box.add_widget(options)
        (self.ids.aside if self.roomy else box).add_widget(self._foot)


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
