"""What all screens share: the ground, the way back, the view data they show and the moves they set off."""

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.screenmanager import Screen

from checkapp.touch.keys import ESCAPE
from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401


class Page(Screen):
    """A screen; built with its ``view``, so that its layout never meets an empty one."""

    moves = ObjectProperty(None)
    view = ObjectProperty(None, rebind=True)

    def on_pre_enter(self) -> None:
        """What waited for a new look while it was off the screen gets it now."""
        for widget in self.walk(restrict=True):
            if getattr(widget, "stale", False):
                widget.renew()

    def leave(self) -> None:
        """Where the way back leads; nowhere unless a screen says so."""

    def seek(self) -> None:
        """Something was scanned: bring what came of it into sight."""

    def key(self, key: int) -> bool:
        """A key that was pressed; whether it meant something here."""
        if key == ESCAPE:
            self.leave()
        return key == ESCAPE


class Head(BoxLayout):
    """The top of a screen: the way back at the left, and what the screen is about."""

    title = StringProperty("")
    word = StringProperty("back")
    __events__ = ("on_back",)

    def on_back(self) -> None:
        """The way back was tapped."""


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
