"""How far a check has come, at a glance."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import NumericProperty
from kivy.uix.widget import Widget


class ProgressStrip(Widget):
    """A strip as long as the list of lines: ``ok`` thin, ``faulty`` full, the rest an empty frame."""

    ok = NumericProperty(0)
    faulty = NumericProperty(0)
    total = NumericProperty(1)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
