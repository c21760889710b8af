"""The banner: what went wrong, over whatever screen is shown, until it is put away."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import ListProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401


class Banner(BoxLayout):
    """The lines of one error, and the button that puts it away."""

    lines = ListProperty([])
    __events__ = ("on_put_away",)

    def on_put_away(self) -> None:
        """The banner has been read."""


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
