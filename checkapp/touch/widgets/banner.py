"""The banner: what happened, where, and what to do, over whatever screen is shown, until it is put away."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ListProperty
from kivy.uix.boxlayout import BoxLayout

from checkapp.touch.widgets import buttons as _buttons  # noqa: F401  these layouts are used in ours
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401

MOST: Final = 0.5
"""So much of the window's height a banner takes at most: below that are the main actions, also on a phone."""


class Banner(BoxLayout):
    """The lines of what went wrong, the newest first, and the button that puts all of it away."""

    lines = ListProperty([])
    wide = BooleanProperty(True)
    most = MOST
    __events__ = ("on_put_away",)

    def add(self, lines: Sequence[str]) -> None:
        """Say something more, over what was said and not put away yet; the same is not said twice."""
        self.lines = [*lines, *(line for line in self.lines if line not in lines)]
        self.ids.all.scroll_y = 1

    def on_put_away(self) -> None:
        """The banner has been read."""

    def on_touch_down(self, touch: Any) -> bool:
        """A finger on the banner is not one on what lies under it."""
        return bool(super().on_touch_down(touch) or self.collide_point(*touch.pos))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
