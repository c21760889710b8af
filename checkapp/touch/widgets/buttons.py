"""The buttons: large ones for the verdicts, plain ones for everything else."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.behaviors.button import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label

from checkapp.touch.theme import theme
from checkapp.touch.widgets import mark as _mark  # noqa: F401  its layout is used in ours


class MainButton(ButtonBehavior, BoxLayout):
    """A main action, at least 120 dp high: colour, drawn shape and word say the same."""

    status = StringProperty("next")
    word = StringProperty("")
    tint = ColorProperty(theme.next)


class PlainButton(ButtonBehavior, Label):
    """A word in a frame, 64 dp high unless its place is short, never less than 48."""

    status = StringProperty("open")
    size_px = NumericProperty("24sp")


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
