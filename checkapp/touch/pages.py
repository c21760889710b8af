"""The screens in use: each is loaded and built when it is first shown, and kept."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

from kivy.lang import Builder
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.screenmanager import NoTransition, ScreenManager

if TYPE_CHECKING:
    from checkapp.rig.errors import CheckappError
    from checkapp.touch.page import Page

SCREENS: Final = {
    "rigs": "RigsScreen",
    "rig": "RigScreen",
    "picture": "PictureScreen",
    "card": "CardScreen",
    "newcheck": "NewCheckScreen",
    "walk": "WalkScreen",
    "symptom": "SymptomScreen",
    "lines": "LinesScreen",
    "summary": "SummaryScreen",
    "past": "PastScreen",
}


class Pages(FloatLayout):
    """The screen at the front, and over it the banner when something went wrong."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.moves: Any = None
        self.manager = ScreenManager(transition=NoTransition())
        self.banner: Any = None
        self.add_widget(self.manager)

    def show(self, name: str, view: object) -> None:
        """Bring a screen to the front with this view."""
        self.renew(name, view)
        self.front(name)

    def renew(self, name: str, view: object) -> None:
        """Give a screen a new view, wherever it is."""
        if self.manager.has_screen(name):
            self.manager.get_screen(name).view = view
        else:
            self.manager.add_widget(self._build(name, view))

    def front(self, name: str) -> None:
        """Bring a screen to the front as it is."""
        self.manager.current = name

    @property
    def shown(self) -> Page:
        """The screen at the front."""
        screen: Page = self.manager.current_screen
        return screen

    def saving(self, words: str) -> None:
        """Say what becomes of the last tap, where the screen at the front has a place for it."""
        if hasattr(self.shown, "saving"):
            self.shown.saving = words

    def failed(self, error: CheckappError) -> None:
        """Show an error over whatever is at the front."""
        if self.banner is None:
            from checkapp.touch.widgets.banner import Banner

            self.banner = Banner()
            self.banner.bind(on_put_away=lambda banner: self.remove_widget(banner))
        self.banner.lines = error.lines
        if self.banner.parent is None:
            self.add_widget(self.banner)

    def put_away(self) -> bool:
        """Close the banner; whether there was one."""
        if self.banner is None or self.banner.parent is None:
            return False
        self.remove_widget(self.banner)
        return True

    def _build(self, name: str, view: object) -> Page:
        module = import_module(f"checkapp.touch.screens.{name}")
        screen: Page = getattr(module, SCREENS[name])(name=name, view=view, moves=self.moves)
        Builder.sync()
        return screen
