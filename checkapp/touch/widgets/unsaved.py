"""The strip that stands above every screen as long as something could not be saved."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.widgets import mark as _mark  # noqa: F401  its layout is used in ours


class UnsavedStrip(BoxLayout):
    """What is not saved, why, and how much more waits."""

    words = StringProperty("")


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
