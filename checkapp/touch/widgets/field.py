"""A place to type a few words, with what they are above it."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.textinput import TextInput


class Entry(TextInput):
    """One line of typing; Tab goes on to the next."""


class Field(BoxLayout):
    """A label and the place to type."""

    label = StringProperty("")
    text = StringProperty("")
    typing = BooleanProperty(False)
    __events__ = ("on_enter",)

    def on_enter(self) -> None:
        """Enter was pressed while typing here."""


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
