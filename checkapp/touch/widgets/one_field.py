"""A screen's content where one thing is typed: what it is, what to type, and the button that keeps it."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.widgets import field as _field  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401


class OneField(BoxLayout):
    """The head leads ``word`` back; ``on_save`` tells what was typed."""

    word = StringProperty("")
    title = StringProperty("")
    note = StringProperty("")
    label = StringProperty("")
    text = StringProperty("")
    wide = BooleanProperty(True)
    __events__ = ("on_back", "on_save")

    def on_back(self) -> None:
        """The way back was tapped."""

    def on_save(self, _text: str) -> None:
        """What was typed is to be kept."""

    def let_go(self) -> None:
        """Let the keyboard go."""
        self.ids.field.typing = False


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
