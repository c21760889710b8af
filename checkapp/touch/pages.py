"""The screens in use: each is loaded and built when it is first shown, and kept."""

from __future__ import annotations

import gc
from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.graphics import Color
from kivy.lang import Builder
from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.screenmanager import NoTransition, ScreenManager

from checkapp.tongue import shown_word
from checkapp.touch.guide import Guide
from checkapp.touch.theme import theme
from checkapp.touch.whereabouts import WAYS_BACK
from checkapp.touch.widgets.fills import Fills, frame_of

if TYPE_CHECKING:
    from checkapp.rig.errors import CheckappError
    from checkapp.touch.page import Page

SCREENS: Final = {
    "first": "FirstScreen",
    "rigs": "RigsScreen",
    "files": "FilesScreen",
    "incoming": "IncomingScreen",
    "column": "ColumnScreen",
    "keepcolumns": "KeepColumnsScreen",
    "naming": "NamingScreen",
    "rig": "RigScreen",
    "picture": "PictureScreen",
    "card": "CardScreen",
    "camera": "CameraScreen",
    "newcheck": "NewCheckScreen",
    "setup": "SetUpScreen",
    "walk": "WalkScreen",
    "symptom": "SymptomScreen",
    "jump": "JumpScreen",
    "fault": "FaultScreen",
    "blame": "BlameScreen",
    "faults": "FaultsScreen",
    "oldrigs": "OldRigsScreen",
    "changeover": "ChangeoverScreen",
    "history": "HistoryScreen",
    "life": "LifeScreen",
    "shows": "ShowsScreen",
    "figures": "FiguresScreen",
    "lines": "LinesScreen",
    "summary": "SummaryScreen",
    "past": "PastScreen",
    "tags": "TagsScreen",
    "tagpick": "TagPickScreen",
    "tagchoice": "TagChoiceScreen",
    "tagstart": "TagStartScreen",
    "tablets": "TabletsScreen",
    "tabletname": "TabletNameScreen",
    "settle": "SettleScreen",
    "tabletlogs": "TabletLogsScreen",
    "hub": "HubScreen",
    "settings": "SettingsScreen",
}
OVER: Final = frozenset({"card", "camera", "settings"})
"""Screens that lie over another: the way back from them leads to that one, as it stands."""
_BLINK_S: Final = 0.3
"""So long the window's frame shows that a scan was taken: long enough to be seen from the side of the eye."""

_CLEAR_UP_S: Final = 2.0
"""So long after screens were let go of their memory is had back: one setting after another can be tried meanwhile."""
_MOST_ANEW: Final = 3
"""The screen that is built anew so soon after that waits until then: that of the settings, twice, and one more."""


class AtOnce(NoTransition):
    """A change of screens without any motion, which takes until the next frame.

    Where another follows within that frame, the toolkit neither tells the one screen that it is at the front nor the
    other that it is left, which would leave a camera running.
    """

    def stop(self) -> None:
        """Bring the change that is under way to its end."""
        under_way = self.is_active
        super().stop()
        if under_way:
            self.screen_in.dispatch("on_enter")
            self.screen_out.dispatch("on_leave")


def _manager() -> ScreenManager:
    """What keeps the screens and shows one at a time; nothing moves past its edge, so it cuts nothing out."""
    manager = ScreenManager(transition=AtOnce())
    manager.canvas.before.clear()
    manager.canvas.after.clear()
    return manager


class Pages(FloatLayout):
    """The screen at the front, over it the banner when something went wrong, above it what is not saved yet.

    ``base`` is the screen at the front, or the one that lies under the card and the camera; ``under`` is where the way
    back leads from a card or the camera: a card that the camera read lies over the camera.
    """

    base = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.moves: Any = None
        self.under = self._lead = ""
        self._put_by: dict[str, Any] = {}
        self.manager = _manager()
        self.banner: Any = None
        self.strip: Any = None
        self.trouble = ""
        self._clear_up = Clock.create_trigger(self._collect, _CLEAR_UP_S)
        self._anew = 0
        self._stack = BoxLayout(orientation="vertical")
        self._stack.add_widget(self.manager)
        self.guide = Guide(self._stack, SCREENS)
        self.guide.places.bind(on_place=self._visit)
        self.add_widget(self.guide)

    def show(self, name: str, view: object) -> None:
        """Bring a screen to the front with this view."""
        self.renew(name, view)
        self.front(name)

    def forget(self) -> None:
        """Have every screen built anew when it is next shown, with the view that it has now: in another language, or
        at another size, each says or places things otherwise."""
        self._put_by.update({screen.name: screen.view for screen in self.manager.screens})
        _leave(self.manager)
        for screen in self.manager.screens:
            _let_go(screen)
        let_go_of_rows()
        said = tuple(self.banner.lines) if self.banner is not None and self.banner.parent is not None else ()
        self.fold()
        if said:
            self.remove_widget(self.banner)
        trouble, place = self.trouble, self._stack.children.index(self.manager)
        self.unsaved("")
        self._stack.remove_widget(self.manager)
        _part(self.manager)
        self.manager, self.banner, self.strip = _manager(), None, None
        self._stack.add_widget(self.manager, place)
        self.unsaved(trouble)
        if said:
            self.say(said)
        self._clear_up()

    def renew(self, name: str, view: object) -> None:
        """Give a screen a new view, wherever it is."""
        self.guide.told(name, view)
        if self.manager.has_screen(name):
            self.manager.get_screen(name).view = view
        else:
            self._put_by[name] = view

    def seek(self, name: str) -> None:
        """Bring what came of a scan into sight on a screen, wherever it is."""
        self._screen(name).seek()

    def front(self, name: str) -> None:
        """Bring a screen to the front as it is."""
        screen = self._screen(name)
        if name not in OVER:
            self.base = self.under = name
        elif name != self.at:
            self.under = "camera" if self.at == "camera" else self.base
            if hasattr(screen, "came_from"):
                screen.came_from = shown_word(WAYS_BACK.get(self.under, "back"))
        self.fold()
        self.guide.arrive(name, screen, name in OVER)
        self.manager.current = name

    def unfold(self) -> None:
        """Bring the strip of places over the top of a screen that folds it, or take it away again."""
        if not self.fold() and self.guide.unfold():
            self.add_widget(self.guide.places)

    def leave_for(self, way: str) -> None:
        """Something was tapped that leads to a place, or to the fault sheet: the way back leads here from there."""
        self.guide.leave_for(way, self.base)

    def _visit(self, _places: object, place: str) -> None:
        self.moves.visit(place)

    def on_touch_down(self, touch: Any) -> bool:
        """A finger beside the strip of places that lies over a screen puts it away."""
        if self.guide.unfolded and not self.guide.places.collide_point(*touch.pos):
            self.fold()
        return bool(super().on_touch_down(touch))

    def fold(self) -> bool:
        """Take the strip of places away from over a screen; whether it was there."""
        unfolded = self.guide.unfold(False)
        if unfolded:
            self.remove_widget(self.guide.places)
        return unfolded

    @property
    def at(self) -> str:
        """The name of the screen at the front; empty before the first."""
        return self.manager.current or ""

    @property
    def shown(self) -> Page:
        """The screen at the front."""
        screen: Page = self.manager.current_screen
        return screen

    def saving(self, words: str) -> None:
        """Say what becomes of the last tap, where the screen at the front has a place for it."""
        if hasattr(self.shown, "saving"):
            self.shown.saving = shown_word(words)

    def lead(self, words: str) -> None:
        """Say on the walk who is to blame the most; nothing while no line is faulty."""
        self._lead = words
        if self.manager.has_screen("walk"):
            self.manager.get_screen("walk").lead = words

    def unsaved(self, trouble: str) -> None:
        """Say above every screen what could not be saved so far; nothing when all is."""
        self.trouble = trouble
        if self.strip is None and trouble:
            from checkapp.touch.widgets.unsaved import UnsavedStrip

            self.strip = UnsavedStrip()
        if self.strip is not None:
            self.strip.words = trouble
            if bool(trouble) != (self.strip.parent is not None):
                if trouble:
                    self._stack.add_widget(self.strip, len(self._stack.children))
                else:
                    self._stack.remove_widget(self.strip)

    def failed(self, error: CheckappError) -> None:
        """Show an error over whatever is at the front."""
        self.say(error.said)

    def say(self, lines: Sequence[str]) -> None:
        """Say something over whatever is at the front, until it is put away, above what else is said there."""
        if self.banner is None:
            from checkapp.touch.widgets.banner import Banner

            self.banner = Banner()
            self.banner.bind(on_put_away=lambda banner: self.remove_widget(banner))
        if self.banner.parent is None:
            self.banner.lines = []
            self.add_widget(self.banner)
        self.banner.add(lines)

    def blink(self, status: str) -> None:
        """Frame the window for a moment in the colour of what a scan came to, so that it is seen from the side.

        Where all is to be calm the frame stands until the next tap or key.
        """
        self.canvas.after.clear()
        with self.canvas.after:
            Color(*theme.of(status))
            Fills(frame_of(self.x, self.y, self.width, self.height, 3.0 * float(theme.unit)))
        Clock.unschedule(self._unblink)
        if theme.calm:
            Window.bind(on_touch_down=self._unblink, on_key_down=self._unblink)
        else:
            Clock.schedule_once(self._unblink, _BLINK_S)

    def _unblink(self, *_: object) -> None:
        Window.unbind(on_touch_down=self._unblink, on_key_down=self._unblink)
        self.canvas.after.clear()

    def put_away(self) -> bool:
        """Close the banner, else the strip of places that lies over a screen; whether there was one."""
        if self.banner is None or self.banner.parent is None:
            return self.fold()
        self.remove_widget(self.banner)
        return True

    def _screen(self, name: str) -> Page:
        """The screen of that name; it is built when it is needed for the first time."""
        if name in self._put_by:
            self._clear_up_first()
            self.manager.add_widget(self._build(name, self._put_by.pop(name)))
        screen: Page = self.manager.get_screen(name)
        return screen

    def _clear_up_first(self) -> None:
        """Have the memory of screens that were let go of back before some more are built anew: two sets of screens at
        once would take twice of it, and Python keeps for good much of what it once had."""
        if self._clear_up.is_triggered:
            self._anew += 1
            if self._anew == _MOST_ANEW:
                self._clear_up.cancel()
                self._collect()

    def _collect(self, *_: object) -> None:
        """Look for rubbish now: screens that were let go of refer to each other, and to go through them in the midst of
        a walk would hold that up."""
        self._anew = 0
        gc.collect()

    def _build(self, name: str, view: object) -> Page:
        module = import_module(f"checkapp.touch.screens.{name}")
        screen: Page = getattr(module, SCREENS[name])(name=name, view=view, moves=self.moves)
        if name == "walk":
            screen.lead = self._lead
        Builder.sync()
        return screen


def _leave(manager: ScreenManager) -> None:
    """Have the screen at the front let go of what it holds while it is there, as a camera: it is not come back to."""
    manager.transition.stop()  # a change of screens that is under way would bring one to the front once more
    if manager.current_screen is not None:
        manager.current_screen.dispatch("on_leave")


def _part(manager: ScreenManager) -> None:
    """Have screens that are put away lead to one another no more: what is still held of one, as by a finger that rests
    on it, keeps that one in memory and not all that stood beside it."""
    if manager.current_screen is not None:
        manager.real_remove_widget(manager.current_screen)
    for screen in manager.screens:
        screen.manager = None
    manager.screens, manager.current_screen, manager.transition = [], None, AtOnce()


def _let_go(screen: Page) -> None:
    """Have a screen that is put away follow nothing any more: it would be laid out again with every change of look."""
    for widget in screen.walk(restrict=True):
        Builder.unbind_widget(widget.uid)


def let_go_of_rows() -> None:
    """Let the rows go that the toolkit keeps for lists to come: made before, they have the sizes of before, and those
    of a screen that was put away follow nothing any more."""
    from kivy.uix.recycleview import views

    views._cached_views.clear()
    views._cache_count = 0
