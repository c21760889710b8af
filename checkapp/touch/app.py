"""The touch app: screens, moves and the door, put together."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from kivy.app import App
from kivy.core.window import Window
from kivy.graphics import Rectangle

from checkapp.tongue import tr
from checkapp.touch.door import Door
from checkapp.touch.heap import give_back_large
from checkapp.touch.keys import ESCAPE, HeldKeys, is_chord, place_number
from checkapp.touch.listener import Listener
from checkapp.touch.moves import Moves
from checkapp.touch.pages import Pages
from checkapp.touch.rubbish import Rubbish
from checkapp.touch.rules import work_out_quietly
from checkapp.touch.settings_moves import take_up
from checkapp.touch.theme import theme
from checkapp.touch.widgets.written import paint_fresh

if TYPE_CHECKING:
    from checkapp.show.preferences import Preferences
    from checkapp.show.session import Session

_AWAKE: Final = frozenset({"setup", "walk", "symptom", "fault", "blame", "lines"})
"""Screens that are read while the hands are elsewhere: with one of them open the tablet does not go to sleep."""


class CheckApp(App):
    """The app.

    ``make_session`` is called on the worker after the first frame; ``now_s`` is any steady clock in seconds;
    ``preferences`` is how the tablet is set, None to leave look and language as they are; ``begin`` tells the screen
    and the view that can be shown in the first frame, if any can; ``begun`` is called once the session has begun.
    """

    title = "checkapp"

    def __init__(
        self,
        make_session: Callable[[], Session],
        plan: str | None = None,
        now_s: Callable[[], float] = time.monotonic,
        preferences: Preferences | None = None,
        begin: Callable[[], tuple[str, Any] | None] = lambda: None,
        begun: Callable[[], None] = lambda: None,
    ) -> None:
        work_out_quietly()
        give_back_large()
        super().__init__()
        self._begin, self._begun = begin, begun
        self._preferences = preferences
        self._plan = plan
        self._now_s = now_s
        self._held = HeldKeys()
        self.door = Door(make_session)
        self.pages = Pages()
        self.moves = Moves(self.door, self.pages, now_s)
        self.pages.moves = self.moves
        self.door.listen(self.moves.look_at_saving)
        self._rubbish = Rubbish()
        self._warned = False
        self.listener = Listener(now_s, lambda text: self.moves.scanned(text, burst=True))

    def build(self) -> Pages:
        """Show the first screen, with what is known of it; the rest comes through the door."""
        if self._preferences is not None:
            take_up(self._preferences)
        theme.bind(ground=_paint_window)
        _paint_window()
        _fill_plainly()
        self.pages.bind(base=_keep_awake)
        self.pages.show(*(self._begin() or ("rigs", None)))
        return self.pages

    def on_start(self) -> None:
        """Listen to keys and scanners, and let the session begin once the first frame is on the screen."""
        Window.softinput_mode = "below_target"
        Window.bind(on_key_down=self._key_down, on_key_up=self._key_up, on_flip=self._first_frame)
        Window.bind(on_request_close=self._asked_to_close, on_draw=paint_fresh)
        self.listener.start()
        self._rubbish.start()

    def _first_frame(self, *_: object) -> None:
        Window.unbind(on_flip=self._first_frame)
        self.moves.start(self._plan)
        self.door.submit(lambda _session: None, lambda _none: self._begun(), lambda _error: self._begun())

    def on_stop(self) -> None:
        """Finish what is still to be saved."""
        self.listener.stop()
        self._rubbish.stop()
        Window.unbind(on_key_down=self._key_down, on_key_up=self._key_up, on_flip=self._first_frame)
        Window.unbind(on_request_close=self._asked_to_close, on_draw=paint_fresh)
        theme.unbind(ground=_paint_window)
        Window.allow_screensaver = True
        self.door.close()

    def on_pause(self) -> bool:
        """The system may put the app aside at any moment: everything that was shown as saved is."""
        return True

    def open_settings(self, *_: object) -> None:
        """There is no settings panel."""

    def _asked_to_close(self, *_: object, **__: object) -> bool:
        """Say once that something is not saved before the window goes; True keeps it."""
        keeps = bool(self.pages.trouble) and not self._warned
        if keeps:
            self._warned = True
            self.pages.say([self.pages.trouble, tr("Close again to leave; it is kept and comes in at the next start.")])
        return keeps

    def _key_down(self, _window: object, key: int, _code: int, _text: str, modifiers: Any) -> bool:
        fresh = self._held.pressed(key, self._now_s())
        if is_chord(modifiers or ()):
            return fresh and self._go(place_number(key, modifiers))
        if key == ESCAPE and self.pages.put_away():
            return True
        return bool(fresh and self.pages.shown.key(key))

    def _go(self, number: int) -> bool:
        """Go to the place of that number in the strip; whether there is one."""
        names = self.pages.guide.places.names
        found = 0 < number <= len(names)
        if found:
            self.moves.visit(names[number - 1])
        return found

    def _key_up(self, _window: object, key: int, *_: object) -> None:
        self._held.released(key)


def _paint_window(*_: object) -> None:
    Window.clearcolor = theme.ground


def _fill_plainly() -> None:
    """Fills are white that is coloured: the same white all over, so nothing need be mixed from its neighbours."""
    white = Rectangle().texture
    white.min_filter = white.mag_filter = "nearest"


def _keep_awake(_pages: Pages, base: str) -> None:
    Window.allow_screensaver = base not in _AWAKE
