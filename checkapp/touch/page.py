"""What all screens share: the ground, the way back, the view data they show and the moves they set off."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from kivy.lang import Builder
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.screenmanager import Screen

from checkapp.touch.keys import ESCAPE
from checkapp.touch.measure import lines_needed, width_of
from checkapp.touch.widgets import scroll as _scroll  # noqa: F401  its layout is used in ours
from checkapp.touch.widgets.buttons import PlainButton

_TITLE_LINES: Final = 3


def now(view: Any) -> Any:
    """The view as it is now: a layout that says ``now(root.view).name`` is told of each new view, but not bound to it
    anew, which for each name takes longer than to show it."""
    return view


class Page(Screen):
    """A screen; built with its ``view``, so that its layout never meets an empty one.

    ``returns_to`` says in a word where a tap on a place was made that led here: the way back leads there. ``folded``
    asks for a button that brings the strip of places, which is away to leave room.
    """

    moves = ObjectProperty(None)
    view = ObjectProperty(None, rebind=True)
    returns_to = StringProperty("")
    folded = BooleanProperty(False)

    def on_pre_enter(self) -> None:
        """What waited for a new look while it was off the screen gets it now."""
        for widget in self.walk(restrict=True):
            if getattr(widget, "stale", False):
                widget.renew()

    def on_returns_to(self, *_: object) -> None:
        """Have the head say so, and ask here when its way back is tapped."""
        for head in self.heads:
            head.page, head.returns_to = self, self.returns_to

    def on_folded(self, *_: object) -> None:
        """Offer the strip of places in the screen's corner, or no more."""
        for corner in self.corners:
            corner.offer(self.moves.unfold if self.folded else None)

    @property
    def heads(self) -> "list[Head]":
        """The head of the screen, where it has one."""
        return [widget for widget in self.walk(restrict=True) if isinstance(widget, Head)]

    @property
    def corners(self) -> "list[Corner]":
        """Where the screen has room for the button that brings the strip of places."""
        return [widget for widget in self.walk(restrict=True) if isinstance(widget, Corner)]

    def go_back(self) -> None:
        """The way back: to where the place was come to from, else where the screen itself says."""
        if self.returns_to:
            self.moves.come_back()
        else:
            self.leave()

    def leave(self) -> None:
        """Where the screen's own way back leads; nowhere unless a screen says so."""

    def seek(self) -> None:
        """Something was scanned: bring what came of it into sight."""

    def key(self, key: int) -> bool:
        """A key that was pressed; whether it meant something here."""
        if key == ESCAPE:
            self.go_back()
        return key == ESCAPE


class GoToButton(PlainButton):
    """Brings the strip of places, where there is no room to have it in sight all the time."""


class Corner(BoxLayout):
    """Room for that button; none is taken while the strip is in sight."""

    def offer(self, tapped: Callable[[], None] | None) -> None:
        """Have the button, which does ``tapped``, or none."""
        self.clear_widgets()
        if tapped is not None:
            button = GoToButton()
            button.bind(on_release=lambda _button: tapped())
            self.add_widget(button)


class Head(BoxLayout):
    """The top of a screen: the way back at the left, and what the screen is about."""

    title = StringProperty("")
    word = StringProperty("back")
    returns_to = StringProperty("")
    page = ObjectProperty(None, allownone=True)
    __events__ = ("on_back",)

    @staticmethod
    def title_px(text: str, wide_px: float, *sizes_px: float) -> float:
        """The size of the title: the first at which it takes three lines at most and no word is broken, or the last."""
        for size_px in sizes_px[:-1]:
            widest = max(width_of(word, size_px, bold=True) for word in text.split(" "))
            if widest <= 0.97 * wide_px and lines_needed(text, size_px, 0.97 * wide_px, bold=True) <= _TITLE_LINES:
                return size_px
        return sizes_px[-1]

    def go_back(self) -> None:
        """The way back was tapped: the page knows where to, where a tap on a place led to it."""
        if self.returns_to:
            self.page.go_back()
        else:
            self.dispatch("on_back")

    def on_back(self) -> None:
        """The way back was tapped."""


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
